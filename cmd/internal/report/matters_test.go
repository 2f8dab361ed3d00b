package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/units"
)

// outcome is the odds of weathers by the margin in each, in points: all but those
// under 0 hold, and what they miss is that many slots.
func outcome(points ...float64) *sim.Odds {
	o := &sim.Odds{Title: "A passage", Done: len(points), Goals: []sim.OddsGoal{{Name: "radio"}}}
	held := 0
	for i, p := range points {
		m := &sim.Member{Index: i, Margin: units.Fraction(p / 100), Holds: p >= 0}
		if m.Holds {
			held++
		} else {
			m.Missed = int(-p)
		}
		o.Members = append(o.Members, m)
	}
	o.Holds = sim.NewShare(held, len(points))
	return o
}

// matter is one input with the outcomes of its shifts, nil for none.
func matter(base *sim.Odds, name string, low, high *sim.Odds) report.Matter {
	x := report.Matter{Doubt: scenarios.Doubt{Name: name, Range: "−1 and +1", Standing: "common practice, no source"}}
	side := func(o *sim.Odds, text string) (*scenarios.Shift, *sim.Compared) {
		if o == nil {
			return nil, nil
		}
		return &scenarios.Shift{Text: text}, &sim.Compare([]string{"base", text}, []*sim.Odds{base, o}, 0).Kits[1]
	}
	x.Doubt.Low, x.Low = side(low, "low "+name)
	x.Doubt.High, x.High = side(high, "high "+name)
	return x
}

func ranked(base *sim.Odds, rows ...report.Matter) *report.Matters {
	m := &report.Matters{Title: "A passage", Base: base, Rows: rows}
	m.Rank()
	return m
}

func TestMattersAnswer(t *testing.T) {
	base := outcome(10)
	seed := uint64(4)
	many := outcome(10, 20, 0)
	seeded := ranked(many, matter(many, "a", outcome(8, 18, -1), outcome(11, 22, 3)), matter(many, "b", nil, outcome(10, 20, 1)))
	seeded.Seed = &seed
	for name, c := range map[string]struct {
		m    *report.Matters
		want string
	}{
		"nothing breaks": {
			ranked(base, matter(base, "a", outcome(9), outcome(12)), matter(base, "b", outcome(6), outcome(13)), matter(base, "c", outcome(10), nil)),
			`MOST    b, shifted by −1 and +1: moves the margin of 10 points of charge by −4.0 and +3.0
Then    a (−1.0 and +2.0)
Goals   hold, and no shift alone breaks one; all together may take 4 points or add 4
`,
		},
		"some break": {
			ranked(base, matter(base, "a", outcome(-2), outcome(12)), matter(base, "b", outcome(-7), outcome(13))),
			`MOST    b, shifted by −1 and +1: moves the margin of 10 points of charge by −17.0 and +3.0
Then    a (−12.0 and +2.0)
Goals   hold, but one is broken alone by b at low b, a at low a; all together may take 21 points or add 4
`,
		},
		"fails, one mends": {
			ranked(outcome(-5), matter(outcome(-5), "a", outcome(-8), outcome(1))),
			`MOST    a, shifted by −1 and +1: moves the margin of -5 points of charge by −3.0 and +6.0
Then    nothing else moves it
Goals   do not all hold, but would with a at high a; all together may take 3 points or add 6
`,
		},
		"fails, none mends": {
			ranked(outcome(-5), matter(outcome(-5), "a", outcome(-8), nil)),
			`MOST    a, shifted by −1 and +1: moves the margin of -5 points of charge by −3.0
Then    nothing else moves it
Goals   do not all hold, and no shift alone mends that; all together may take 3 points or add 0
`,
		},
		"nothing moves": {
			ranked(base, matter(base, "a", outcome(10), outcome(10))),
			`MOST    nothing moves the margin of 10 points of charge
Then    nothing
Goals   hold, and no shift alone breaks one; all together may take 0 points or add 0
`,
		},
		"seeded": {
			seeded,
			`MOST    a, shifted by −1 and +1: moves the margin of 10 points of charge by −1.7 and +2.0
Then    b (+0.3)
Goals   hold in 100 of 100 weathers; at worst, with a at low a, in 67; all together may take 2 points or add 2
`,
		},
	} {
		assert.Equal(t, c.want, report.MattersAnswer(c.m), name)
	}
}

