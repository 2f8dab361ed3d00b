package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
)

// grid is the body of a table: its cells as they are read.
func (n *node) grid(t testing.TB, caption string) (head []string, rows [][]string) {
	t.Helper()
	for _, tb := range n.all("table") {
		if !strings.HasPrefix(tb.all("caption")[0].text(), caption) {
			continue
		}
		for _, h := range tb.all("thead")[0].all("tr")[0].kids {
			head = append(head, h.text())
		}
		for _, tr := range tb.all("tbody")[0].all("tr") {
			var row []string
			for _, c := range tr.kids {
				row = append(row, c.text())
			}
			rows = append(rows, row)
		}
		return head, rows
	}
	require.Fail(t, "no table", caption)
	return nil, nil
}

// reading reads a cell.
func reading(t testing.TB, cell string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.Replace(strings.Replace(cell, "−", "-", 1), "+", "", 1), 64)
	require.NoError(t, err, "%q", cell)
	return x
}

// same wants that a cell is a value rounded to so many places.
func same(t testing.TB, want float64, places int, cell, what string) {
	t.Helper()
	half := 0.5
	for range places {
		half /= 10
	}
	require.InDelta(t, want, reading(t, cell), half*1.0001, what)
}

// The budget is the result's, load by load, and adds up.
func TestBudget(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	_, rows := parsed(t, written(t, Run(r, opt))).section(t, "Daily budget").grid(t, "Mean of")
	days := r.End.Sub(r.Depart).Hours() / 24
	found := map[string][]string{}
	for _, row := range rows {
		found[row[0]] = row
	}
	in, out := 0.0, 0.0
	for _, s := range r.Sources {
		row := found[s.Name]
		same(t, float64(s.Charge)/days, 1, row[1], s.Name)
		same(t, float64(s.Energy)/days, 0, row[3], s.Name)
		in += float64(s.Charge) / days
	}
	for _, l := range r.Loads {
		row := found[l.Name]
		same(t, float64(l.Charge)/days, 1, row[1], l.Name)
		out += float64(l.Charge) / days
		if l.Due > 0 {
			require.True(t, strings.HasPrefix(row[4], fmt.Sprintf("%d of %d slots", l.Kept, l.Due)), row[4])
		}
	}
	require.Positive(t, r.Books.SpilledCharge)
	same(t, -float64(r.Books.SpilledCharge)/days, 1, found["less spilled"][1], "spilled")
	same(t, in-float64(r.Books.SpilledCharge)/days, 1, found["in all"][1], "in all")
	same(t, out, 1, found["out in all"][1], "out in all")
}

func TestDays(t *testing.T) {
	r, opt := sail(t, "radio-cover")
	sec := parsed(t, written(t, Run(r, opt))).section(t, "Day by day")
	head, rows := sec.grid(t, "By UTC day")
	require.Len(t, rows, len(r.Days))
	column := map[string]int{}
	for i, h := range head {
		column[h] = i
	}
	for i := range r.Days {
		d, row := &r.Days[i], rows[i]
		require.Equal(t, d.Date.Format("2 Jan"), row[0])
		require.Equal(t, d.Noon.String(), row[1])
		same(t, float64(d.Sailed), 0, row[column["Sailed nm"]], "sailed")
		same(t, 100*float64(d.Low), 0, row[column["Lowest %"]], "lowest")
		same(t, 100*float64(d.Close), 0, row[column["Close %"]], "close")
		balance := -float64(d.Spilled)
		for _, s := range d.Sources {
			same(t, float64(s.Charge), 1, row[column[s.Name+" Ah"]], s.Name)
			balance += float64(s.Charge)
		}
		used := 0.0
		for _, l := range d.Loads {
			used += float64(l.Charge)
		}
		same(t, used, 1, row[column["Used Ah"]], "used")
		same(t, balance-used, 1, row[column["Balance Ah"]], "balance")
		same(t, 8*float64(d.Cloud), 0, row[column["Cloud oktas"]], "cloud")
	}
	head, rows = sec.grid(t, "Used by each load")
	for k, h := range head[1:] {
		i := 0
		for i < len(r.Loads) && r.Loads[i].Name+" Ah" != h {
			i++
		}
		require.Less(t, i, len(r.Loads), h)
		for d := range r.Days {
			same(t, float64(r.Days[d].Loads[i].Charge), 1, rows[d][k+1], h)
		}
	}
}

