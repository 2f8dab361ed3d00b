package sim

import (
	"context"
	"fmt"
	"math"
	"time"

	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Options say what to keep of a voyage.
type Options struct {
	Member int  // which weather
	Trace  bool // keep every step
	// Lean keeps no Decisions, and Days without their Sources and Loads: for
	// many voyages of which only the outcome counts.
	Lean bool
}

// Sail sails the voyage once. The error is the context's: physics that says no
// is part of the result.
func (v *Voyage) Sail(ctx context.Context, opt Options) (*Result, error) {
	if v.Vary != nil {
		v = v.Vary(opt.Member)
	}
	p := v.embark(opt)
	for !p.over() {
		if p.now == p.start || p.clearOfDay() {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
		}
		p.step()
	}
	return p.finish(), nil
}

// passage is a voyage under way: all that changes while the Voyage does not.
type passage struct {
	v     *Voyage
	c     Conditions
	res   *Result
	trace *Trace

	now, start, limit int64 // Unix ns
	mid               int64 // middle of the step as first plotted
	midnight          int64 // UTC, of the day of the clock
	grid              int64 // ns
	sailed, length    float64
	along             float64        // share of the speed made good along the route
	place             track.Position // see here
	placed            float64        // miles sailed where place was found
	zone              int
	clockEdge         int64        // first of the edges of loads, sources and rules
	cursor, ahead     track.Cursor // of the boat, and of forecasts

	marks     []mark
	nextMark  int
	stayUntil int64 // while staying, when it ends; else 0
	staying   int   // index into Stays, or -1
	stretch   int
	stretched int64 // when the stretch began

	weather     Weather
	weatherEdge int64
	almanac     sky.Almanac
	lights      [len(climate.Skies{})]sky.Irradiance // of the skies of a mean cloud
	horizons    []horizon
	position    func(time.Time) (units.Degrees, units.Degrees)

	bank                 bank.State
	model                *bank.Model // of what is left of it
	warmth               units.Celsius
	trim                 trim
	drag                 dragCache
	dragMiles, dragHours float64                         // lost by it
	drags                func(units.Knots) units.Newtons // dragAt, bound once
	fuel                 float64
	cut                  cutStage
	reset                units.Volts // bus voltage at which loads come back

	faults []faultState
	factor []float64 // what faults leave of each source, times Fitted.Times
	extra  []float64 // A that faults add to each load
	wear   wearbook

	sources []fittedState
	loads   []fixedState
	timed   []timedEdge
	dirty   bool // demands must be asked for again
	sheds   bool // some load has a rule
	fixedW  float64
	fixedA  float64 // sums over the loads served
	wary    int     // loads on that have a lowest working voltage

	books  tally
	day    daybook
	lean   bool // see Options.Lean
	lowest Moment
	slack  Moment  // lowest bus voltage
	broken *Moment // when the floor was first passed
}

// cutStage is what the low-voltage cut-off has switched off.
type cutStage uint8

const (
	cutNone cutStage = iota
	cutSpare
	cutAll
)

type fittedState struct {
	inUse          bool
	asked          int64   // when the crew began to bring it into use, or never
	takes          int64   // how long they need for it, ns
	miles          float64 // lost by its drag
	share          float64 // of the drag of all that is in the water
	since          int64
	power          float64 // W at the bus this step
	lost           float64
	powers, losses float64 // sums over the skies of a mean cloud
	energy         float64 // Wh
	charge         float64 // Ah
	loss           float64 // Wh
	hours          float64
	drag           Dragger
	burner         Burner
	follow         bool
}

type fixedState struct {
	demand Demand
	served bool
	shed   bool // by its rule
	since  int64
	edge   int64
	times  float64 // see Fixed.Times
	w, a   float64 // what it draws this step
	energy float64
	charge float64
	off    float64 // hours due and not served
	slot   slotbook
}

// timedEdge is the next change by the clock of a source or a rule.
type timedEdge struct {
	of   Timed
	next int64
}

const never = int64(math.MaxInt64)

// embark makes a passage ready at the first waypoint.
func (v *Voyage) embark(opt Options) *passage {
	p := &passage{v: v, start: v.Depart.UnixNano(), length: float64(v.Route.Length()), staying: -1}
	p.now = p.start
	limit := v.Limit
	if limit <= 0 || limit > MaxLength {
		limit = MaxLength
	}
	p.limit = p.start + nanos(limit)
	p.grid = int64(v.Grid)
	if p.grid == 0 {
		p.grid = int64(stdGrid)
	}
	if p.grid < int64(MinGrid) || int64(time.Hour)%p.grid != 0 {
		panic(fmt.Sprintf("sim: grid of %v does not divide an hour", v.Grid))
	}
	if len(v.Plan) == 0 {
		panic("sim: voyage without a plan")
	}
	p.stretched = p.start
	p.marks = marks(v.Route, v.Stays, v.Plan, v.Faults)
	p.cursor, p.ahead = v.Route.Cursor(), v.Route.Cursor()
	p.c.Place, p.c.Heading = p.cursor.At(0)
	p.place = p.c.Place
	p.zone, _ = v.Route.ZoneAt(0)
	p.weather = v.Weather(opt.Member)
	p.fuel = float64(v.Fuel)
	p.lean = opt.Lean
	p.dirty = true
	p.model = v.Bank
	p.reset = v.Bank.Setup().Reset
	p.newFaults(opt.Member)
	p.sources = make([]fittedState, len(v.Sources))
	for i, f := range v.Sources {
		s := &p.sources[i]
		s.inUse, s.since, s.asked = f.Rule == nil, p.start, never
		if slow, ok := f.Rule.(Slow); ok {
			s.takes = nanos(slow.Takes())
		}
		s.drag, _ = f.Source.(Dragger)
		s.burner, _ = f.Source.(Burner)
		_, s.follow = f.Source.(Follower)
		for _, x := range []any{f.Source, f.Rule} {
			if t, ok := x.(Timed); ok {
				p.timed = append(p.timed, timedEdge{of: t, next: p.start})
			}
		}
	}
	p.loads = make([]fixedState, len(v.Loads))
	for i := range p.loads {
		p.loads[i].edge, p.loads[i].since = p.start, p.start
		p.sheds = p.sheds || v.Loads[i].Rule != nil
		p.loads[i].times = orOne(v.Loads[i].Times)
		p.loads[i].slot.spell, p.loads[i].slot.last = -1, -1
	}
	p.horizons = newHorizons(v.Loads)
	base := p.positionAhead()
	p.position = base
	p.drags = p.dragAt
	p.res = &Result{Title: v.Title, Depart: v.Depart, Start: v.Charge, Notes: v.Notes, Diesel: v.Diesel}
	if opt.Trace {
		p.trace = newTrace(len(v.Sources), len(v.Loads))
		p.res.Trace = p.trace
	}
	sample := p.weather.At(v.Depart, p.place)
	p.c.Weather = sample // a fault may strike at once
	p.warmth = warmth(sample.Sea)
	p.bank = v.Bank.Start(v.Charge, sample.Sea)
	p.c.Charge = v.Bank.Charge(&p.bank, sample.Sea)
	p.c.Bus = v.Bank.Look(&p.bank, bank.Node{Temp: p.warmth}).Volts
	p.c.Fuel = v.Fuel
	p.books.store, p.books.worth = held(&p.bank), v.Bank.Store(&p.bank, sample.Sea)
	p.lowest, p.slack = p.moment(), p.moment()
	if p.c.Charge < v.Goals.Above {
		m := p.moment()
		p.broken = &m
	}
	p.wear.begin(float64(p.c.Charge))
	p.day.begin(p, p.start)
	return p
}

// warmth returns the temperature of a bank low in a hull, that of the sea, in
// steps of 1/64 K: a slow change of the sea must not have the bank work out its
// curves anew at every step. The state of charge is counted at the exact one.
func warmth(sea units.Celsius) units.Celsius {
	return units.Celsius(math.Floor(float64(sea)*64+0.5) / 64)
}

// positionAhead returns where the boat will be if she keeps her present speed.
// One closure serves the whole passage.
func (p *passage) positionAhead() func(time.Time) (units.Degrees, units.Degrees) {
	return func(t time.Time) (units.Degrees, units.Degrees) {
		ahead := p.sailed + float64(p.c.Speed)*p.along*hours(t.UnixNano()-p.now)
		place, _ := p.ahead.At(units.NauticalMiles(math.Min(ahead, p.length)))
		return place.Lat, place.Lon
	}
}

// over reports whether the voyage has ended: at the last waypoint, with no stay
// left, or at its limit. A boat that goes nowhere (a route of one waypoint) and
// has no stay to end stays until the limit.
func (p *passage) over() bool {
	if p.now >= p.limit {
		return true
	}
	return p.sailed >= p.length && p.stayUntil == 0 && p.nextMark >= len(p.marks) && (p.length > 0 || len(p.v.Stays) > 0)
}

// here returns the place at the present moment. It is found only when asked for,
// since most steps need but the place at their middle.
func (p *passage) here() track.Position {
	if p.placed != p.sailed {
		p.place, _ = p.cursor.At(units.NauticalMiles(p.sailed))
		p.placed = p.sailed
	}
	return p.place
}

// moment tells when and where now is.
func (p *passage) moment() Moment {
	return Moment{Time: time.Unix(0, p.now).UTC(), Place: p.here(), Sailed: units.NauticalMiles(p.sailed), Zone: p.zone, Charge: p.c.Charge, Bus: p.c.Bus}
}

// finish closes the books.
func (p *passage) finish() *Result {
	r := p.res
	r.End = time.Unix(0, p.now).UTC()
	r.Arrived = p.sailed >= p.length
	r.Sailed = units.NauticalMiles(p.sailed)
	r.Last = p.c.Charge
	r.Lowest, r.LowestVolts = p.lowest, p.slack
	r.Fuel = p.v.Fuel - units.Litres(p.fuel)
	for i := range p.loads {
		p.closeSlot(i)
	}
	p.day.end(p)
	r.Sources, r.Loads = p.sourceTotals(), p.loadTotals()
	r.Drag = Drag{Miles: units.NauticalMiles(p.dragMiles), Hours: units.Hours(p.dragHours)}
	r.Books = p.books.books(p)
	setup := p.v.Bank.Setup()
	r.Wear = p.wear.end(r.Books.Drawn, setup.Rated, setup.Chemistry)
	r.Verdict = p.judge(r)
	if p.trace != nil {
		p.trace.close(p)
	}
	return r
}
