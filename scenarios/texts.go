package scenarios

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Instant is a moment by either clock: "2027-01-10 09:00 UTC" or
// "2027-01-10 07:00 ship's time", the latter in the zone of the place it is
// about.
type Instant struct {
	wall time.Time
	ship bool
}

const instantWant = `a moment, like "2027-01-10 09:00 UTC" or "2027-01-10 07:00 ship's time"`

// UnmarshalText reads an Instant.
func (x *Instant) UnmarshalText(text []byte) error {
	s := strings.Join(strings.Fields(plainQuotes.Replace(string(text))), " ")
	rest, ship := strings.CutSuffix(s, " ship's time")
	if !ship {
		var utc bool
		if rest, utc = strings.CutSuffix(s, " UTC"); !utc {
			if rest, utc = strings.CutSuffix(s, "Z"); !utc {
				return fmt.Errorf("%q is not %s: the clock is missing", s, instantWant)
			}
		}
	}
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05", "2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02"} {
		if t, err := time.Parse(layout, rest); err == nil {
			if t.Year() < 1971 || t.Year() > 2100 {
				return fmt.Errorf("%q is outside 1971 to 2100", s)
			}
			x.wall, x.ship = t, ship
			return nil
		}
	}
	return fmt.Errorf("%q is not %s", s, instantWant)
}

// At returns the moment in UTC, given the ship's zone in hours to add to UTC.
func (x Instant) At(zone int) time.Time {
	if !x.ship {
		return x.wall
	}
	return x.wall.Add(-time.Duration(zone) * time.Hour)
}

func (x Instant) String() string {
	layout := "2006-01-02 15:04"
	if x.wall.Second() != 0 {
		layout += ":05"
	}
	if x.ship {
		return x.wall.Format(layout) + " ship's time"
	}
	return x.wall.Format(layout) + " UTC"
}

var plainQuotes = strings.NewReplacer("’", "'", "\u00a0", " ")

// Line is the line sailed between two waypoints.
type Line string

// Choices lists the lines.
func (Line) Choices() []string { return []string{"great circle", "rhumb line"} }

func (l Line) track() track.Line {
	if l == "rhumb line" {
		return track.RhumbLine
	}
	return track.GreatCircle
}

// BoatState is what the boat does, as written.
type BoatState string

var stateNames = []string{"under sail", "motoring", "hove-to", "drifting", "at anchor", "alongside"}

// Choices lists the states in the order of sim.State.
func (BoatState) Choices() []string { return stateNames }

func (s BoatState) state() sim.State {
	for i, n := range stateNames {
		if n == string(s) {
			return sim.State(i)
		}
	}
	return sim.UnderSail
}

func states(list []BoatState) sim.States {
	var set sim.States
	for _, s := range list {
		set = set.With(s.state())
	}
	return set
}

// Stay is a time spent at a waypoint, like "5 d at anchor".
type Stay struct {
	For   units.Hours
	State sim.State
}

// UnmarshalText reads a Stay.
func (x *Stay) UnmarshalText(text []byte) error {
	s := strings.TrimSpace(string(text))
	for _, name := range []string{"at anchor", "alongside", "drifting", "hove-to"} {
		span, ok := strings.CutSuffix(s, " "+name)
		if !ok {
			continue
		}
		var length units.Hours
		if err := length.UnmarshalText([]byte(span)); err != nil {
			return err
		}
		if length <= 0 || length > sim.MaxLength {
			return fmt.Errorf("%q is not between 0 and %v", span, sim.MaxLength)
		}
		*x = Stay{For: length, State: BoatState(name).state()}
		return nil
	}
	return fmt.Errorf(`%q is not a stay, like "5 d at anchor", "36 h alongside" or "12 h hove-to"`, s)
}

func (x Stay) String() string { return x.For.String() + " " + stateNames[x.State] }

// Until is where a stretch ends: the name of a waypoint or a latitude.
type Until string

// Heel is an angle and a side: "12° to port", or "to leeward".
type Heel struct {
	Angle   units.Degrees // starboard down positive
	Leeward bool
}

// UnmarshalText reads a Heel.
func (x *Heel) UnmarshalText(text []byte) error {
	s := strings.TrimSpace(string(text))
	angle, side, _ := strings.Cut(s, " to ")
	var a units.Degrees
	if err := a.UnmarshalText([]byte(angle)); err != nil {
		return fmt.Errorf(`%q is not a heel, like "12° to port", "8° to starboard" or "0°"`, s)
	}
	if a < 0 || a > 60 {
		return fmt.Errorf("%q: heel is between 0° and 60°", s)
	}
	switch strings.TrimSpace(side) {
	case "port":
		*x = Heel{Angle: -a}
	case "starboard":
		*x = Heel{Angle: a}
	case "leeward":
		*x = Heel{Angle: a, Leeward: true}
	case "":
		if a != 0 {
			return fmt.Errorf("%q does not say to which side: to port, to starboard or to leeward", s)
		}
		*x = Heel{}
	default:
		return fmt.Errorf("%q is no side: to port, to starboard or to leeward", side)
	}
	return nil
}

// CloudAmount is a share of the sky: "0.4", "40 %" or "3 oktas".
type CloudAmount float64