func TestWorstAndMissed(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	doc := parsed(t, written(t, Run(r, opt)))
	_, rows := doc.section(t, "Worst moments").grid(t, "When it is")
	require.Equal(t, "lowest charge", rows[0][0])
	same(t, 100*float64(r.Lowest.Charge), 0, strings.TrimSuffix(rows[0][1], " %"), "lowest")
	require.Equal(t, r.Lowest.Time.Round(time.Minute).Format("2 Jan 15:04"), rows[0][2])
	require.Equal(t, r.Lowest.Place.String(), rows[0][4])
	same(t, float64(r.LowestVolts.Bus), 2, strings.TrimSuffix(rows[1][1], " V"), "volts")

	head, rows := doc.section(t, "Missed").grid(t, "What was due")
	require.Equal(t, []string{"Load", "What", "Failed, UTC", "Ship’s time", "Cause", "At its terminals V", "Charge %", "Place"}, head)
	require.NotEmpty(t, r.Misses)
	require.Len(t, rows, len(r.Misses))
	for i := range r.Misses {
		m, row := &r.Misses[i], rows[i]
		require.Equal(t, r.Loads[m.Load].Name, row[0])
		require.Equal(t, m.What, row[1])
		require.Equal(t, m.At.Time.Round(time.Minute).Format("2 Jan 15:04"), row[2])
		require.Equal(t, m.At.Time.Round(time.Minute).Add(time.Duration(m.At.Zone)*time.Hour).Format("2 Jan 15:04"), row[3])
		require.Equal(t, m.Cause.String(), row[4])
		if m.Cause == sim.UnderVoltage {
			same(t, float64(m.Volts), 2, row[5], "volts")
		}
		require.Equal(t, m.At.Place.String(), row[7])
	}
	_, rows = doc.section(t, "What happened on board").grid(t, "Brought")
	require.Len(t, rows, len(r.Decisions))
	for i, d := range r.Decisions {
		require.Equal(t, d.What, rows[i][2])
		require.Equal(t, d.Why, rows[i][5])
	}
}

// A load without slots that goes dark is told with how long it lasted; faults
// are told as such.
func TestSpellsAndFaults(t *testing.T) {
	r, opt := sail(t, "doldrums-week", "bank.capacity=40Ah")
	r.Decisions = append(r.Decisions, sim.Decision{At: r.Lowest, What: "deck panel", Fault: true, Why: "lost"},
		sim.Decision{At: r.Lowest, What: "deck panel", Fault: true, Use: true, Why: "mended"})
	doc := parsed(t, written(t, Run(r, opt)))
	head, rows := doc.section(t, "Missed").grid(t, "What was due")
	require.Equal(t, "Lasted", head[4])
	spells := 0
	for i := range r.Misses {
		if r.Misses[i].Until.IsZero() {
			require.Empty(t, rows[i][4])
			continue
		}
		spells++
		require.Equal(t, "without power", rows[i][1])
		require.Regexp(t, `^\d+(\.\d)? (minutes|hours|days)$`, rows[i][4])
	}
	require.Positive(t, spells)
	_, rows = doc.section(t, "What happened on board").grid(t, "Brought")
	require.Equal(t, "FAULT", rows[len(rows)-2][3])
	require.Equal(t, "mended", rows[len(rows)-1][3])
}