// What moves the margin alike goes by the odds, then by what is missed.
func TestMattersRank(t *testing.T) {
	base := outcome(10, 10)
	m := ranked(base,
		matter(base, "little", outcome(9, 10), nil),
		matter(base, "still", outcome(10, 10), nil),
		matter(base, "odds", outcome(25, -7), nil),
		matter(base, "misses", outcome(9, 9), nil))
	var names []string
	for _, r := range m.Rows {
		names = append(names, r.Doubt.Name)
	}
	// Means: −0.5, 0, −1 with half the odds, −1.
	assert.Equal(t, []string{"odds", "misses", "little", "still"}, names)
}

func TestMattersTextAndData(t *testing.T) {
	base := outcome(10)
	m := ranked(base, matter(base, "shade on the panels", outcome(-3), outcome(12)), matter(base, "charge at departure", outcome(9), nil))
	m.LeftOut = []string{"sea at 50 °C: " + errors.New("too hot").Error()}
	var b bytes.Buffer
	require.NoError(t, report.MattersText(&b, m))
	text := b.String()
	assert.True(t, strings.HasPrefix(text, report.MattersAnswer(m)))
	for _, want := range []string{
		"In the weather of the file", "−13.0  3 missed", "left out: sea at 50 °C: too hot",
		"shade on the panels, charge at departure: −1 and +1 (common practice, no source)", "EPIRB",
	} {
		assert.Contains(t, text, want)
	}
	for i, line := range strings.Split(text, "\n") {
		assert.Equal(t, strings.TrimRight(line, " "), line, "line %d", i+1)
	}
	assert.Equal(t, "3 missed", m.Harm(m.Rows[0].Low))
	assert.Empty(t, m.Harm(m.Rows[0].High))

	b.Reset()
	require.NoError(t, report.MattersJSON(&b, m))
	var d struct {
		Schema string
		Seed   *uint64
		Margin float64 `json:"margin_soc"`
		Less   float64 `json:"together_less_soc"`
		Inputs []struct {
			Name, Standing string
			Low, High      *struct {
				Margin float64  `json:"margin_change_soc"`
				Low    *float64 `json:"margin_change_low95_soc"`
				Misses float64  `json:"misses_change"`
			}
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	assert.Equal(t, report.MattersSchema, d.Schema)
	assert.Nil(t, d.Seed)
	assert.InDelta(t, 0.1, d.Margin, 1e-12)
	assert.InDelta(t, 0.1304, d.Less, 1e-4) // √(13² + 1²)
	assert.InDelta(t, -0.13, d.Inputs[0].Low.Margin, 1e-12)
	assert.Equal(t, 3.0, d.Inputs[0].Low.Misses)
	assert.Nil(t, d.Inputs[0].Low.Low, "one weather has no interval")
	assert.Nil(t, d.Inputs[1].High)

	b.Reset()
	require.NoError(t, report.MattersCSV(&b, m))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4)
	assert.Equal(t, "shade on the panels down low shade on the panels -0.13000 0 1", strings.Join(rows[1][:6], " "))
}

// The odds count as harmed from five in a hundred on.
func TestMattersHarm(t *testing.T) {
	var well, worse []float64
	for i := range 40 {
		well, worse = append(well, 5), append(worse, 5-6*float64(i%20/19))
	}
	base := outcome(well...)
	m := ranked(base, matter(base, "a", outcome(worse...), outcome(well...)))
	assert.Equal(t, "holds in 95", m.Harm(m.Rows[0].Low), fmt.Sprint(m.Base.Holds))
	assert.Empty(t, m.Harm(m.Rows[0].High))
}
