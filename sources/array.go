package sources

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ampwake/sim"
	"ampwake/sim/sky"
	"ampwake/sim/units"
)

// Panel describes one solar panel with its charge controller.
type Panel struct {
	Name  string
	Rated units.Watts // at 1000 W/m² and 25 °C, as on the label

	// Tilt is the angle against the deck (0°: flat, 90°: upright), Facing the
	// direction it looks, from the bow clockwise seen from above.
	Tilt, Facing units.Degrees
	// Trims is how often in a day's light the crew points the panel anew; 0 for
	// a fixed panel. Facing does not count then; at the start of each of so many
	// equal parts of the daylight the panel is aimed where the sun will stand in
	// the middle of that part.
	Trims int
	// FreeTilt lets the crew set the tilt too, up to upright.
	FreeTilt bool

	Shade units.Fraction // share of the light lost to sails and spars, [0, 1)
	Dirt  units.Fraction // share lost to salt and dirt, [0, 1)

	Glass Glass
	B0    float64 // of GlassASHRAE, [0, 1]
	AR    float64 // of GlassMartinRuiz, [0.05, 1]

	Cooling   Cooling
	NOCT      units.Celsius  // nominal operating cell temperature, for CoolingNOCT
	PerKelvin units.Fraction // change of power with the temperature of the cells

	Controller Controller
	Efficiency units.Fraction // of the controller, (0, 1]; about 1 if it switches
	MaxPower   units.Volts    // of the panel at its best point, for ControllerSwitching

	Surroundings sky.Surroundings

	Out    []OutOfService // when it gives nothing
	States sim.States     // in which it works; the empty set stands for all
}

// OutOfService is a span in which a thing gives nothing: from From on and before
// Until. A zero time leaves that side open.
type OutOfService struct{ From, Until time.Time }

// holds reports whether t lies in the span.
func (o OutOfService) holds(t time.Time) bool {
	return !t.Before(o.From) && (o.Until.IsZero() || t.Before(o.Until))
}

// DefaultPanel returns a clean panel flat on the rail, without its rating: glass
// with b0 0.05, a free back (NOCT 45 °C), -0.4 % per kelvin, a power-tracking
// controller of 95 %, the sea's albedo 0.06. The last three are common practice,
// no source; 18 V at the best point is that of a panel for 12 V.
func DefaultPanel() Panel {
	return Panel{
		Name:         "panel",
		Glass:        GlassASHRAE,
		B0:           0.05,
		AR:           0.16,
		Cooling:      CoolingNOCT,
		NOCT:         45,
		PerKelvin:    -0.004,
		Controller:   ControllerTracking,
		Efficiency:   0.95,
		MaxPower:     18,
		Surroundings: sky.Surroundings{Albedo: sky.SeaAlbedo},
	}
}

// check returns what is wrong with the description, or nil.
func (p *Panel) check() error {
	share := func(x units.Fraction) bool { return x >= 0 && x < 1 }
	switch {
	case p.Name == "":
		return fmt.Errorf("panel: the name is missing")
	case !(p.Rated > 0) || math.IsInf(float64(p.Rated), 0):
		return fmt.Errorf("%s: rated power %v, want more than 0 W", p.Name, p.Rated)
	case !(p.Tilt >= 0 && p.Tilt <= 180):
		return fmt.Errorf("%s: tilt %v, want 0° to 180°", p.Name, p.Tilt)
	case !(p.Facing >= -360 && p.Facing <= 360):
		return fmt.Errorf("%s: facing %v from the bow, want 0° to 360°", p.Name, p.Facing)
	case p.Trims < 0 || p.Trims > 100:
		return fmt.Errorf("%s: trimmed %d times a day, want 0 to 100", p.Name, p.Trims)
	case p.FreeTilt && p.Trims == 0:
		return fmt.Errorf("%s: a free tilt needs a panel that is trimmed", p.Name)
	case !share(p.Shade):
		return fmt.Errorf("%s: shade %v, want at least 0 and under 100 %%", p.Name, p.Shade)
	case !share(p.Dirt):
		return fmt.Errorf("%s: dirt %v, want at least 0 and under 100 %%", p.Name, p.Dirt)
	case p.Glass == GlassASHRAE && !(p.B0 >= 0 && p.B0 <= 1):
		return fmt.Errorf("%s: incidence loss b0 %v, want 0 to 1, like 0.05", p.Name, p.B0)
	case p.Glass == GlassMartinRuiz && !(p.AR >= 0.05 && p.AR <= 1):
		return fmt.Errorf("%s: incidence loss ar %v, want 0.05 to 1, like 0.16", p.Name, p.AR)
	case p.Cooling == CoolingNOCT && !(p.NOCT >= 20 && p.NOCT <= 90):
		return fmt.Errorf("%s: nominal operating cell temperature %v, want 20 °C to 90 °C", p.Name, p.NOCT)
	case !(p.PerKelvin >= -0.02 && p.PerKelvin <= 0):
		return fmt.Errorf("%s: power changes by %v per kelvin, want -2 %% to 0, like -0.4 %%", p.Name, p.PerKelvin)
	case !(p.Efficiency > 0 && p.Efficiency <= 1):
		return fmt.Errorf("%s: controller efficiency %v, want more than 0 and at most 100 %%", p.Name, p.Efficiency)
	case p.Controller == ControllerSwitching && !(p.MaxPower > 0 && p.MaxPower <= 1000):
		return fmt.Errorf("%s: voltage at the best point %v, want more than 0 V, like 18 V", p.Name, p.MaxPower)
	case !(p.Surroundings.Albedo >= 0 && p.Surroundings.Albedo <= 1):
		return fmt.Errorf("%s: albedo %v, want 0 to 100 %%", p.Name, p.Surroundings.Albedo)
	}
	for _, o := range p.Out {
		if !o.Until.IsZero() && !o.From.Before(o.Until) {
			return fmt.Errorf("%s: out of service until %s, which is not after %s",
				p.Name, o.Until.Format(time.RFC3339), o.From.Format(time.RFC3339))
		}
	}
	return nil
}

