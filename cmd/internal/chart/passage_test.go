package chart

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/units"
)

func TestPassageModel(t *testing.T) {
	res := atlantic().sail()
	p := NewPassage(res, PassageOptions{Version: "ampwake 0.1"})
	require.Len(t, p.Panels, 5)
	charge, in, out, speed, lat := p.Panels[0], p.Panels[1], p.Panels[2], p.Panels[3], p.Panels[4]

	require.Equal(t, [2]float64{0, 100}, [2]float64{charge.Min, charge.Max})
	require.Equal(t, 50.0, charge.Levels[0].At)
	require.Equal(t, seconds(res.Lowest.Time), charge.Points[0].X)
	require.InDelta(t, 100*float64(res.Lowest.Charge), charge.Points[0].Y, 1e-9)
	require.Len(t, charge.Rows, 1)
	require.Len(t, charge.Rows[0].Marks, len(res.Misses))
	require.Equal(t, seconds(res.Misses[0].Slot), charge.Rows[0].Marks[0])

	require.Equal(t, "three-hour means; line: offered; spilled 26 Ah/d", in.About)
	require.Equal(t, []string{"water generator", "solar", "engine"}, names(in), "steady below flickering")
	require.Equal(t, "instruments", names(out)[0])
	require.Len(t, names(out), 5)
	require.InDelta(t, in.Max/in.Share, out.Max/out.Share, 1e-9, "the same amps for a centimetre")
	require.Contains(t, out.About, "same scale")

	require.Zero(t, speed.Min)
	require.Equal(t, "motoring 9 h", speed.Spells[0].Label)
	require.Less(t, lat.Min, -33.9)
	require.Greater(t, lat.Max, 17.0)
	require.Len(t, p.Noons, 27)
	require.Len(t, p.Nights, 26)
	require.Equal(t, "Mindelo to Cape Town, two panels and a water generator · ampwake 0.1 · 3 Mar 2027 09:00 – 29 Mar 2027 16:00 UTC", p.Caption)
	require.Equal(t, "17°N to 34°S, 2,934 nm in 26 days, arrived Mon 29 Mar 2027.", p.Facts[0])
	require.Equal(t, "Does not hold: lowest 36 %, 14 points below the floor; HF radio kept 50 of 52.", p.Facts[1])
}

func names(p Panel) []string {
	var out []string
	for _, l := range p.Stack.Layers {
		out = append(out, l.Name)
	}
	return out
}

// What is drawn is what was counted: the area of a load is its charge, that
// under the line of what was offered the charge of the sources, the areas of
// the sources are less by what was spilled, and no source gives more than it
// offered.
func TestAreasAreCharges(t *testing.T) {
	for name, f := range voyages() {
		res := f.sail()
		p := NewPassage(res, PassageOptions{})
		area := func(st *Stack) map[string]float64 {
			out := map[string]float64{}
			for _, l := range st.Layers {
				for i, v := range l.Values {
					require.GreaterOrEqual(t, v, 0.0)
					out[l.Name] += v * (st.Edges[i+1] - st.Edges[i]) / hour
				}
			}
			return out
		}
		drawn := area(p.Panels[2].Stack)
		counted, all := 0.0, 0.0
		for _, l := range res.Loads {
			counted += float64(l.Charge)
			if sum, ok := drawn[l.Name]; ok {
				require.InDelta(t, float64(l.Charge), sum, 1e-6*(1+sum), "%s: %s", name, l.Name)
			}
		}
		for _, sum := range drawn {
			all += sum
		}
		require.InDelta(t, counted, all, 1e-6*(1+all), name)

		spilled, offered := 0.0, 0.0
		for i, w := range res.Trace.Spilled[:len(res.Trace.Spilled)-1] {
			spilled += float64(w) / float64(res.Trace.Bus[i]) * res.Trace.Time[i+1].Sub(res.Trace.Time[i]).Hours()
		}
		drawn, all = area(p.Panels[1].Stack), 0
		for _, s := range res.Sources {
			offered += float64(s.Charge)
			require.LessOrEqual(t, drawn[s.Name], float64(s.Charge)*(1+1e-9), "%s: %s", name, s.Name)
		}
		for _, sum := range drawn {
			all += sum
		}
		require.InDelta(t, offered-spilled, all, 1e-6*(1+offered), name)
		if line := p.Panels[1].Stack.Offered; line != nil {
			all = area(&Stack{Edges: p.Panels[1].Stack.Edges, Layers: []Layer{{Name: "line", Values: line}}})["line"]
			require.InDelta(t, offered, all, 1e-6*(1+offered), name)
		} else {
			require.Less(t, spilled, 0.06, name)
		}
	}
}

