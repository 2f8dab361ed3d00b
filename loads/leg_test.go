package loads

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// legLoad is a load as the reference legs describe it.
type legLoad struct {
	Name     string
	Unit     string
	When     string
	Power    float64 `json:"power_w"`
	Current  float64 `json:"current_a"`
	SunBelow float64 `json:"true_elevation_deg"`
	Phases   []struct {
		From, To timetable.TimeOfDay
		Power    float64 `json:"power_w"`
		Current  float64 `json:"current_a"`
	}
}

// build makes the load with the kinds of this package. The radio is built from
// what the note beside its phases says, so that its mean current is ours.
func (l legLoad) build(t *testing.T) sim.Load {
	s := Spec{Name: l.Name, Draw: Draw{units.Watts(l.Power), units.Amps(l.Current)}}
	clock := timetable.UTC
	switch l.When {
	case "ship_time":
		clock = timetable.Ship
	case "sun_below":
		s.When = timetable.List{{Kind: timetable.Dark, Below: units.Degrees(l.SunBelow)}}
	case "always":
		if l.Name == "fridge" { // its note: 4.5 A compressor at a duty of 0.24
			s.Draw, s.Share = Draw{Current: 4.5}, 0.24
		}
	}
	if l.Name == "hf_radio" {
		r, err := NewRadio(RadioSpec{Name: l.Name, Receive: 2.5, Transmit: Transmit{Peak: 30, Share: 0.15}, // k: the default 0.5
			Scheds: list(t, "08:00 UTC", "20:00 UTC"), Length: 0.25, Standby: 0.5})
		require.NoError(t, err)
		return r
	}
	var windows timetable.List
	for _, p := range l.Phases {
		windows = append(windows, timetable.When{Kind: timetable.Window, From: p.From, To: p.To, Clock: clock})
		s.Draw = Draw{units.Watts(p.Power), units.Amps(p.Current)}
	}
	if l.Name == "weather_fax" {
		f, err := NewFax(FaxSpec{Name: l.Name, Draw: s.Draw, Slots: windows})
		require.NoError(t, err)
		return f
	}
	if windows != nil {
		s.When = windows
	}
	made, err := New(s)
	require.NoError(t, err)
	return made
}

// The loads of the reference legs: what each takes at every whole hour, given
// the clocks, the sun and the voltage of that row. Source: leg/leg_a and leg_b,
// computed outside of this project.
func TestReferenceLegs(t *testing.T) {
	watts := refdata.Check{
		Model: refdata.Legs, Quantity: "power of each load at every hour",
		Source: "an independent calculation", Status: refdata.Calculated, Tolerance: 2e-4, Unit: "W",
	}.Begin(t)
	for _, leg := range []string{"leg_a", "leg_b"} {
		raw, err := os.ReadFile(refdata.Path(t, "leg/"+leg+".json"))
		require.NoError(t, err)
		var file struct{ Loads []legLoad }
		require.NoError(t, json.Unmarshal(raw, &file))
		rows := refdata.Read(t, "leg/"+leg+"_trace.csv")
		for _, def := range file.Loads {
			l := def.build(t)
			on := 0
			for _, r := range rows {
				c := conditions(r.Time("utc"), int(r.Float("ship_zone_h")))
				c.Sun.Elevation = units.Degrees(r.Float("sun_true_elevation_deg"))
				d := l.Draw(c)
				volts := r.Float("terminal_v")
				got := float64(d.Power) + volts*float64(d.Current)
				// Tolerance: 4 digits of W and 5 of V are printed.
				want := r.Float("load_" + l.Name() + "_w")
				assert.InDelta(t, want, got, 0.00005+0.000005*float64(d.Current)+1e-9, "%s %s %s", leg, l.Name(), r.Text("utc"))
				watts.Within(got, want, leg, " ", l.Name(), " ", r.Text("utc"))
				if d.On {
					on++
				}
			}
			if def.Name != "weather_fax" { // never on at a whole hour; see below
				assert.NotZero(t, on, "%s %s", leg, def.Name)
			}
		}
	}
}

// The windows of the radio and the fax lie between whole hours: compare them
// with the phases of the file at every minute of a day.
func TestReferencePhases(t *testing.T) {
	for _, leg := range []string{"leg_a", "leg_b"} {
		raw, err := os.ReadFile(refdata.Path(t, "leg/"+leg+".json"))
		require.NoError(t, err)
		var file struct{ Loads []legLoad }
		require.NoError(t, json.Unmarshal(raw, &file))
		for _, def := range file.Loads {
			if len(def.Phases) == 0 {
				continue
			}
			l := def.build(t)
			zone := 0
			if def.When == "ship_time" {
				zone = 10
			}
			for m := range 1440 {
				c := conditions(jan5, zone)
				c.Clock.UTC, c.Clock.Ship = m*60, (m*60+zone*3600)%86400
				c.Clock.ShipDay += (m*60 + zone*3600) / 86400
				var want Draw
				for _, p := range def.Phases {
					if now := timetable.TimeOfDay(c.Clock.Ship / 60); now >= p.From && now < p.To {
						want = Draw{units.Watts(p.Power), units.Amps(p.Current)}
					}
				}
				d := l.Draw(c)
				assert.InDelta(t, float64(want.Power), float64(d.Power), 1e-12, "%s %d", def.Name, m)
				assert.InDelta(t, float64(want.Current), float64(d.Current), 1e-12, "%s %d", def.Name, m)
			}
		}
	}
}
