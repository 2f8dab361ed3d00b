package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/units"
)

// The intervals of shares below were worked out apart from this code, by the same
// formula in another language.

// madeKit is a kit as a test wants it: of 200 weathers it holds in the first so
// many, with a margin and some miles lost.
type madeKit struct {
	name   string
	holds  int
	margin units.Fraction
	miles  units.NauticalMiles
	fuel   units.Litres
	perAh  bool // the file says what an ampere-hour weighs and costs
	size   units.AmpHours
}

const madeOf = 200

func madeKits(t testing.TB, base int, kits ...madeKit) *report.Kits {
	t.Helper()
	k := &report.Kits{Seed: 7}
	var names []string
	var odds []*sim.Odds
	for n, x := range kits {
		o := &sim.Odds{
			Title: "made up", Depart: time.Date(2027, 4, 20, 10, 0, 0, 0, time.UTC), Wanted: madeOf, Done: madeOf, Floor: 0.5,
			Holds: sim.NewShare(x.holds, madeOf), Goals: []sim.OddsGoal{{Name: "HF radio", Holds: sim.NewShare(x.holds, madeOf)}},
			Margin: sim.Spread[units.Fraction]{Count: madeOf, P10: x.margin - 0.01, P50: x.margin},
			Begins: sim.Counts{Voltage: madeOf - x.holds},
			Notes:  []sim.Note{{About: "light", Text: "for all"}, {About: "bank", Text: x.name + " has its own"}},
		}
		for i := range madeOf {
			m := &sim.Member{Index: i, Holds: i < x.holds, Margin: x.margin + units.Fraction(i%5*(n+1))/1000, Fuel: x.fuel}
			m.Drag = sim.Drag{Miles: x.miles, Hours: units.Hours(x.miles / 5)}
			if !m.Holds {
				m.Missed = 2
			}
			o.Members = append(o.Members, m)
		}
		f := &scenarios.File{Bank: scenarios.Bank{Capacity: x.size}}
		f.Sources.Panels = []scenarios.Panel{{Name: "deck panel"}}
		if x.perAh {
			kg, price := units.Kilograms(0.28), 2.5
			f.Bank.WeighsPerAh, f.Bank.CostsPerAh = &kg, &price
		}
		k.Files = append(k.Files, f)
		names, odds = append(names, x.name), append(odds, o)
	}
	k.Comparison = sim.Compare(names, odds, base)
	return k
}

var (
	small  = madeKit{name: "one battery", holds: 40, margin: -0.1, size: 115, perAh: true}
	middle = madeKit{name: "two batteries", holds: 196, margin: 0.1, size: 230, perAh: true}
	large  = madeKit{name: "four batteries", holds: 200, margin: 0.3, size: 460, perAh: true}
)