// UnmarshalText reads a CloudAmount.
func (x *CloudAmount) UnmarshalText(text []byte) error {
	s := strings.TrimSpace(string(text))
	v := 0.0
	if n, ok := strings.CutSuffix(strings.TrimSuffix(s, "s"), "okta"); ok {
		oktas, err := strconv.ParseFloat(strings.TrimSpace(n), 64)
		if err != nil {
			return fmt.Errorf(`%q is not a cloud amount, like "3 oktas", "40 %%" or "0.4"`, s)
		}
		v = oktas / 8
	} else {
		var f units.Fraction
		if err := f.UnmarshalText(text); err != nil {
			return fmt.Errorf(`%q is not a cloud amount, like "3 oktas", "40 %%" or "0.4"`, s)
		}
		v = float64(f)
	}
	if !(v >= 0 && v <= 1) {
		return fmt.Errorf("%q: cloud is from 0 to 8 oktas, or from 0 to 1", s)
	}
	*x = CloudAmount(v)
	return nil
}

// Facing is where a panel looks.
type Facing struct {
	Bow     units.Degrees // clockwise from the bow
	Up      bool          // flat or tilted by heel only; the tilt must be 0
	Trimmed int           // times a day that the crew turns it to the sun, 0: never
}

var facings = map[string]units.Degrees{"forward": 0, "starboard": 90, "aft": 180, "port": 270}

// UnmarshalText reads a Facing.
func (x *Facing) UnmarshalText(text []byte) error {
	s := strings.Join(strings.Fields(string(text)), " ")
	if s == "up" {
		*x = Facing{Up: true}
		return nil
	}
	if a, ok := facings[s]; ok {
		*x = Facing{Bow: a}
		return nil
	}
	want := fmt.Errorf(`%q is not a facing, like "up", "aft", "forward", "port", "starboard", "135° from the bow" or "trimmed to the sun 3 times a day"`, s)
	if n, ok := strings.CutPrefix(s, "trimmed to the sun "); ok {
		n = strings.TrimSuffix(strings.TrimSuffix(n, " a day"), " times")
		k, err := strconv.Atoi(strings.NewReplacer("once", "1", "twice", "2").Replace(n))
		if err != nil || k < 1 || k > 24 {
			return want
		}
		*x = Facing{Trimmed: k}
		return nil
	}
	var a units.Degrees
	if err := a.UnmarshalText([]byte(strings.TrimSuffix(s, " from the bow"))); err != nil || a < 0 || a > 360 {
		return want
	}
	*x = Facing{Bow: a}
	return nil
}

// Chemistry is a kind of battery.
type Chemistry string

// Choices lists the chemistries.
func (Chemistry) Choices() []string { return []string{"flooded", "agm", "gel", "lfp"} }

// Controller is a kind of solar controller.
type Controller string

// Choices lists the controllers.
func (Controller) Choices() []string { return []string{"tracking", "switching"} }

// ChargeStages is how the chargers behave near full.
type ChargeStages string

// Choices lists the ways.
func (ChargeStages) Choices() []string { return []string{"staged", "plain"} }

// PaceSpeed is a speed, or "by wind".
type PaceSpeed struct {
	Knots  units.Knots
	ByWind bool
}

// UnmarshalText reads a PaceSpeed.
func (x *PaceSpeed) UnmarshalText(text []byte) error {
	if s := strings.TrimSpace(string(text)); s == "by wind" || s == "by the wind" {
		*x = PaceSpeed{ByWind: true}
		return nil
	}
	var v units.Knots
	if err := v.UnmarshalText(text); err != nil {
		return fmt.Errorf("%w; or write: by wind", err)
	}
	if v < 0 || v > 20 {
		return fmt.Errorf("%q is out of range: it must be from 0 kn to 20 kn", string(text))
	}
	*x = PaceSpeed{Knots: v}
	return nil
}

// WeatherFrom is where the weather comes from.
type WeatherFrom string

// Choices lists the origins.
func (WeatherFrom) Choices() []string { return []string{"file", "climate"} }

// SpellKind is a kind of scripted weather.
type SpellKind string

// Choices lists the kinds.
func (SpellKind) Choices() []string { return []string{"calm", "gale"} }

// SpellStart is when a spell begins.
type SpellStart struct {
	At   *Instant
	Side string // "north of", "south of" or "crossing"
	Lat  units.Degrees
}

// UnmarshalText reads a SpellStart.
func (x *SpellStart) UnmarshalText(text []byte) error {
	s := strings.Join(strings.Fields(string(text)), " ")
	for _, side := range []string{"north of", "south of", "crossing"} {
		if rest, ok := strings.CutPrefix(s, side+" "); ok {
			lat, ok := latitude(rest)
			if rest == "the equator" {
				lat, ok = 0, true
			}
			if !ok {
				return fmt.Errorf(`%q is not a latitude, like 5°N`, rest)
			}
			*x = SpellStart{Side: side, Lat: lat}
			return nil
		}
	}
	var at Instant
	if err := at.UnmarshalText(text); err != nil {
		return fmt.Errorf(`%q says no beginning, like "2027-01-20 00:00 UTC", "north of 5°N", "south of 40°S" or "crossing the equator"`, s)
	}
	*x = SpellStart{At: &at}
	return nil
}
