package paper

import (
	"bytes"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/card"
	"ampwake/scenarios"
)

// scenarioOf reads a built-in scenario, or the text of one.
func scenarioOf(t testing.TB, name string, set ...string) *scenarios.Scenario {
	t.Helper()
	label, src := "test", []byte(name)
	if !strings.Contains(name, "\n") {
		var err error
		label, src, err = scenarios.Source(name)
		require.NoError(t, err)
	}
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	return s
}

func cardOf(t testing.TB, s *scenarios.Scenario, weathers int) *card.Card {
	t.Helper()
	c, err := card.New(t.Context(), s, card.Options{Weathers: weathers, Seed: 1})
	require.NoError(t, err)
	return c
}

func options(size Size) Options { return Options{Size: size, Version: "ampwake test"} }

// good checks a drawn card: pages, type inside the paper and inside its room, no
// word upon another, no type too small.
func good(t *testing.T, c *card.Card, size Size) *sheet {
	t.Helper()
	s := draw(c, options(size))
	require.NoError(t, s.pdf.Error())
	assert.Equal(t, 2*len(c.Zones), s.pdf.PageCount())
	assert.Equal(t, s.pages, s.page)
	for i, a := range s.words {
		const hair = 0.05
		assert.GreaterOrEqual(t, a.x0, a.from-hair, "page %d: %q", a.page, a.text)
		assert.LessOrEqual(t, a.x1, a.to+hair, "page %d: %q", a.page, a.text)
		assert.GreaterOrEqual(t, a.x0, 7.0, "page %d: %q", a.page, a.text)
		assert.LessOrEqual(t, a.x1, size.width-7, "page %d: %q", a.page, a.text)
		assert.GreaterOrEqual(t, a.y0, 7.0, "page %d: %q", a.page, a.text)
		assert.LessOrEqual(t, a.y1, size.height-6, "page %d: %q", a.page, a.text)
		if a.size < 9 {
			assert.True(t, a.y0 > s.bottom-4-cautionsHeight, "page %d: %q is set in %v points", a.page, a.text, a.size)
		}
		for _, b := range s.words[i+1:] {
			if b.page != a.page {
				break
			}
			clear := a.x1 <= b.x0+hair || b.x1 <= a.x0+hair || a.y1 <= b.y0+0.3 || b.y1 <= a.y0+0.3
			assert.True(t, clear, "page %d: %q lies on %q", a.page, a.text, b.text)
		}
	}
	return s
}

func TestBuiltInCards(t *testing.T) {
	for _, b := range scenarios.Builtin() {
		c := cardOf(t, scenarioOf(t, b.Name), 12)
		for _, size := range []Size{A4, Letter} {
			s := good(t, c, size)
			for _, w := range s.words {
				assert.False(t, w.cut, "%s, %s, page %d: %q is cut short", b.Name, size.Name, w.page, w.text)
			}
		}
	}
}

// crowded is a boat with too much of everything.
func crowded() string {
	var b strings.Builder
	b.WriteString(`
title: A very long title of a passage that goes on and on from one place to another place and never seems to end at all
voyage:
  depart: 2027-01-10 09:00 UTC
  route:
    - {name: Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch Bay, at: 30°00.0'N 040°00.0'W}
    - {name: 北大西洋の真ん中の島 𝕏, at: 20°00.0'N 050°00.0'W}
  pace: [{speed: 4 kn}]
weather: climate
bank: {capacity: 4000 Ah, start: 100 %}
sources:
  panels:
`)
	for i := range 14 {
		fmt.Fprintf(&b, "    - {name: panel number %d on the after rail to starboard, rated: 85 W}\n", i)
	}
	b.WriteString("  hydro: {name: a generator with quite a long name on the transom, curve: [[3 kn, 1 A], [6 kn, 8 A]]}\n  engine: {alternator: 80 A}\nloads:\n")
	for i := range 40 {
		fmt.Fprintf(&b, "  - {name: load number %d with a name that is much too long for it, draws: 0.9 A, goes first: %v}\n", i, i%2 == 0)
	}
	for i := range 6 {
		fmt.Fprintf(&b, "  - {name: radio number %d of the whole fleet, receive: 1 A, transmit: {peak: %d A}, when: [\"0%d:00 UTC\", \"1%d:30 UTC\"], for: 20 min, works above: 11.8 V, cable: {run: 9 m, area: 10 mm²}}\n", i, 10+5*i, i, i)
	}
	b.WriteString("  - {name: weather fax, draws: 8 W, station: Boston, charts: all}\n")
	b.WriteString("goals: {keep: [radio number 0 of the whole fleet, weather fax]}\n")
	return b.String()
}