// An engine makes only what is taken: the panels spill first.
func TestFollowersDoNotSpill(t *testing.T) {
	at := time.Date(2027, 3, 3, 9, 0, 0, 0, time.UTC)
	res := &sim.Result{
		Sources: []sim.SourceTotal{{Name: "rail panel", Charge: 4}, {Name: "hydro", Charge: 6}, {Name: "engine", Charge: 20}},
		Trace: &sim.Trace{
			Time: []time.Time{at, at.Add(time.Hour)}, Lat: make([]units.Degrees, 2), Speed: make([]units.Knots, 2), State: make([]sim.State, 2),
			Charge: make([]units.Fraction, 2), Bus: []units.Volts{10, 0}, Spilled: []units.Watts{50, 0},
			Sources: [][]units.Watts{{40, 0}, {60, 0}, {200, 0}},
		},
	}
	p := NewPassage(res, PassageOptions{})
	got := map[string]float64{}
	for _, l := range p.Panels[1].Stack.Layers {
		got[l.Name] = l.Values[0]
	}
	require.InDeltaMapValues(t, map[string]float64{"rail panel": 2, "hydro": 3, "engine": 20}, got, 1e-9)
	require.InDelta(t, 30.0, p.Panels[1].Stack.Offered[0], 1e-9)
	for _, e := range p.Panels[1].Ends {
		require.Equal(t, map[string]string{"rail panel": "2 of 4 Ah", "hydro": "3 of 6 Ah", "engine": "20 Ah"}[e.Label], e.Value)
	}
}

// Where far more is offered than can be used, the scale is that of the use.
func TestSpillIsCutOff(t *testing.T) {
	f := atlantic()
	f.panel, f.engine = 60, false
	p := NewPassage(f.sail(), PassageOptions{})
	in := p.Panels[1]
	require.Regexp(t, `line: offered; spilled \d+ Ah/d, up to \d+ A`, in.About)
	require.Less(t, in.Max, slices.Max(in.Stack.Offered))
}

func TestStatisticFollowsLength(t *testing.T) {
	for _, test := range []struct {
		span  time.Duration
		about string
		bins  int
	}{
		{time.Hour, "ten-minute means", 6},
		{6 * time.Hour, "ten-minute means", 36},
		{7 * time.Hour, "hourly means", 7},
		{12 * 24 * time.Hour, "hourly means", 288},
		{13 * 24 * time.Hour, "three-hour means", 104},
		{46 * 24 * time.Hour, "daily means", 47}, // from 09:00: two broken days
	} {
		f := atlantic()
		f.span = test.span
		p := NewPassage(f.sail(), PassageOptions{})
		require.Equal(t, test.about, p.Panels[3].About, test.span)
		require.Len(t, p.Panels[1].Stack.Edges, test.bins+1, test.span)
		daily := test.about == "daily means"
		require.Equal(t, daily, len(p.Panels[0].Bands) > 0, "low and high instead of a line")
		if daily {
			require.Empty(t, p.Nights)
			require.Empty(t, p.Noons)
		} else if test.span > 24*time.Hour {
			require.NotEmpty(t, p.Nights)
			require.NotEmpty(t, p.Noons)
		}
	}
}

func TestOwnScaleSaysSo(t *testing.T) {
	f := atlantic()
	f.panel, f.bank, f.start = 60, 5000, 0.3 // all of it is taken
	p := NewPassage(f.sail(), PassageOptions{})
	require.Contains(t, p.Panels[2].About, "1 A is")
	require.Equal(t, p.Panels[1].Share, p.Panels[2].Share)
}

func TestFixedScales(t *testing.T) {
	f := atlantic()
	a := NewPassage(f.sail(), PassageOptions{TopIn: 40, TopOut: 30})
	f.panel = 9
	b := NewPassage(f.sail(), PassageOptions{TopIn: 40, TopOut: 30})
	for k := range a.Panels {
		require.Equal(t, a.Panels[k].Max, b.Panels[k].Max)
		require.Equal(t, a.Panels[k].Share, b.Panels[k].Share)
	}
	require.GreaterOrEqual(t, a.Panels[1].Max, 40.0)
}

func TestManyLoadsBecomeOther(t *testing.T) {
	p := NewPassage(voyages()["many loads"].sail(), PassageOptions{})
	got := names(p.Panels[2])
	require.Len(t, got, 5)
	// 11 loads, one of 0 W: four by name, six as other.
	require.Contains(t, got, "other (6)")
}

// A load that missed a slot keeps its name, however little it used; one to be
// kept does unless it is too thin to be seen.
func TestLoadsThatMatterKeepTheirNames(t *testing.T) {
	res := voyages()["many loads"].sail()
	require.NotContains(t, names(NewPassage(res, PassageOptions{}).Panels[2]), "weather fax")
	res.Misses = []sim.Miss{{Load: 3, Slot: res.Depart.Add(time.Hour)}}
	require.Contains(t, names(NewPassage(res, PassageOptions{}).Panels[2]), "weather fax")
	res.Misses = nil
	res.Verdict.Goals = append(res.Verdict.Goals, sim.GoalVerdict{Name: "weather fax", Due: 12, Kept: 12})
	require.NotContains(t, names(NewPassage(res, PassageOptions{}).Panels[2]), "weather fax")
}