func TestLedgers(t *testing.T) {
	r, opt := sail(t, "radio-cover")
	sec := parsed(t, written(t, Run(r, opt))).section(t, "The books")
	k := &r.Books
	_, rows := sec.grid(t, "The bus")
	bus := map[string]float64{}
	for _, row := range rows {
		if row[0] != "sums" {
			bus[row[0]] = reading(t, row[1]+row[2]) // one of them is empty
		}
	}
	for name, want := range map[string]float64{
		"made by the sources": float64(k.Made), "taken from the bank": float64(k.BankOut), "lost in controllers and wiring": float64(k.Lost),
		"used by the loads": float64(k.Used), "offered and refused: spilled": float64(k.Spilled), "put into the bank": float64(k.BankIn),
	} {
		require.InDelta(t, want, bus[name], 0.5001, name)
	}
	sums := rows[len(rows)-1]
	require.Equal(t, sums[1], sums[2], "the books close")
	_, rows = sec.grid(t, "The bank")
	sums = rows[len(rows)-1]
	require.Equal(t, sums[1], sums[2], "the books close")
	same(t, float64(k.Charged), 1, rows[0][1], "charged")
	same(t, float64(k.Drawn), 1, rows[1][2], "drawn")
}

func TestVariants(t *testing.T) {
	r, opt := sail(t, "bank-sizes")
	small, _ := sail(t, "bank-sizes", "bank.capacity=60Ah")
	opt.Variants = []Variant{{"large", r}, {"small", small}}
	_, rows := parsed(t, written(t, Run(r, opt))).section(t, "Variants").grid(t, "The scenario")
	require.Equal(t, []string{"large", "holds"}, rows[0][:2])
	require.Equal(t, []string{"small", "fails"}, rows[1][:2])
	same(t, 100*float64(small.Lowest.Charge), 0, rows[1][2], "lowest")
	same(t, 100*float64(small.Verdict.Margin), 0, rows[1][3], "margin")
	require.NotContains(t, rows[0][5], "large", "its name is not told twice")
}

func TestOddsValues(t *testing.T) {
	o, opt := many(t, 40, "southern-ocean", "bank.capacity=120Ah")
	doc := parsed(t, written(t, Odds(o, opt)))
	_, rows := doc.section(t, "Chance of each goal").grid(t, "In how many")
	require.Len(t, rows, len(o.Goals)+1)
	for i, g := range o.Goals {
		require.Equal(t, g.Name, rows[i][0])
		require.Equal(t, fmt.Sprint(g.Holds.Of-g.Holds.Count), rows[i][4])
	}
	head, rows := doc.section(t, "Day by day").grid(t, "State of charge")
	require.Equal(t, "Worst lowest", head[9])
	require.Len(t, rows, len(o.Days))
	for i := range o.Days {
		d := &o.Days[i]
		require.Equal(t, d.Date.Format("2 Jan"), rows[i][1])
		require.Equal(t, fmt.Sprint(d.AtSea), rows[i][2])
		same(t, 100*float64(d.Noon.P50), 0, rows[i][4], "noon")
		same(t, 100*float64(d.Low.P10), 0, rows[i][6], "low")
		same(t, 100*float64(d.Low.Min), 0, rows[i][9], "worst")
	}
	_, rows = doc.section(t, "Where trouble begins").grid(t, "By zone")
	sum := 0.0
	for _, row := range rows {
		sum += reading(t, row[1])
	}
	require.Equal(t, float64(o.Begins.Total()), sum)
	_, rows = doc.section(t, "Spread between weathers").grid(t, "8 weathers")
	require.Equal(t, "days to arrival", rows[0][0])
	same(t, float64(o.Passage.P50)/24, 1, rows[0][3], "arrival")
	// Where all holds there is no trouble to show.
	o, opt = many(t, 4, "southern-ocean", "bank.capacity=2000Ah")
	require.Zero(t, o.Begins.Total())
	page := string(written(t, Odds(o, opt)))
	require.NotContains(t, page, "Where trouble begins</h2>")
	require.Contains(t, page, `class="answer good"`)
}