func TestCompareAnswer(t *testing.T) {
	bare := func(k madeKit) madeKit { k.perAh = false; return k }
	always, below := bare(large), bare(middle)
	always.name, always.miles, below.name, below.miles = "always down", 142, "below 60 %", 33
	motor := bare(middle)
	motor.name, motor.fuel, motor.miles = "with engine", 3.5, 20
	nothing := madeKits(t, 0, small, large)
	for i := range nothing.Kits {
		nothing.Kits[i].Odds.Goals = nil
	}
	stopped := madeKits(t, 0, small, large)
	for i := range stopped.Kits {
		stopped.Kits[i].Odds.Stopped, stopped.Kits[i].Odds.Wanted = errors.New("stopped"), 500
	}
	doubtful := middle
	doubtful.holds = 191
	for name, c := range map[string]struct {
		k    *report.Kits
		want []string
	}{
		"the lightest": {madeKits(t, 0, small, large, middle), []string{
			"TWO BATTERIES is the lightest that holds in 95 of 100 weathers   (196 of 200; 95 % interval 95 to 99.2: more weathers would make it surer)",
			"Against one battery: holds in 78 more of 100 weathers (71 to 83), 156 won and 0 lost; margin 20.4 points higher (20.4 to 20.4)",
			"Costs   32.2 kg and 288 in price more",
		}},
		"the only one": {madeKits(t, 1, small, large), []string{
			"FOUR BATTERIES is the only one that holds in 95 of 100 weathers   (200 of 200; 95 % interval 98 to 100)",
			"Against one battery: holds in 80 more of 100 weathers (74 to 85), 160 won and 0 lost; margin 40.2 points higher (40.2 to 40.2)",
			"Costs   96.6 kg and 862 in price more",
		}},
		"miles": {madeKits(t, 0, always, below), []string{
			"BELOW 60 % loses the fewest miles of those that hold in 95 of 100 weathers   (196 of 200; 95 % interval 95 to 99.2: more weathers would make it surer)",
			"Against always down: holds in 2 fewer of 100 weathers (5 fewer to 0.2 more), 0 won and 4 lost; margin 19.8 points lower (19.8 to 19.8)",
			"Saves   109 miles (109 to 109) and 21.8 hours lost to drag (the file gives neither weight nor price)",
		}},
		"cost and saving": {madeKits(t, 0, always, motor), []string{
			"",
			"",
			"Costs   3.5 L of fuel more; saves 122 miles (122 to 122) and 24.4 hours lost to drag (the file gives neither weight nor price)",
		}},
		"by the list": {madeKits(t, 0, bare(large), bare(middle)), []string{
			"FOUR BATTERIES is the first on the list that holds in 95 of 100 weathers   (200 of 200; 95 % interval 98 to 100)",
			"Against two batteries: holds in 2 more of 100 weathers (0.2 fewer to 5 more), 4 won and 0 lost; margin 19.8 points higher (19.8 to 19.8)",
			"Costs   not known: the file gives neither weight nor price (weighs, costs)",
		}},
		"none": {madeKits(t, 0, small, small), []string{
			"NO KIT holds in 95 of 100 weathers: the best is one battery with 20   (40 of 200; 95 % interval 15 to 26)",
		}},
		"doubtful": {madeKits(t, 0, small, doubtful), []string{
			"TWO BATTERIES is the only one that holds in 95 of 100 weathers   (191 of 200; 95 % interval 92 to 98: more weathers would make it surer)",
		}},
		"stopped": {stopped, []string{"STOPPED AT 200 OF 500: FOUR BATTERIES is the only one"}},
		"nothing": {nothing, []string{"NOTHING ASKED   no goals are set", "four batteries against one battery: margin 40.2 points higher (40.2 to 40.2)"}},
	} {
		t.Run(name, func(t *testing.T) {
			lines := strings.Split(strings.TrimSuffix(report.CompareAnswer(c.k), "\n"), "\n")
			require.Len(t, lines, 3)
			for i, want := range c.want {
				assert.True(t, want == "" || strings.HasPrefix(lines[i], want), "got  %s\nwant %s", lines[i], want)
			}
		})
	}
}

// A name keeps its units as they are written.
func TestCompareAnswerNames(t *testing.T) {
	for name, want := range map[string]string{"115 Ah, 85 W": "115 Ah, 85 W is", "2 x 115 Ah": "2 x 115 Ah is", "with the spare": "WITH THE SPARE is", "below 60 % by day": "BELOW 60 % BY DAY is"} {
		k := large
		k.name = name
		assert.True(t, strings.HasPrefix(report.CompareAnswer(madeKits(t, 0, small, k)), want), name)
	}
}

