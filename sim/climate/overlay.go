package climate

import (
	"errors"
	"fmt"
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Spell is a scripted stretch of weather: a calm, a gale, a grey week.
type Spell struct {
	// From is its first moment. If it is zero, the spell begins at the first
	// whole hour after the boat has met When, and comes once.
	From time.Time
	// When tells whether the boat is where the spell is to begin; first is
	// where she was asked about first.
	When   func(t time.Time, place, first track.Position) bool
	Length units.Hours // > 0

	// The weather's own wind speed w is pressed into [WindLeast, WindMost] by
	// w/(w + 10 kn), so that it goes on varying. Both 0 leave it alone; for a
	// dead calm set WindMost to next to nothing.
	WindLeast, WindMost units.Knots
	// The weather's own cloud 0..1 is mapped straight to [CloudLeast,
	// CloudMost]. Both 0 leave it alone.
	CloudLeast, CloudMost units.Fraction
	// Average says that the cloud of the weather under the spell is an average
	// (that of Mean), so that the sun factor is the expectation for the mapped
	// cloud.
	Average bool
}

// Calm returns a spell of Beaufort 0 and 1: up to 3 kn. Where it begins is left
// open.
func Calm(length units.Hours) Spell { return Spell{Length: length, WindMost: 3} }

// Gale returns a spell of Beaufort 8 and 9: 34 to 47 kn. Where it begins is left
// open.
func Gale(length units.Hours) Spell { return Spell{Length: length, WindLeast: 34, WindMost: 47} }

// NorthOf is true from a latitude on northward.
func NorthOf(latitude units.Degrees) func(time.Time, track.Position, track.Position) bool {
	return func(_ time.Time, place, _ track.Position) bool { return place.Lat >= latitude }
}

// SouthOf is true from a latitude on southward.
func SouthOf(latitude units.Degrees) func(time.Time, track.Position, track.Position) bool {
	return func(_ time.Time, place, _ track.Position) bool { return place.Lat <= latitude }
}

// Crossing is true on the other side of a latitude than the boat began, and on
// the latitude itself.
func Crossing(latitude units.Degrees) func(time.Time, track.Position, track.Position) bool {
	return func(_ time.Time, place, first track.Position) bool {
		return (place.Lat-latitude)*(first.Lat-latitude) <= 0
	}
}

// Overlay is a weather with a spell laid over it.
type Overlay struct {
	under    Weather
	spell    Spell
	first    track.Position
	asked    bool
	begun    bool // from and to are known
	from, to time.Time
}

// NewOverlay lays a spell over a weather. The error tells all that is wrong with
// the spell.
func NewOverlay(under Weather, s Spell) (*Overlay, error) {
	if under == nil {
		panic("climate: no weather under the spell")
	}
	var wrong []error
	if s.From.IsZero() == (s.When == nil) {
		wrong = append(wrong, errors.New("spell: needs either a first moment or a place where it begins"))
	}
	if !(s.Length > 0 && s.Length <= 1e5) {
		wrong = append(wrong, fmt.Errorf("spell: a length of %v is not above 0 and within 100000 h", s.Length))
	}
	if !(s.WindLeast >= 0 && s.WindMost >= s.WindLeast && s.WindMost <= 200) {
		wrong = append(wrong, fmt.Errorf("spell: wind %v to %v is no range within 0..200 kn", s.WindLeast, s.WindMost))
	}
	if !(s.CloudLeast >= 0 && s.CloudMost >= s.CloudLeast && s.CloudMost <= 1) {
		wrong = append(wrong, fmt.Errorf("spell: cloud %v to %v is no range within 0..100 %%", s.CloudLeast, s.CloudMost))
	}
	if wrong != nil {
		return nil, errors.Join(wrong...)
	}
	o := &Overlay{under: under, spell: s}
	if !s.From.IsZero() {
		o.begin(s.From)
	}
	return o, nil
}

func (o *Overlay) begin(from time.Time) {
	o.begun, o.from = true, from.UTC()
	o.to = o.from.Add(time.Duration(float64(o.spell.Length) * float64(time.Hour)))
}

// Span returns when the spell begins and ends, if that is known yet.
func (o *Overlay) Span() (from, to time.Time, known bool) { return o.from, o.to, o.begun }

// At returns the weather at a place and moment.
func (o *Overlay) At(t time.Time, place track.Position) Sample {
	s := o.under.At(t, place)
	if !o.asked {
		o.asked, o.first = true, place
	}
	if !o.begun {
		if o.spell.When(t, place, o.first) {
			o.begin(time.Unix((floorHour(t)+1)*3600, 0))
		}
		return s
	}
	if t.Before(o.from) || !t.Before(o.to) {
		return s
	}
	if o.spell.WindMost > 0 {
		w := s.WindSpeed / (s.WindSpeed + 10)
		s.WindSpeed = o.spell.WindLeast + units.Knots(float64((o.spell.WindMost-o.spell.WindLeast)*w))
	}
	if o.spell.CloudMost > 0 {
		s.Cloud = o.spell.CloudLeast + units.Fraction(float64((o.spell.CloudMost-o.spell.CloudLeast)*s.Cloud))
		s.Through = throughOf(float64(s.Cloud), float64(place.Lat), o.spell.Average)
		s.Skies = nil
	}
	return s
}

// Edge returns the next edge of the weather under the spell, or the beginning or
// end of the spell, whichever comes first.
func (o *Overlay) Edge(t time.Time) time.Time {
	next := o.under.Edge(t)
	if !o.begun {
		return next
	}
	for _, e := range [...]time.Time{o.from, o.to} {
		if e.After(t) && (next.IsZero() || e.Before(next)) {
			next = e
		}
	}
	return next
}
