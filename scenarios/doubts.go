package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/units"
)

// Doubt is something that goes into the calculation and is not known well. It is
// shifted down and up by its usual range to see what hangs on it.
type Doubt struct {
	Name  string // "charge efficiency"
	Range string // the shift in words: "−20 % and +20 %"
	// Standing is where the range is from, or that it is common practice.
	Standing string
	// Low and High are the value shifted down and up; nil where it cannot go
	// further that way.
	Low, High *Shift
}

// Shift is a doubtful value, shifted.
type Shift struct {
	Text string   // the value: "184 Ah"
	sets []string // overrides that set it, where the file has a key for it
	// wrap changes the voyage, where it has none; see the functions below.
	wrap func(*sim.Voyage)
}

// practice is the standing of a range that people who do it go by.
const practice = "common practice, no source"

// Doubts lists what is doubtful about the scenario. seeded tells that it is to
// sail through seeded weathers, as Seeded gives them, and not that of its file.
func (s *Scenario) Doubts(seeded bool) []Doubt {
	d := doubts{s: s, f: s.File}
	d.bank()
	d.sky(seeded)
	d.sources()
	d.boat()
	d.loads()
	return d.list
}

// Shifted returns the voyage with a value shifted: that of the file, or that
// through the seeded weathers of *seed. The error is that of With or Seeded: a
// value may be shifted to where the file cannot be.
func (s *Scenario) Shifted(x *Shift, seed *uint64) (*sim.Voyage, error) {
	if len(x.sets) > 0 {
		again, err := s.With("shift", x.sets...)
		if err != nil {
			return nil, err
		}
		s = again
	}
	v := s.Voyage()
	if seed != nil {
		var err error
		if v, err = s.Seeded(*seed); err != nil {
			return nil, err
		}
	}
	if x.wrap == nil {
		return v, nil
	}
	w := *v
	x.wrap(&w)
	return &w, nil
}

// doubts gathers the list.
type doubts struct {
	s    *Scenario
	f    *File
	list []Doubt
}

func (d *doubts) add(name, shift, standing string, low, high *Shift) {
	if low != nil || high != nil {
		d.list = append(d.list, Doubt{name, shift, standing, low, high})
	}
}

// key returns a shift that sets one key.
func key[Q fmt.Stringer](path string, to Q) *Shift {
	return &Shift{Text: to.String(), sets: []string{path + "=" + to.String()}}
}

// keyIf is key where the value did change, and nil where it did not.
func keyIf[Q interface {
	fmt.Stringer
	comparable
}](path string, from, to Q) *Shift {
	if from == to {
		return nil
	}
	return key(path, to)
}

// fine rounds to six digits, so that a value shows no dust.
func fine[Q ~float64](x Q) Q {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(float64(x), 'g', 6, 64), 64)
	return Q(y)
}

// points shifts a share by so many hundredths, held within a range.
func points(x, by, least, most units.Fraction) units.Fraction {
	return fine(max(min(x, least), min(max(x, most), x+by)))
}

// bank is what is not known of the batteries.
func (d *doubts) bank() {
	b := &d.f.Bank
	d.add("capacity of the bank", "−20 % and +10 %", practice+": a rating holds for a new battery, and age takes some",
		key("bank.capacity", fine(0.8*b.Capacity)), key("bank.capacity", fine(1.1*b.Capacity)))
	least := units.Fraction(0)
	if a := d.f.Goals.Above; a != nil {
		least = *a + 0.001 // under its own goal no voyage begins
	}
	d.add("charge at departure", "−5 and +5 points", practice+": a monitor drifts, a voltmeter needs a rested bank",
		keyIf("bank.start", b.Start, points(b.Start, -0.05, least, 1)), keyIf("bank.start", b.Start, points(b.Start, 0.05, 0, 1)))
	setup := d.s.voyage.Bank.Setup()
	absorption := setup.Charger.Absorption
	d.add("absorption voltage", "−0.2 V and +0.2 V", practice+": controllers are set and read so well",
		keyIf("bank.absorption", absorption, fine(max(absorption-0.2, setup.Charger.Float))), key("bank.absorption", fine(absorption+0.2)))
	e := setup.Efficiency
	shifted := func(low, full units.Fraction) *Shift {
		text := fmt.Sprintf("%.0f to %.0f %%", 100*low, 100*full)
		if low == full {
			text = fmt.Sprintf("%.0f %%", 100*low)
		}
		return &Shift{Text: text, wrap: func(v *sim.Voyage) {
			rebank(v, func(s *bank.Setup) { s.Efficiency.Low, s.Efficiency.Full = low, full })
		}}
	}
	if setup.Chemistry.Lead() {
		d.add("charge efficiency", "95 to 99 %, falling to 50 to 70 % near full",
			"the latter as measured; the former "+practice, shifted(min(e.Low, 0.95), min(e.Full, 0.5)), shifted(0.99, 0.7))
	} else {
		d.add("charge efficiency", "−2 and +1 points", practice, shifted(e.Low-0.02, e.Full-0.02), shifted(min(1, e.Low+0.01), min(1, e.Full+0.01)))
	}
	faded := func(times units.Fraction) *Shift {
		x := fine(times * setup.SelfDischarge)
		return &Shift{Text: fmt.Sprintf("%.1f %% a month", 100*x), wrap: func(v *sim.Voyage) {
			rebank(v, func(s *bank.Setup) { s.SelfDischarge = x })
		}}
	}
	d.add("self-discharge", "half and twice", practice+": data sheets differ so much", faded(0.5), faded(2))
}

