package breakeven

import (
	"context"
	"math"
	"time"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Balance is what a day makes and uses.
type Balance struct {
	Made, Used units.AmpHours
	// Lost is what charging loses in the bank; it is in neither.
	Lost units.AmpHours
}

// Net returns what is made less what is used.
func (b Balance) Net() units.AmpHours { return b.Made - b.Used }

// driftBelow is the speed under which she counts as drifting: the default of
// the file's key "drift below".
const driftBelow units.Knots = 1

// Where the bank stands, how much larger than the boat's it is at first, and how
// far it may move in a day.
const (
	charge = 0.70
	larger = 30
	still  = 0.05
)

// kit is what a day is sailed with.
type kit struct {
	voyage  sim.Voyage     // without a route and a weather
	course  units.Degrees  // of the bow
	heel    units.Degrees  // starboard down positive
	average bool           // whether cloud is a mean of a changing sky
	left    []string       // names of sources left out
	rated   units.AmpHours // of the boat's own bank
}

// newKit takes the kit from a voyage, without engine and shore charger.
func newKit(v *sim.Voyage) *kit {
	k := &kit{voyage: *v, rated: v.Bank.Setup().Rated, average: true}
	w := &k.voyage
	w.Stays, w.Zones, w.Notes, w.Goals = nil, nil, nil, sim.Goals{}
	w.Limit, w.Charge = 24, charge
	w.Sources = nil
	for _, s := range v.Sources {
		if _, follows := s.Source.(sim.Follower); follows {
			k.left = append(k.left, s.Source.Name())
			continue
		}
		w.Sources = append(w.Sources, s)
	}
	k.enlarge(larger)
	return k
}

// enlarge gives it a bank so many times as large as the boat's.
func (k *kit) enlarge(times float64) {
	s := k.voyage.Bank.Setup()
	s.Rated = units.AmpHours(times * float64(k.rated))
	m, err := bank.New(s)
	if err != nil {
		panic("breakeven: a larger bank is refused: " + err.Error())
	}
	k.voyage.Bank = m
}

// day sails a day. The error is the context's, or says why no boat can be there.
func (k *kit) day(ctx context.Context, at track.Position, date time.Time, speed units.Knots, sky climate.Sample) (Balance, error) {
	route, err := track.Standing(track.Waypoint{Position: at}, k.course)
	if err != nil {
		return Balance{}, err
	}
	zone, _ := route.ZoneAt(0)
	year, month, day := date.UTC().Date()
	v := k.voyage
	v.Route = route
	v.Depart = time.Date(year, month, day, -zone, 0, 0, 0, time.UTC) // midnight on the ship's clock
	stretch := sim.Stretch{Speed: speed, Heel: k.heel}
	if speed < driftBelow {
		stretch.State = sim.Drifting
	}
	v.Plan = []sim.Stretch{stretch}
	v.Weather = func(int) sim.Weather { return steady(v.Depart, sky, k.average) }
	times := float64(larger)
	for {
		res, err := v.Sail(ctx, sim.Options{Lean: true})
		if err != nil {
			return Balance{}, err
		}
		moved := math.Abs(float64(res.Last - charge))
		if times < 1e6 && moved > still {
			// A great generator on a small bank.
			times *= 2 * moved / still
			bigger := *k
			bigger.enlarge(times)
			v.Bank = bigger.voyage.Bank
			continue
		}
		return balance(res), nil
	}
}

// steady is one weather for the whole day, made as that of a scenario's file is:
// average says that the cloud is a mean.
func steady(from time.Time, sky climate.Sample, average bool) *climate.Dated {
	t := climate.Timetable{
		Cloud: constant(from, sky.Cloud), Average: average,
		WindSpeed: constant(from, sky.WindSpeed), WindFrom: constant(from, sky.WindFrom),
		Air: constant(from, sky.Air), Sea: constant(from, sky.Sea),
	}
	w, err := climate.NewDated(t, nil)
	if err != nil {
		panic("breakeven: " + err.Error()) // the climate's own values
	}
	return w
}

func constant[T ~float64](from time.Time, v T) climate.Series[T] {
	return climate.Series[T]{Knots: []climate.Knot[T]{{At: from, Value: v}}}
}

// balance sums a result.
func balance(res *sim.Result) Balance {
	b := Balance{Lost: res.Books.Taken - res.Books.Charged}
	for i := range res.Sources {
		b.Made += res.Sources[i].Charge
	}
	for i := range res.Loads {
		b.Used += res.Loads[i].Charge
	}
	return b
}