const bare = `
title: nothing on board
voyage:
  depart: 2027-01-10 09:00 UTC
  route: [{name: A, at: 30°00.0'N 040°00.0'W}, {name: B, at: 28°00.0'N 042°00.0'W}]
  pace: [{speed: 5 kn}]
bank: {capacity: 100 Ah}
`

func TestOddBoats(t *testing.T) {
	for name, s := range map[string]*scenarios.Scenario{
		"crowded": scenarioOf(t, crowded()),
		"bare":    scenarioOf(t, bare),
		"dead weight": scenarioOf(t, bare+`
loads: [{name: fridge, draws: 5 A, share: 40 %}]
`),
		"lithium and engine": scenarioOf(t, "radio-cover", "bank.chemistry=lfp", "sources.engine.alternator=60A", "bank.floor=20%", "goals.stay above=20%"),
		"no radio": scenarioOf(t, bare+`
sources: {panels: [{name: panel, rated: 100 W}], wind: {diameter: 1.1 m}}
loads: [{name: instruments, draws: 1 A}, {name: lamp, draws: 1 A, when: dusk to dawn}]
weather: {wind: {speed: 15 kn, from: 90°}}
`),
		"deaf radio": scenarioOf(t, "southern-ocean", "loads[HF radio].works above=12.8V"),
		"old bank":   scenarioOf(t, "southern-ocean", "bank.age=60%"),
	} {
		t.Run(name, func(t *testing.T) {
			c := cardOf(t, s, 3)
			for _, size := range []Size{A4, Letter} {
				good(t, c, size)
			}
		})
	}
}

const long = `
title: two hundred and forty days
voyage:
  depart: 2027-01-10 09:00 UTC
  route:
    - {name: Azores, at: 42°00.0'N 022°00.0'W}
    - {name: the line southbound, at: 00°00.0'N 025°00.0'W, by: rhumb line}
    - {name: off the Cape, at: 40°00.0'S 015°00.0'E, by: rhumb line}
    - {name: off Tasmania, at: 46°00.0'S 147°00.0'E, by: rhumb line}
    - {name: off the Horn, at: 57°00.0'S 067°00.0'W, by: rhumb line}
    - {name: the line, at: 00°00.0'N 028°00.0'W, by: rhumb line}
    - {name: Azores again, at: 42°00.0'N 026°00.0'W, by: rhumb line}
  pace: [{speed: 4.0 kn}]
weather: climate
bank: {capacity: 200 Ah, floor: 50 %}
sources: {panels: [{name: panel, rated: 100 W}], hydro: {curve: [[3 kn, 1 A], [6 kn, 8 A]]}}
loads: [{name: instruments, draws: 1 A}, {name: lamp, draws: 1 A, when: dusk to dawn}]
`

func TestLongVoyage(t *testing.T) {
	c := cardOf(t, scenarioOf(t, long), 3)
	days := 0.0
	for _, z := range c.Zones {
		assert.Less(t, z.Days, 30.0, z.Name)
		days += z.Days
	}
	assert.Greater(t, days, 240.0)
	for _, size := range []Size{A4, Letter} {
		good(t, c, size)
	}
}

