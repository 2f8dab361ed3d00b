package card

import (
	"math"
	"sort"
	"time"

	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Zone is what the two sides of one ocean zone say.
type Zone struct {
	Name     string
	No, Of   int // part No of Of of a long zone; 1 of 1 if it is whole
	From, To units.NauticalMiles
	Place    track.Position // in the middle of it
	Course   units.Degrees
	Ship     int // ship's zone there: hours to add to UTC
	// ShipFrom and ShipTo are the ship's zones at its beginning and end.
	ShipFrom, ShipTo int
	// DateLine is +1 if she passes the date line eastbound in it (a date comes
	// twice), -1 if westbound (a date is left out), else 0.
	DateLine int

	Reach        int   // weathers in which she comes here
	Enter, Leave Times // of those
	Middle       time.Time
	Days         float64 // mean time in it
	Speed        units.Knots
	Heel         units.Degrees
	Cloud        units.Fraction
	Air, Sea     units.Celsius
	Wind         units.Knots // the steady wind of the same power

	In, Out []Entry        // Ah a day, in the order of the file
	Spilled units.AmpHours // a day
	Noons   []Noon         // by ship's date, without a gap
	Trouble []Trouble      // where the first failures of the voyage begin here
	Failing int            // weathers whose first failure is here

	Slots  []Slot
	Rest   []RestRow
	Sag    units.Volts // how much lower the bank stands with 5 A flowing out
	Needs  []Need
	Ways   []Way // of running the boat: everything first
	Speeds []units.Knots
	// Net is the change of the charge a day by speed, with everything running and
	// the generator down, at half way between floor and full.
	Net   []units.AmpHours
	Lasts []Lasts
	// Even is the lowest speed at which the day breaks even with everything
	// running; NaN if there is none up to 12 kn.
	Even units.Knots
	// Runs tells the hours of the generator a day by which it breaks even, a row
	// for each of Ways; nil without one. Helper names it: the water generator, or
	// the engine in a boat without.
	Runs   []Runs
	Helper string
	Engine *Engine

	Ladder       []Rung
	Below, Above string // what to do when the noon leaves the band
}

// Times is when something happens in the weathers.
type Times struct{ P10, P50, P90 time.Time }

// Entry is a line of the budget.
type Entry struct {
	Name string
	Ah   units.AmpHours // a day
}

// Noon is the state of charge at ship's noon of a date.
type Noon struct {
	Date  time.Time // midnight, of the ship's calendar
	Count int       // weathers in which there is such a noon at sea
	// Band is not to be used if Count is small: see Thin.
	Band sim.Spread[units.Fraction]
	Thin bool // fewer than one weather in ten
}

// Trouble counts first failures of one kind.
type Trouble struct {
	What  string // the load, or "floor"
	Why   string // "" for the floor
	Count int
}

// least is the share of the weathers that must come to a zone for it to have a
// place on the card, and that must be at sea for a noon to be in the band.
const least = 0.1

// newZone sums up the weathers in part k; ok is false if too few come there.
func newZone(v *sim.Voyage, p part, k int, books []*logbook) (z *Zone, ok bool) {
	z = &Zone{Name: p.Name, No: p.no, Of: p.of, From: p.From, To: p.To}
	middle := (p.From + p.To) / 2
	z.Place, z.Course = v.Route.At(middle)
	z.Ship, _ = v.Route.ZoneAt(middle)
	z.ShipFrom, _ = v.Route.ZoneAt(p.From)
	z.ShipTo, _ = v.Route.ZoneAt(p.To)
	z.DateLine = dateLine(v.Route, p.From, p.To)

	var enter, leave, mid []units.Hours
	var sum passed
	sum.in, sum.out = make([]float64, len(v.Sources)), make([]float64, len(v.Loads))
	for _, b := range books {
		x := &b.zones[k]
		if math.IsNaN(x.enter) {
			continue
		}
		enter = append(enter, units.Hours(x.enter))
		leave = append(leave, units.Hours(x.leave))
		mid = append(mid, units.Hours(x.middle))
		sum.merge(x)
	}
	if z.Reach = len(enter); float64(z.Reach) < least*float64(len(books)) || sum.hours <= 0 {
		return nil, false
	}
	z.Enter, z.Leave = times(v, enter), times(v, leave)
	z.Middle = times(v, mid).P50
	z.average(v, &sum)
	z.trouble(v, books, k)
	z.noons(books)
	return z, true
}

func (p *passed) merge(x *passed) {
	for i := range x.in {
		p.in[i] += x.in[i]
	}
	for i := range x.out {
		p.out[i] += x.out[i]
	}
	p.hours += x.hours
	p.spilled += x.spilled
	p.cloud, p.air, p.sea = p.cloud+x.cloud, p.air+x.air, p.sea+x.sea
	p.plan, p.heel, p.under, p.cube = p.plan+x.plan, p.heel+x.heel, p.under+x.under, p.cube+x.cube
}

func times(v *sim.Voyage, hours []units.Hours) Times {
	s := sim.NewSpread(hours)
	at := func(h units.Hours) time.Time {
		return v.Depart.Add(time.Duration(float64(h) * 3.6e12)).Round(time.Minute)
	}
	return Times{at(s.P10), at(s.P50), at(s.P90)}
}

// average divides the sums of all weathers by their hours.
func (z *Zone) average(v *sim.Voyage, s *passed) {
	days := s.hours / 24
	z.Days = days / float64(z.Reach)
	for i := range s.in {
		z.In = append(z.In, Entry{v.Sources[i].Source.Name(), units.AmpHours(s.in[i] / days)})
	}
	for i := range s.out {
		z.Out = append(z.Out, Entry{v.Loads[i].Load.Name(), units.AmpHours(s.out[i] / days)})
	}
	z.Spilled = units.AmpHours(s.spilled / days)
	z.Cloud = units.Fraction(s.cloud / s.hours)
	z.Air, z.Sea = units.Celsius(s.air/s.hours), units.Celsius(s.sea/s.hours)
	z.Wind = units.Knots(math.Cbrt(s.cube / s.hours))
	if s.under > 0 {
		z.Speed, z.Heel = units.Knots(s.plan/s.under), units.Degrees(s.heel/s.under)
	}
}

// Made returns what the sources give a day less what is spilled, Used what the
// loads take.
func (z *Zone) Made() units.AmpHours { return sumOf(z.In) - z.Spilled }

// Used returns what the loads take a day.
func (z *Zone) Used() units.AmpHours { return sumOf(z.Out) }

func sumOf(es []Entry) (sum units.AmpHours) {
	for _, e := range es {
		sum += e.Ah
	}
	return sum
}

// trouble counts the first failures of the voyage that fall into part k.
func (z *Zone) trouble(v *sim.Voyage, books []*logbook, k int) {
	for _, b := range books {
		f := b.zones[k].failed
		if f == nil {
			continue
		}
		z.Failing++
		t := Trouble{What: "floor"}
		if f.load >= 0 {
			t = Trouble{What: v.Loads[f.load].Load.Name(), Why: f.cause.String()}
		}
		for i := range z.Trouble {
			if z.Trouble[i].What == t.What && z.Trouble[i].Why == t.Why {
				z.Trouble[i].Count++
				t.Count = -1
			}
		}
		if t.Count == 0 {
			t.Count = 1
			z.Trouble = append(z.Trouble, t)
		}
	}
	sort.SliceStable(z.Trouble, func(i, j int) bool { return z.Trouble[i].Count > z.Trouble[j].Count })
}

// Days on the sheet of a zone: at least leastRows, so that a boat that is late
// finds room, at most mostRows.
const (
	leastRows = 24
	mostRows  = 34
)

// noons spreads the state of charge at ship's noon over the dates on which she
// may be here, from that on which one weather in ten has brought her to that on
// which nine in ten have taken her on, and some more to fill the sheet.
func (z *Zone) noons(books []*logbook) {
	day := func(t time.Time, ship int) int { return shipDay(t, ship) }
	from, to := day(z.Enter.P10, z.ShipFrom), day(z.Leave.P90, z.ShipTo)
	if rows := to - from + 1; rows > mostRows {
		// The days about the median matter most.
		middle := (day(z.Enter.P50, z.ShipFrom) + day(z.Leave.P50, z.ShipTo)) / 2
		from = max(from, min(middle-mostRows/2, to-mostRows+1))
		to = from + mostRows - 1
	}
	to = max(to, from+leastRows-1)
	for d := from; d <= to; d++ {
		var at []units.Fraction
		for _, b := range books {
			if i := d - b.first; i >= 0 && i < len(b.noons) && !math.IsNaN(b.noons[i]) {
				at = append(at, units.Fraction(b.noons[i]))
			}
		}
		z.Noons = append(z.Noons, Noon{
			Date: time.Unix(int64(d)*86400, 0).UTC(), Count: len(at), Band: sim.NewSpread(at),
			Thin: len(at) == 0 || float64(len(at)) < least*float64(len(books)),
		})
	}
}

// dateLine tells whether and which way the date line is passed.
func dateLine(r *track.Route, from, to units.NauticalMiles) int {
	for d := from; d < to; {
		zone, next := r.ZoneAt(d)
		if next >= to {
			return 0
		}
		after, _ := r.ZoneAt(next)
		switch {
		case zone-after > 12:
			return 1
		case after-zone > 12:
			return -1
		}
		d = next
	}
	return 0
}

// Doubt is how well a rested voltage tells the charge, points: 0.05 to 0.1 V of a
// lead-acid bank. Common practice, no source.
const Doubt = 5

// Single reports whether there is no band to speak of: one weather, or all alike.
func (z *Zone) Single(c *Card) bool {
	if c.Weathers == 1 {
		return true
	}
	for i := range z.Noons {
		if b := &z.Noons[i].Band; !z.Noons[i].Thin && b.P90 > b.P10 {
			return false
		}
	}
	return true
}

// RestAt returns the rested voltage at a charge, straight lines between the rows
// of Rest and its ends beyond.
func (z *Zone) RestAt(c units.Fraction) units.Volts {
	rows := z.Rest
	for i := 1; i < len(rows); i++ {
		if a, b := rows[i-1], rows[i]; c >= b.Charge {
			return b.Volts + (a.Volts-b.Volts)*units.Volts((c-b.Charge)/(a.Charge-b.Charge))
		}
	}
	return rows[len(rows)-1].Volts
}