// rebank changes the setup of the voyage's bank, and of those that faults leave.
func rebank(v *sim.Voyage, change func(*bank.Setup)) {
	again := func(m *bank.Model) *bank.Model {
		s := m.Setup()
		change(&s)
		n, err := bank.New(s)
		if err != nil {
			panic("scenarios: " + err.Error()) // shifts are of values that hold
		}
		return n
	}
	v.Bank = again(v.Bank)
	v.Faults = slices.Clone(v.Faults)
	for i := range v.Faults {
		if f := &v.Faults[i]; f.Bank != nil {
			f.Bank = again(f.Bank)
		}
	}
}

// sky is what is not known of the weather.
func (d *doubts) sky(seeded bool) {
	switch w := &d.f.Weather; {
	case seeded || w.From == "climate" && w.Record == "":
		d.light("light of the climate", "the climate's light of a month is about that good")
	case w.Record != "":
		d.light("light on the panels", practice+": a log of cloud tells no more")
	default:
		d.add("cloud", "−1 and +1 okta", practice+": observers agree so well", d.okta(-0.125), d.okta(0.125))
	}
	sea := func(by units.Celsius) *Shift {
		return &Shift{Text: signed(float64(by), "K"), wrap: weathered(func(x *climate.Sample) { x.Sea += by })}
	}
	d.add("sea temperature", "−3 K and +3 K", practice+": the bank is as warm as the sea beside it, more or less", sea(-3), sea(3))
}

// okta shifts each cloud amount of the file, nil where none can go further.
func (d *doubts) okta(by CloudAmount) *Shift {
	x := &Shift{Text: signed(8*float64(by), "okta")}
	moved := false
	shifted := func(from CloudAmount) string {
		to := min(1, max(0, from+by))
		moved = moved || to != from
		return fmt.Sprintf("%g", fine(to))
	}
	switch c := &d.f.Weather.Cloud; {
	case len(c.Values) > 0:
		var values []string
		for _, v := range c.Values {
			values = append(values, shifted(v))
		}
		x.sets = []string{"weather.cloud.values=[" + strings.Join(values, ", ") + "]"}
	case len(c.Table) > 0:
		for i, row := range c.Table {
			x.sets = append(x.sets, fmt.Sprintf("weather.cloud.table[%d].cloud=%s", i, shifted(row.Cloud)))
		}
	case c.Amount != nil:
		x.sets = []string{"weather.cloud.amount=" + shifted(*c.Amount)}
	default:
		x.sets = []string{"weather.cloud.amount=" + shifted(usualCloud)}
	}
	if !moved {
		return nil
	}
	return x
}

// light shifts what the panels get. It is put on their ratings: a tenth more
// light is a tenth more power, but for cells a little warmer.
func (d *doubts) light(name, standing string) {
	shifted := func(by units.Watts) *Shift {
		x := &Shift{Text: signed(100*float64(by-1), "%")}
		for i := range d.f.Sources.Panels {
			x.sets = append(x.sets, fmt.Sprintf("sources.panels[%d].rated=%v", i, fine(by*d.f.Sources.Panels[i].Rated)))
		}
		return x
	}
	if len(d.f.Sources.Panels) > 0 {
		d.add(name, "−10 % and +10 %", standing, shifted(0.9), shifted(1.1))
	}
}

// weathered returns a wrapper that changes each sample of the weather.
func weathered(change func(*climate.Sample)) func(*sim.Voyage) {
	return func(v *sim.Voyage) {
		plain := v.Weather
		v.Weather = func(member int) sim.Weather { return shiftedWeather{plain(member), change} }
	}
}

// signed prints a shift with its sign.
func signed(x float64, unit string) string {
	sign := "+"
	if x < 0 {
		sign = "−"
	}
	return sign + strconv.FormatFloat(math.Abs(fine(x)), 'f', -1, 64) + " " + unit
}
