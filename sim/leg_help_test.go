package sim_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/loads"
	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/hull"
	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/sources"
	"ampwake/testdata/refdata"
)

// legFile is a reference leg, with what builds a voyage of it.
type legFile struct{ *refdata.Leg }

func readLeg(t testing.TB, id string) *legFile {
	t.Helper()
	return &legFile{refdata.ReadLeg(t, id)}
}

// voyage assembles the leg with the reference's own choices: no charger stages,
// no trickle, no low-voltage cut-off.
func (f *legFile) voyage(t testing.TB, grid time.Duration) *sim.Voyage {
	t.Helper()
	v := &sim.Voyage{Title: f.Title, Depart: f.Start, Grid: grid, Charge: units.Fraction(f.Bank.Start)}
	line := track.GreatCircle
	if f.Track.Kind == "rhumb" {
		line = track.RhumbLine
	}
	var err error
	v.Route, err = track.NewRoute(track.Sphere{}, []track.Waypoint{
		{Name: "from", Position: track.Position{Lat: units.Degrees(f.Track.From.Lat), Lon: units.Degrees(f.Track.From.Lon)}},
		{Name: "to", Position: track.Position{Lat: units.Degrees(f.Track.To.Lat), Lon: units.Degrees(f.Track.To.Lon)}, Line: line},
	})
	require.NoError(t, err)
	for _, s := range f.Segments {
		v.Plan = append(v.Plan, sim.Stretch{For: units.Hours(s.Hours), Speed: units.Knots(s.Speed), Heel: units.Degrees(s.Heel)})
		v.Limit += units.Hours(s.Hours)
	}
	v.Weather = f.weather(t)
	setup := bank.Default(bank.AGM, units.AmpHours(f.Bank.Rated)).Plain()
	setup.SelfDischargeAt = 25 // the reference states its 3 % a month at 25 °C
	v.Bank, err = bank.New(setup)
	require.NoError(t, err)
	f.addSources(t, v)
	f.addLoads(t, v)
	return v
}

func (f *legFile) weather(t testing.TB) func(int) sim.Weather {
	var table climate.Timetable
	table.Cloud.Steps = true
	at := func(h float64) time.Time { return f.Start.Add(time.Duration(h * float64(time.Hour))) }
	for i, c := range f.Weather.Cloud {
		table.Cloud.Knots = append(table.Cloud.Knots, climate.Knot[units.Fraction]{At: at(6 * float64(i)), Value: units.Fraction(c)})
	}
	for i, h := range f.Weather.Knots {
		table.Air.Knots = append(table.Air.Knots, climate.Knot[units.Celsius]{At: at(h), Value: units.Celsius(f.Weather.Air[i])})
		table.Sea.Knots = append(table.Sea.Knots, climate.Knot[units.Celsius]{At: at(h), Value: units.Celsius(f.Weather.Sea[i])})
	}
	table.WindSpeed.Knots = []climate.Knot[units.Knots]{{At: f.Start}}
	table.WindFrom.Knots = []climate.Knot[units.Degrees]{{At: f.Start}}
	return func(int) sim.Weather {
		d, err := climate.NewDated(table, nil)
		require.NoError(t, err)
		return d
	}
}

func (f *legFile) addSources(t testing.TB, v *sim.Voyage) {
	for _, p := range f.Panels {
		spec := sources.DefaultPanel()
		spec.Name, spec.Rated, spec.Tilt, spec.Facing = p.Name, units.Watts(p.Rated), units.Degrees(p.Tilt), units.Degrees(p.Facing)
		spec.Shade, spec.Dirt = units.Fraction(1-p.Shading), units.Fraction(1-p.Dirt)
		spec.NOCT, spec.PerKelvin, spec.Efficiency = units.Celsius(p.NOCT), units.Fraction(p.Gamma), units.Fraction(f.Controller)
		panel, err := sources.NewPanel(spec)
		require.NoError(t, err)
		v.Sources = append(v.Sources, sim.Fitted{Source: panel})
	}
	h := f.Hydro
	if h == nil {
		return
	}
	c := sources.Curve{Name: "hydro", CutIn: units.Knots(h.CutIn), Limit: units.Watts(h.Limit)}
	for i := range h.Speed {
		c.Points = append(c.Points, sources.CurvePoint{Speed: units.Knots(h.Speed[i]), Power: units.Watts(h.Power[i])})
	}
	if d := h.Drag; d != nil {
		c.Rotor = hull.Rotor{Diameter: units.Metres(d.Diameter), CT: d.CT, Density: d.Density}
		var points []hull.Point
		for i := range d.Speed {
			points = append(points, hull.Point{Speed: units.Knots(d.Speed[i]), Force: units.Newtons(d.Force[i])})
		}
		r, err := hull.NewResistance(points)
		require.NoError(t, err)
		v.Hull = r.Times(d.Factor)
	}
	gen, err := sources.NewCurve(c)
	require.NoError(t, err)
	lift, err := sources.NewLiftRule(sources.Lifting{Below: units.Knots(h.LiftBelow)})
	require.NoError(t, err)
	v.Sources = append(v.Sources, sim.Fitted{Source: gen, Rule: lift})
}

func (f *legFile) addLoads(t testing.TB, v *sim.Voyage) {
	for _, l := range f.Loads {
		var load sim.Load
		var err error
		switch {
		case l.Name == "hf_radio":
			load, err = f.radio(t, l.Name)
		case l.When == "always":
			load, err = loads.New(loads.Spec{Name: l.Name, Draw: loads.Draw{Power: units.Watts(l.Power), Current: units.Amps(l.Current)}})
		case l.When == "sun_below":
			load, err = loads.New(loads.Spec{Name: l.Name, Draw: loads.Draw{Power: units.Watts(l.Power)}, When: parseWhen(t, "sun below -0.833°")})
		default:
			clock := "UTC"
			if l.When == "ship_time" {
				clock = "ship's time"
			}
			var when timetable.List
			for _, p := range l.Phases {
				when = append(when, parseWhen(t, fmt.Sprintf("%s-%s %s", p.From, p.To, clock))...)
			}
			p := l.Phases[0]
			load, err = loads.New(loads.Spec{Name: l.Name, Draw: loads.Draw{Power: units.Watts(p.Power), Current: units.Amps(p.Current)}, When: when})
		}
		require.NoError(t, err, l.Name)
		v.Loads = append(v.Loads, sim.Fixed{Load: load})
	}
}

// radio is the reference's radio written as a radio: 2.5 A for half an hour
// before each sched, then (1-f) 2.5 + f k 30 A with f 0.15 and k 0.5.
func (f *legFile) radio(t testing.TB, name string) (sim.Load, error) {
	var scheds timetable.List
	for _, l := range f.Loads {
		for _, p := range l.Phases {
			if l.Name == name && p.Current != 2.5 {
				require.Equal(t, 4.375, p.Current)
				scheds = append(scheds, parseWhen(t, p.From+" UTC")...)
			}
		}
	}
	return loads.NewRadio(loads.RadioSpec{
		Name: name, Receive: 2.5, Transmit: loads.Transmit{Peak: 30, Ratio: 0.5, Share: 0.15},
		Scheds: scheds, Length: 0.25, Standby: 0.5,
	})
}

func parseWhen(t testing.TB, text string) timetable.List {
	t.Helper()
	w, err := timetable.Parse(text)
	require.NoError(t, err)
	return timetable.List{w}
}
