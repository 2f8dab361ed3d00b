package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/sim"
)

// trial is one of so many weathers, sailed through some, of which it held in some.
func trial(held, sailed, of int) *sim.Trial {
	outcomes := make([]bool, sailed)
	for i := range held {
		outcomes[i] = true
	}
	return sim.NewTrial(of, outcomes)
}

// sizing is a search in a box of three banks, by weight, of which one kit each was
// sailed.
func sizing(t *testing.T, best, rival int, trials ...*sim.Trial) *report.Sizing {
	t.Helper()
	label, src, err := scenarios.Source("doldrums-week")
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, []string{"bank.weighs per Ah=0.3 kg"}, "")
	require.NoError(t, err)
	r, err := scenarios.ParseRange("bank.capacity=100Ah..300Ah step 100Ah")
	require.NoError(t, err)
	box, err := scenarios.ReadKits(s, []scenarios.Range{r}, "")
	require.NoError(t, err)
	x := &sim.Size{Members: 200, Need: 190, Wanted: 0.95, Best: best, Rival: rival, InBox: 3, Asked: len(trials), Answered: 321, Voyages: 321}
	for i, k := range trials {
		x.Kits = append(x.Kits, sim.SizedKit{Kit: i, Trial: k})
	}
	return &report.Sizing{Size: x, Box: box, Title: "A week", Seed: 7, Notes: s.Voyage().Notes}
}

func TestSizeAnswer(t *testing.T) {
	full := func(held int) *sim.Trial { return trial(held, 200, 200) }
	for name, c := range map[string]struct {
		s    *report.Sizing
		want string
	}{
		"sure": {sizing(t, 1, 0, full(60), full(200)), `ENOUGH  bank 200 Ah (60 kg): the lightest kit, of 3, that holds in 95 of 100 weathers
Holds   in 100 of 100 weathers (200 of 200; 95 % interval 98 to 100)
Sure?   yes; the next below is bank 100 Ah (30 kg) with 30 (24 to 37)
`},
		"it may fall short": {sizing(t, 1, 0, full(60), full(192)), `ENOUGH  bank 200 Ah (60 kg): the lightest kit, of 3, that holds in 95 of 100 weathers
Holds   in 96 of 100 weathers (192 of 200; 95 % interval 92 to 98)
Sure?   not quite, its interval begins under 95 (-n 1900 would tell); the next below is bank 100 Ah (30 kg) with 30 (24 to 37)
`},
		"a smaller one may do": {sizing(t, 1, 0, full(188), full(200)), `ENOUGH  bank 200 Ah (60 kg): the lightest kit, of 3, that holds in 95 of 100 weathers
Holds   in 100 of 100 weathers (200 of 200; 95 % interval 98 to 100)
Sure?   yes, but a smaller one might do (-n 1900 would tell); the next below is bank 100 Ah (30 kg) with 94 (90 to 97)
`},
		"both": {sizing(t, 1, 0, full(188), full(192)), `ENOUGH  bank 200 Ah (60 kg): the lightest kit, of 3, that holds in 95 of 100 weathers
Holds   in 96 of 100 weathers (192 of 200; 95 % interval 92 to 98)
Sure?   no, it and the next below are within the scatter (-n 1900 would tell); the next below is bank 100 Ah (30 kg) with 94 (90 to 97)
`},
		"smallest of all": {sizing(t, 0, -1, full(200)), `ENOUGH  bank 100 Ah (30 kg): the lightest kit, of 3, that holds in 95 of 100 weathers
Holds   in 100 of 100 weathers (200 of 200; 95 % interval 98 to 100)
Sure?   yes; it is the smallest of the ranges
`},
		"none": {sizing(t, -1, 2, trial(0, 11, 200), trial(3, 14, 200), full(160)), `NOT ENOUGH   none of the 3 kits holds in 95 of 100 weathers
Nearest bank 300 Ah (90 kg) holds in 80 of 100 weathers (160 of 200; 95 % interval 74 to 85)
Sure?   yes, as far as these ranges go: widen them
`},
		"none, perhaps": {sizing(t, -1, 0, full(189)), `NOT ENOUGH   none of the 3 kits holds in 95 of 100 weathers
Nearest bank 100 Ah (30 kg) holds in 94 of 100 weathers (189 of 200; 95 % interval 90 to 97)
Sure?   no, it might be enough after all (-n 7500 would tell); or widen the ranges
`},
	} {
		assert.Equal(t, c.want, report.SizeAnswer(c.s), name)
	}
}