func TestMissesByLoad(t *testing.T) {
	res := atlantic().sail()
	at := func(h int) time.Time { return res.Depart.Add(time.Duration(h) * time.Hour) }
	miss := func(load, h, until int, why sim.Cause) sim.Miss {
		m := sim.Miss{Load: load, Slot: at(h), Cause: why}
		if until > 0 {
			m.Until = at(until)
		}
		return m
	}
	res.Misses = []sim.Miss{
		miss(3, 5, 0, sim.Flat), miss(2, 10, 0, sim.UnderVoltage), miss(1, 12, 15, sim.Shed), miss(2, 30, 0, sim.Flat),
		miss(0, 40, 60, sim.Flat), miss(1, 50, 56, sim.Flat), miss(4, 90, 300, sim.Shed),
	}
	rows := NewPassage(res, PassageOptions{}).Panels[0].Rows
	require.Len(t, rows, 3)
	require.Equal(t, "2 missed: HF radio", rows[0].Label)
	require.Equal(t, "first 3 Mar 19:00, voltage under load", rows[0].First[0])
	require.Equal(t, "off 9 h: tricolour light", rows[1].Label)
	require.Equal(t, []Span{{seconds(at(12)), seconds(at(15))}, {seconds(at(50)), seconds(at(56))}}, rows[1].Spans)
	require.Equal(t, "1 missed, off 9.6 days: 3 other loads", rows[2].Label)
	require.Equal(t, "first 3 Mar 14:00, flat", rows[2].First[0])
}

// Latitudes are written as in a logbook. From memory.
func TestParallel(t *testing.T) {
	for _, test := range []struct {
		lat     float64
		minutes bool
		want    string
	}{
		{17, false, "17°N"},
		{-33.9, false, "34°S"},
		{0.2, false, "0°"},
		{-0.2, true, "0°12'S"},
		{16.9999, true, "17°00'N"},
		{-59.9917, true, "60°00'S"},
		{0, true, "0°00'"},
		{89.5, false, "90°N"},
	} {
		require.Equal(t, test.want, parallel(test.lat, test.minutes))
	}
}

func TestShortNumbers(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 0.04: "0", 0.26: "0.3", 9.94: "9.9", 9.96: "10", 26.4: "26", 1e6: "1000000"} {
		require.Equal(t, want, short(x))
	}
	for x, want := range map[float64]string{0: "0", 999.6: "1,000", 4100: "4,100", 1234567: "1,234,567"} {
		require.Equal(t, want, grouped(x))
	}
	require.Equal(t, "7.9 h", lasting(7.9))
	require.Equal(t, "2 days", lasting(48))
}

func TestBadNumbersAreHeld(t *testing.T) {
	res := atlantic().sail()
	res.Trace.Charge[100] = units.Fraction(math.NaN())
	res.Trace.Bus[50] = 0
	res.Trace.Speed[70] = units.Knots(math.Inf(1))
	p := NewPassage(res, PassageOptions{})
	for _, y := range p.Panels[0].Lines[0].Y {
		require.False(t, math.IsNaN(y))
	}
}

// A picture for a screen is finer: shorter means, the points asked for, the same
// areas.
func TestPassageFiner(t *testing.T) {
	res := atlantic().sail()
	coarse := NewPassage(res, PassageOptions{})
	fine := NewPassage(res, PassageOptions{Means: 30 * time.Minute, Points: 400})
	require.Contains(t, coarse.Panels[1].About, "three-hour means")
	require.Contains(t, fine.Panels[1].About, "30-minute means")
	require.Greater(t, len(coarse.Panels[0].Lines[0].X), 400)
	require.LessOrEqual(t, len(fine.Panels[0].Lines[0].X), 404)
	require.InDelta(t, slices.Min(coarse.Panels[0].Lines[0].Y), slices.Min(fine.Panels[0].Lines[0].Y), 1e-12, "the lowest is kept")
	require.Len(t, fine.Panels[3].Lines[0].X, 2*(26*48+14))
	area := func(st *Stack) float64 {
		sum := 0.0
		for _, l := range st.Layers {
			for i, v := range l.Values {
				sum += v * (st.Edges[i+1] - st.Edges[i])
			}
		}
		return sum
	}
	require.InEpsilon(t, area(coarse.Panels[2].Stack), area(fine.Panels[2].Stack), 1e-9)
	for width, want := range map[float64]string{
		600: "ten-minute means", 3600: "hourly means", 10800: "three-hour means",
		21600: "six-hour means", 86400: "daily means", 1800: "30-minute means", 43200: "12-hour means",
	} {
		require.Equal(t, want, meansOver(width))
	}
}