func TestShortZones(t *testing.T) {
	c := cardOf(t, scenarioOf(t, "radio-cover", "voyage.zones=[{name: first miles, until: 16.6°N}, {name: a few more, until: 16.4°N}, {name: all the rest}]"), 4)
	require.Len(t, c.Zones, 4, "the last in two parts")
	assert.Less(t, c.Zones[0].Days, 1.0)
	assert.Less(t, c.Zones[1].Days, 1.0)
	good(t, c, A4)

	// Over before the first noon.
	c = cardOf(t, scenarioOf(t, bare, "voyage.for=1h"), 2)
	for _, n := range c.Zones[0].Noons {
		assert.True(t, n.Thin)
	}
	good(t, c, A4)
}

func TestSameBytes(t *testing.T) {
	var first []byte
	for range 2 {
		var b bytes.Buffer
		require.NoError(t, Write(&b, cardOf(t, scenarioOf(t, "doldrums-week"), 4), options(A4)))
		if first == nil {
			first = b.Bytes()
		}
		assert.True(t, bytes.Equal(first, b.Bytes()))
	}
	assert.True(t, bytes.HasPrefix(first, []byte("%PDF-")))
	assert.Contains(t, string(first), "/MediaBox [0 0 595.28 841.89]")
	var b bytes.Buffer
	require.NoError(t, Write(&b, cardOf(t, scenarioOf(t, "doldrums-week"), 1), options(Letter)))
	assert.Contains(t, b.String(), "/MediaBox [0 0 612.00 792.00]")
}

// What can be read out of the file is what the card knows.
func TestNumbersCanBeRead(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext of the poppler tools is not on this machine")
	}
	c := cardOf(t, scenarioOf(t, "southern-ocean"), 8)
	file := filepath.Join(t.TempDir(), "card.pdf")
	var b bytes.Buffer
	require.NoError(t, Write(&b, c, options(A4)))
	writeFile(t, file, b.Bytes())
	for i, z := range c.Zones {
		page := fmt.Sprint(2*i + 1)
		out, err := exec.Command(tool, "-layout", "-f", page, "-l", page, file, "-").Output()
		require.NoError(t, err)
		text := strings.Join(strings.Fields(string(out)), " ")
		want := []string{
			z.Name, decimals(float64(z.Made())), decimals(float64(z.Used())), "HF radio will not transmit",
			volts(z.Needs[0].Rest) + " V", "Switch off cabin lights", "8 weathers of seed 1", "ampwake test", "ship's time = UTC", "°C", "·",
		}
		for _, r := range z.Ladder {
			want = append(want, r.Head)
		}
		for _, e := range z.Out {
			want = append(want, e.Name+" "+decimals(float64(e.Ah)))
		}
		lasts, _ := lasting(z)
		for _, l := range lasts {
			for _, d := range l.Days {
				want = append(want, days(d))
			}
		}
		for _, r := range z.Rest[:9] {
			want = append(want, volts(r.Volts))
		}
		for _, w := range want {
			assert.Contains(t, text, w, "page %s", page)
		}
		page = fmt.Sprint(2*i + 2)
		out, err = exec.Command(tool, "-layout", "-f", page, "-l", page, file, "-").Output()
		require.NoError(t, err)
		text = strings.Join(strings.Fields(string(out)), " ")
		for _, w := range []string{"NOON TRACE", z.Noons[0].Date.Format("2 Jan"), "Position", "Remark", "floor 50 %", "12.08", "LEFT of the grey", "RIGHT of the grey"} {
			assert.Contains(t, text, w, "page %s", page)
		}
	}
}

// The band stands where the numbers say: the chart is a function of them.
func TestStripScale(t *testing.T) {
	p := strip{x0: 100, x1: 160, y0: 50, row: 8, low: 40}
	assert.InDelta(t, 160, p.x(100), 1e-9)
	assert.InDelta(t, 100, p.x(40), 1e-9)
	assert.InDelta(t, 130, p.x(70), 1e-9)
	assert.InDelta(t, 100, p.x(10), 1e-9, "held within the chart")
	assert.InDelta(t, 54, p.y(0), 1e-9)
}

func TestParseSize(t *testing.T) {
	s, err := ParseSize("Letter")
	require.NoError(t, err)
	assert.Equal(t, Letter, s)
	_, err = ParseSize("legal")
	assert.ErrorContains(t, err, "not a4 or letter")
}
