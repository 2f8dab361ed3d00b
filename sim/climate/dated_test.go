package climate

import (
	"encoding/json"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func steps[T ~float64](values ...T) Series[T] {
	s := Series[T]{Steps: true}
	for i, v := range values {
		s.Knots = append(s.Knots, Knot[T]{hours(6 * float64(i)), v})
	}
	return s
}

// The weather of the reference legs: clouds in blocks of six hours, temperatures
// straight between knots. Its own trace has them at every whole hour.
func TestLegWeather(t *testing.T) {
	for _, leg := range []string{"leg_a", "leg_b"} {
		raw, err := os.ReadFile(refdata.Path(t, "leg/"+leg+".json"))
		require.NoError(t, err)
		var in struct {
			Start   time.Time `json:"start_utc"`
			Weather struct {
				Cloud []float64 `json:"cloud_fraction_6h"`
				Knots []float64 `json:"temperature_knots_h"`
				Air   []float64 `json:"air_c"`
				Sea   []float64 `json:"sea_c"`
			}
		}
		require.NoError(t, json.Unmarshal(raw, &in))
		var table Timetable
		table.Cloud.Steps = true
		for i, c := range in.Weather.Cloud {
			table.Cloud.Knots = append(table.Cloud.Knots, Knot[units.Fraction]{in.Start.Add(time.Duration(i) * 6 * time.Hour), units.Fraction(c)})
		}
		for i, h := range in.Weather.Knots {
			at := in.Start.Add(time.Duration(h * float64(time.Hour)))
			table.Air.Knots = append(table.Air.Knots, Knot[units.Celsius]{at, units.Celsius(in.Weather.Air[i])})
			table.Sea.Knots = append(table.Sea.Knots, Knot[units.Celsius]{at, units.Celsius(in.Weather.Sea[i])})
		}
		d, err := NewDated(table, Fixed{})
		require.NoError(t, err)
		rows := refdata.Read(t, "leg/"+leg+"_trace.csv")
		require.Greater(t, len(rows), 300)
		for _, r := range rows {
			s := d.At(r.Time("utc"), place(0, 0))
			assert.InDelta(t, r.Float("cloud"), float64(s.Cloud), 1e-9, r.Where())
			assert.InDelta(t, float64(Through(s.Cloud)), float64(s.Through), 1e-6, r.Where())
			assert.InDelta(t, r.Float("air_c"), float64(s.Air), 0.000501, r.Where()) // prints three decimals
			assert.InDelta(t, r.Float("sea_c"), float64(s.Sea), 0.000501, r.Where())
		}
	}
}

func TestDatedEdges(t *testing.T) {
	under := &recorder{Sample: Sample{WindSpeed: 7, WindFrom: 33, Air: 20, Sea: 21}}
	d, err := NewDated(Timetable{Cloud: steps[units.Fraction](0.1, 0.9, 0.5)}, under)
	require.NoError(t, err)

	assert.Equal(t, hours(6), d.Edge(hours(-50)), "before the first knot its value holds: it is no jump")
	assert.Equal(t, hours(6), d.Edge(hours(0)))
	assert.Equal(t, hours(12), d.Edge(hours(6)), "strictly after")
	assert.Zero(t, d.Edge(hours(12)))
	under.edge = hours(7)
	assert.Equal(t, hours(6), d.Edge(hours(5)))
	assert.Equal(t, hours(7), d.Edge(hours(6)))

	for _, x := range []struct {
		h     float64
		cloud units.Fraction
	}{{-3, 0.1}, {0, 0.1}, {5.999, 0.1}, {6, 0.9}, {11.999, 0.9}, {12, 0.5}, {1000, 0.5}, {1, 0.1}} {
		s := d.At(hours(x.h), place(0, 0))
		assert.Equal(t, x.cloud, s.Cloud, "%g h", x.h)
		assert.Equal(t, units.Knots(7), s.WindSpeed, "from under the timetable")
		assert.Equal(t, units.Celsius(21), s.Sea)
	}
	assert.Equal(t, 8, under.asked)
}

// A direction goes the shorter way round, over north too.
func TestDatedDirection(t *testing.T) {
	s := steps[units.Degrees](350, 20, 200, 340)
	s.Steps = false
	d, err := NewDated(Timetable{WindFrom: s}, Fixed{})
	require.NoError(t, err)
	for h, want := range map[float64]float64{0: 350, 2: 0, 4: 10, 6: 20, 12: 200, 15: 270, 18: 340, 99: 340} {
		got := float64(d.At(hours(h), place(0, 0)).WindFrom)
		assert.InDelta(t, want, got, 1e-9, "%g h", h)
		assert.True(t, got >= 0 && got < 360)
	}
}

func TestDatedErrors(t *testing.T) {
	_, err := NewDated(Timetable{}, nil)
	require.Error(t, err)
	for _, name := range []string{"cloud", "wind speed", "wind direction", "air temperature", "sea temperature"} {
		assert.Contains(t, err.Error(), name+": no values and no weather under them")
	}
	bad := Timetable{Cloud: steps[units.Fraction](0.5, 1.2), Air: steps[units.Celsius](20, -90)}
	bad.Cloud.Knots = append(bad.Cloud.Knots, Knot[units.Fraction]{start, 0.3}, Knot[units.Fraction]{time.Time{}, 0.3})
	_, err = NewDated(bad, Fixed{})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "cloud 2: 1.2 is not within 0..1")
	assert.Contains(t, err.Error(), "cloud 3: 2027-01-05T10:00:00Z is not later than the value before")
	assert.Contains(t, err.Error(), "cloud 4: year 1 is not within 1900..2199")
	assert.Contains(t, err.Error(), "air temperature 2: -90 is not within -60..60")
}

func TestSpan(t *testing.T) {
	from, to := Timetable{Cloud: steps[units.Fraction](0, 1), Sea: steps[units.Celsius](1, 2, 3)}.Span()
	assert.Equal(t, hours(0), from)
	assert.Equal(t, hours(12), to)
	from, to = Timetable{}.Span()
	assert.True(t, from.IsZero() && to.IsZero())
}

// Asked forward with any strides, or back, the values are the same; values in
// steps change at edges only.
func TestDatedFinger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var clouds []units.Fraction
		var airs []units.Celsius
		for range rapid.IntRange(1, 20).Draw(t, "n") {
			clouds = append(clouds, units.Fraction(rapid.Float64Range(0, 1).Draw(t, "cloud")))
			airs = append(airs, units.Celsius(rapid.Float64Range(-20, 40).Draw(t, "air")))
		}
		air := steps(airs...)
		air.Steps = false
		fresh := func() *Dated {
			d, err := NewDated(Timetable{Cloud: steps(clouds...), Air: air}, Fixed{})
			if err != nil {
				t.Fatal(err)
			}
			return d
		}
		d := fresh()
		for range 30 {
			at := hours(rapid.Float64Range(-20, 150).Draw(t, "h"))
			got := d.At(at, place(0, 0))
			if want := fresh().At(at, place(0, 0)); got != want {
				t.Fatalf("%v: %v, want %v", at, got, want)
			}
			edge := d.Edge(at)
			if edge.IsZero() {
				edge = hours(1000)
			}
			if !edge.After(at) {
				t.Fatalf("edge %v of %v", edge, at)
			}
			if later := d.At(edge.Add(-1), place(0, 0)); later.Cloud != got.Cloud {
				t.Fatalf("cloud changes before the edge %v", edge)
			}
		}
	})
}