// SolarPanel is a solar panel as a source. It never changes, so that many
// voyages share it.
type SolarPanel struct {
	spec  Panel
	mount sky.Mount
	share float64 // of the light that shade and dirt leave
	heat  float64 // of CoolingNOCT, K per W/m²
	amps  float64 // of ControllerSwitching, per W/m²

	sinTilt, cosTilt float64
}

// NewPanel returns a panel as a source. The error says what is wrong with the
// description and starts with the panel's name.
func NewPanel(spec Panel) (*SolarPanel, error) {
	if err := spec.check(); err != nil {
		return nil, err
	}
	spec.Out = slices.Clone(spec.Out)
	p := &SolarPanel{
		spec:  spec,
		mount: sky.NewMount(spec.Tilt, spec.Facing),
		share: float64((1 - spec.Shade) * (1 - spec.Dirt)),
		heat:  float64(spec.NOCT-20) / 800, // see sky.CellNOCT
	}
	if spec.MaxPower > 0 {
		p.amps = float64(spec.Rated) / float64(spec.MaxPower) / 1000
	}
	p.sinTilt, p.cosTilt = math.Sincos(float64(spec.Tilt) * math.Pi / 180)
	return p, nil
}

// Name returns the panel's name.
func (p *SolarPanel) Name() string { return p.spec.Name }

// Offer returns what the panel puts on the bus. It gives nothing while the sun
// is down, out of service, and in states it does not work in.
func (p *SolarPanel) Offer(c *sim.Conditions) sim.Supply {
	if c.Light.Global <= 0 || !p.spec.States.In(c.State) || p.out(c.Time) {
		return sim.Supply{}
	}
	n := p.normal(c)
	plane := p.spec.Surroundings.On(&c.Sun, &c.Light, n)
	effective := p.glass(&plane, n) * p.share
	watts := float64(sky.PanelPower(units.WattsPerSquareMetre(effective), p.spec.Rated, float64(p.spec.PerKelvin), p.cell(c, plane.Total())))
	bus := watts
	if p.spec.Controller == ControllerSwitching {
		bus = max(0, min(watts, effective*p.amps*float64(c.Bus)))
	}
	bus *= float64(p.spec.Efficiency)
	return sim.Supply{Power: units.Watts(bus), Lost: units.Watts(watts - bus)}
}

// Plane returns the light on the panel, before glass, shade and dirt.
func (p *SolarPanel) Plane(c *sim.Conditions) sky.Plane {
	return p.spec.Surroundings.On(&c.Sun, &c.Light, p.normal(c))
}

// out reports whether the panel is out of service.
func (p *SolarPanel) out(t time.Time) bool {
	for i := range p.spec.Out {
		if p.spec.Out[i].holds(t) {
			return true
		}
	}
	return false
}

// normal returns where the panel looks.
func (p *SolarPanel) normal(c *sim.Conditions) sky.Vector {
	a := c.Attitude()
	if p.spec.Trims > 0 {
		return a.Normal(p.trimmed(c, a))
	}
	return a.Normal(p.mount)
}

// Edge returns the next instant strictly after t at which the panel goes out of
// service or comes back, or the zero time: the simulator cuts its steps there.
func (p *SolarPanel) Edge(t time.Time, _ int) time.Time {
	var next time.Time
	for _, o := range p.spec.Out {
		for _, x := range []time.Time{o.From, o.Until} {
			if x.After(t) && (next.IsZero() || x.Before(next)) {
				next = x
			}
		}
	}
	return next
}