func TestSizeText(t *testing.T) {
	s := sizing(t, 2, 1, trial(0, 11, 200), trial(180, 200, 200), trial(195, 200, 200))
	s.Levels = []sim.Level{{Wanted: 0.9, Need: 180, Best: 1}, {Wanted: 0.95, Need: 190, Best: 2}, {Wanted: 0.99, Need: 198, Best: -1}}
	s.Compared, s.Against, s.Box.Lacks = 400, 3, []string{"fuel"}
	s.Voyages = 521
	var b bytes.Buffer
	require.NoError(t, report.SizeText(&b, s))
	text := b.String()
	assert.True(t, strings.HasPrefix(text, report.SizeAnswer(s)))
	for _, want := range []string{
		"200 weathers of seed 7, the same for every kit",
		"  95 >     90 kg  300 Ah    98 (94 to 99)\n  99           –       –                –\n",
		"  >   90 kg  300 Ah    98 (94 to 99)       200     yes\n      60 kg  200 Ah    90 (85 to 93)       200      no\n      30 kg  100 Ah      0 (0 to 26)        11      no\n",
		"bank: 3 values, 100 Ah to 300 Ah; more of it is taken never to make a kit worse",
		"the answer took 321 voyages with 3 of the 3 kits; each kit in each weather would be 600",
		"the other odds took 200 more, with 0 more kits",
		"in 3 of 400 the larger kit failed and the smaller held,",
		"--all tries each", "no weight is given for: fuel", "Assumed", "EPIRB",
	} {
		assert.Contains(t, text, want)
	}
	for i, line := range strings.Split(text, "\n") {
		assert.Equal(t, strings.TrimRight(line, " "), line, "line %d", i+1)
	}
}

func TestSizeData(t *testing.T) {
	s := sizing(t, 2, 1, trial(0, 11, 200), trial(150, 160, 200), trial(195, 200, 200))
	s.Levels = []sim.Level{{Wanted: 0.95, Need: 190, Best: 2}}
	var b bytes.Buffer
	require.NoError(t, report.SizeJSON(&b, s))
	var d struct {
		Schema, Answer, By string
		Best, Rival        int
		Voyages            int
		Frontier           []struct{ Best int }
		Ranges             []struct {
			Path   string
			Values []string
			Rises  bool `json:"more_is_never_worse"`
		}
		Kits []struct {
			Name   string
			Set    []string
			Values []string
			Cost   float64
			Holds  struct{ Count, Of int }
			Enough bool
			Short  bool
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	assert.Equal(t, report.SizeSchema, d.Schema)
	assert.Equal(t, report.SizeAnswer(s), d.Answer)
	assert.Equal(t, "weight", d.By)
	assert.Equal(t, 2, d.Best)
	assert.Equal(t, 2, d.Frontier[0].Best)
	assert.True(t, d.Ranges[0].Rises)
	require.Len(t, d.Kits, 3)
	assert.Equal(t, []string{"bank.capacity=300 Ah"}, d.Kits[2].Set)
	assert.Equal(t, 90.0, d.Kits[2].Cost)
	assert.True(t, d.Kits[2].Enough)
	assert.True(t, d.Kits[0].Short)
	assert.False(t, d.Kits[1].Enough || d.Kits[1].Short, "not asked")

	b.Reset()
	require.NoError(t, report.SizeCSV(&b, s))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Equal(t, [][]string{
		{"weight_kg", "bank.capacity", "holds", "sailed", "share", "low95", "high95", "enough", "best"},
		{"90.00", "300 Ah", "195", "200", "0.9750", "0.9428", "0.9893", "true", "true"},
		{"60.00", "200 Ah", "150", "160", "0.9375", "0.8888", "0.9657", "", "false"},
		{"30.00", "100 Ah", "0", "11", "0.0000", "0.0000", "0.2588", "false", "false"},
	}, rows)
}