func TestCompareText(t *testing.T) {
	k := madeKits(t, 0, small, middle, large)
	same := madeKits(t, 0, small, small)
	same.Comparison = sim.Compare([]string{"one", "other"}, []*sim.Odds{same.Kits[0].Odds, same.Kits[0].Odds}, 0)
	var b bytes.Buffer
	require.NoError(t, report.CompareText(&b, k))
	text := b.String()
	assert.True(t, strings.HasPrefix(text, report.CompareAnswer(k)))
	for _, want := range []string{
		"3 kits in the same 200 weathers of seed 7",
		"  one battery       20 (15 to 26)                    –      39     -11      160    voltage   32.2    288\n",
		"  two batteries   98 (95 to 99.2)     +78 (+71 to +83)      59      +9        4    voltage   64.4    575\n",
		"so they are not counted: deck panel", "two batteries: two batteries has its own", "EPIRB",
	} {
		assert.Contains(t, text, want)
	}
	for i, line := range strings.Split(text, "\n") {
		assert.Equal(t, strings.TrimRight(line, " "), line, "line %d", i+1)
	}
	assert.Equal(t, 1, strings.Count(text, "for all"), "what is common to all kits is told once")
	assert.NotContains(t, text, "miles", "no kit loses any")

	b.Reset()
	require.NoError(t, report.CompareText(&b, same))
	assert.Contains(t, b.String(), "the same voyage in every weather")
	assert.Regexp(t, `(?m)^  other +20 \(15 to 26\) +the same `, b.String())

	half := madeKits(t, 0, small, large)
	half.Files[1].Bank.WeighsPerAh = nil
	kg := units.Kilograms(60)
	b.Reset()
	require.NoError(t, report.CompareText(&b, half))
	assert.Contains(t, b.String(), "not given")
	half.Files[0].Bank.WeighsPerAh, half.Files[0].Bank.Weighs, half.Files[1].Bank.Weighs = nil, &kg, &kg
	b.Reset()
	require.NoError(t, report.CompareText(&b, half))
	assert.Contains(t, b.String(), "give 'weighs per Ah'")
}

func TestCompareJSON(t *testing.T) {
	k := madeKits(t, 0, small, large)
	k.Files[1].Bank.CostsPerAh = nil
	var b bytes.Buffer
	require.NoError(t, report.CompareJSON(&b, k))
	var d struct {
		Schema, Base, Best string
		Kits               []struct {
			Name   string
			Weight *float64 `json:"weight_kg"`
			Price  *float64
			Change struct {
				Holds struct {
					Won, Lost int
					Low95     float64
				}
				Margin struct {
					By    float64
					Low95 *float64
				} `json:"margin_soc"`
				Passage struct {
					Count int
					Low95 *float64
				} `json:"passage_h"`
			}
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	assert.Equal(t, []string{report.CompareSchema, "one battery", "four batteries"}, []string{d.Schema, d.Base, d.Best})
	require.Len(t, d.Kits, 2)
	one, four := d.Kits[0], d.Kits[1]
	assert.InDelta(t, 128.8, *four.Weight, 1e-9)
	assert.Nil(t, four.Price)
	assert.Equal(t, 287.5, *one.Price)
	assert.Zero(t, one.Change.Margin.By)
	assert.Zero(t, *one.Change.Margin.Low95)
	assert.Equal(t, 160, four.Change.Holds.Won)
	assert.Equal(t, k.Kits[1].Holds.Low, four.Change.Holds.Low95)
	assert.Nil(t, four.Change.Passage.Low95, "nobody arrived: no interval")
}

func TestCompareCSV(t *testing.T) {
	k := madeKits(t, 1, small, large)
	k.Files[0].Bank.CostsPerAh = nil
	var b bytes.Buffer
	require.NoError(t, report.CompareCSV(&b, k))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	cell := func(row int, name string) string { return rows[row][slices.Index(rows[0], name)] }
	assert.Equal(t, []string{"one battery", "false", "32.2000", ""}, rows[1][:4])
	assert.Equal(t, "true", cell(2, "base"))
	assert.Equal(t, "160", cell(1, "lost"))
	assert.Equal(t, "-0.8000", cell(1, "holds_by"))
	assert.Equal(t, "1.6000", cell(1, "misses_mean"))
	assert.Empty(t, cell(1, "passage_h_by_low95"))
}

// What is done seldom is told among what is done again and again.
func TestSeldomDecisionsAreTold(t *testing.T) {
	label, src, err := scenarios.Source("spare-panel")
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, []string{"sources.hydro={rotor: {diameter: 0.24 m}, down below: 97 %, up above: 98 %}"}, "")
	require.NoError(t, err)
	r, err := s.Voyage().Sail(t.Context(), sim.Options{})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, report.Text(&b, r))
	text := b.String()
	require.Contains(t, text, "more times", "the generator goes in and out all the time")
	lost, rigged := strings.Index(text, "3 Dec 10:00 UTC  FAULT   main panel lost"), strings.Index(text, "4 Dec 10:00 UTC  in use  spare panel")
	require.Positive(t, lost)
	require.Greater(t, rigged, lost)
}
