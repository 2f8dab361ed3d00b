//go:build linux || darwin

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Bounds of memory, MiB, of which the program itself takes 40. Files that are refused
// by their size cost next to nothing; those just small enough are read whole. What
// hangs is ended after two minutes: see faulty.
const (
	refusedMiB = 120
	readMiB    = 500
	xmlMiB     = 900 // of nothing but open elements or attributes, thirty times the file
)

// peakOf returns the most memory that a process had at once, MiB.
func peakOf(t *testing.T, path string) float64 {
	t.Helper()
	status, err := os.ReadFile(path)
	require.NoError(t, err)
	m := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status)
	require.NotNil(t, m, "%s", status)
	kB, err := strconv.Atoi(string(m[1]))
	require.NoError(t, err)
	return float64(kB) / 1024
}

// Files far too large, nested, or unfolding are refused with a message, exit 2, in
// bounded memory and time; so is what never ends.
func TestFaultHugeInput(t *testing.T) {
	if testing.Short() {
		t.Skip("it reads much")
	}
	if _, err := os.Stat("/proc/self/status"); err != nil {
		t.Skipf("this system does not tell what memory a process took: %v", err)
	}
	dir := t.TempDir()
	require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, "new", "mine.yaml")).code)
	mine := string(must(os.ReadFile(filepath.Join(dir, "mine.yaml"))))
	part := func(name, from, to, instead string) string { // mine with another part
		i := strings.Index(mine, from)
		require.Positive(t, i)
		j := i + strings.Index(mine[i:], to)
		require.Greater(t, j, i)
		return write(t, dir, name, mine[:i]+instead+mine[j:], nil, 0, "")
	}
	same := func(text string) func(int) string { return func(int) string { return text } }
	minute := func(i int) string {
		return time.Date(2027, 1, 5, 0, i, 0, 0, time.UTC).Format("2006-01-02T15:04Z") + ",3,12,060,25.1,26.0\n"
	}
	const recordHead = "time, cloud [oktas], wind speed [kn], wind from [deg], air [C], sea [C]\n"
	const gpxHead, gpxTail = `<gpx xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>`, "</trkseg></trk></gpx>\n"
	point := func(i int) string { return fmt.Sprintf("<trkpt lat=\"%.5f\" lon=\"-25\"/>\n", float64(i)*1e-5) }

	huge := filepath.Join(dir, "huge.yaml") // 100 MB of nothing
	require.NoError(t, os.WriteFile(huge, nil, 0o600))
	require.NoError(t, os.Truncate(huge, 100<<20))
	bomb := write(t, dir, "bomb.yaml", "a0: &a0 [1, 1, 1, 1, 1, 1, 1, 1, 1, 1]\n", func(i int) string {
		return fmt.Sprintf("a%d: &a%d [%s*a%d]\n", i+1, i+1, strings.Repeat(fmt.Sprintf("*a%d, ", i), 9), i)
	}, 30, "")
	deep := write(t, dir, "deep.yaml", "title: ", same("["), 500_000, "")
	deepKeys := write(t, dir, "deepkeys.yaml", "", func(i int) string { return strings.Repeat(" ", i) + "a:\n" }, 1400, "")
	brackets := write(t, dir, "many.yaml", "a: [", same("1,"), 500_000, "1]\n")
	wrongs := write(t, dir, "wrongs.yaml", "", func(i int) string { return fmt.Sprintf("k%d: 1\n", i) }, 90_000, "")
	log := write(t, dir, "log.csv", "time [UTC], volts rested [V]\n", same("2027-01-10 12:00,\n"), 10_000_000, "")
	logs := write(t, dir, "logs.csv", "time [UTC], volts rested [V]\n", same("2027-01-10 12:00,12.6\n"), 47_000, "")
	quote := write(t, dir, "quote.csv", "time [UTC], volts rested [V]\n2027-01-10 12:00,\"", same("12.6\n"), 200_000, "")
	write(t, dir, "record.csv", recordHead, minute, 1_000_000, "")
	write(t, dir, "recordquote.csv", recordHead+"\"", same("3,4\n"), 2_000_000, "")
	write(t, dir, "less.csv", recordHead, minute, (8<<20-100)/37, "")
	write(t, dir, "million.gpx", gpxHead, point, 1_000_000, gpxTail)
	write(t, dir, "less.gpx", gpxHead, point, 500_000, gpxTail)
	write(t, dir, "attributes.gpx", "<gpx", same(` a=""`), 3_300_000, "></gpx>\n")
	write(t, dir, "deep.gpx", gpxHead, same("<a>"), 4_000_000, gpxTail)

	for _, c := range []struct {
		want string
		most float64 // MiB
		args []string
	}{
		{`huge\.yaml: the file is too large: it may have 1 MiB`, refusedMiB, []string{"run", huge}},
		{`huge\.yaml: the file is too large: it may have 1 MiB`, refusedMiB, []string{"compare", huge}},
		{`huge\.yaml: the file is too large: it may have 1 MiB`, refusedMiB, []string{"run", "radio-cover", "--trial", huge}},
		{`/dev/zero: the file is too large: it may have 1 MiB`, refusedMiB, []string{"check", "/dev/zero"}},
		{`/dev/zero: the file is too large: it may have 1 MiB`, refusedMiB, []string{"odds", "radio-cover", "--trial", "/dev/zero"}},
		{`/dev/zero: a log of more than 1048576 bytes`, refusedMiB, []string{"trial", "radio-cover", "/dev/zero"}},
		{`/dev/null: the file is empty`, refusedMiB, []string{"run", "/dev/null"}},
		{`unfold to more than 10000 values`, refusedMiB, []string{"run", bomb}},
		{`nested more than 32 levels deep`, refusedMiB, []string{"run", deep}},
		{`nested more than 32 levels deep`, refusedMiB, []string{"run", deepKeys}},
		{`many\.yaml:1:`, readMiB, []string{"run", brackets}},
		{`wrongs\.yaml:1:`, readMiB, []string{"run", wrongs}},
		{`log\.csv: a log of more than 1048576 bytes`, refusedMiB, []string{"trial", "radio-cover", log}},
		{`log\.csv: a log of more than 1048576 bytes`, refusedMiB, []string{"noon", "radio-cover", log}},
		{`logs\.csv: `, readMiB, []string{"trial", "radio-cover", logs}},
		{`quote\.csv: `, readMiB, []string{"trial", "radio-cover", quote}},
		{`record\.csv is larger than 8 MiB: keep the lines of this voyage`, refusedMiB, []string{"run", part("r.yaml", "weather:", "\n\n", "weather: {record: record.csv}")}},
		{`/dev/zero is larger than 8 MiB`, refusedMiB, []string{"run", part("z.yaml", "weather:", "\n\n", "weather: {record: /dev/zero}")}},
		{`recordquote\.csv: line 2\d*: `, readMiB, []string{"run", part("q.yaml", "weather:", "\n\n", "weather: {record: recordquote.csv}")}},
		{"", readMiB, []string{"run", part("l.yaml", "weather:", "\n\n", "weather: {record: less.csv}")}},
		{`million\.gpx: is larger than 16 MiB: save only the route`, refusedMiB, []string{"run", part("m.yaml", "  route:", "  pace:", "  route: {gpx: million.gpx}\n")}},
		{`less\.gpx .*500000 points`, readMiB, []string{"run", part("g.yaml", "  route:", "  pace:", "  route: {gpx: less.gpx}\n")}},
		{`deep\.gpx: line 1: `, xmlMiB, []string{"run", part("d.yaml", "  route:", "  pace:", "  route: {gpx: deep.gpx}\n")}},
		{`attributes\.gpx has no route`, xmlMiB, []string{"run", part("a.yaml", "  route:", "  pace:", "  route: {gpx: attributes.gpx}\n")}},
		{`an override must be UTF-8 text of at most 64 KiB`, refusedMiB, []string{"run", "radio-cover", "--set", "title=" + strings.Repeat("x", 100_000)}},
	} {
		last := filepath.Base(c.args[len(c.args)-1])
		t.Run(c.args[0]+" "+last[:min(20, len(last))], func(t *testing.T) {
			peak := filepath.Join(t.TempDir(), "peak")
			began := time.Now()
			o := finish(t, faulty(t, "peak="+peak, dir, c.args...))
			took := time.Since(began)
			if c.want == "" {
				require.Equal(t, exitOK, o.code, o.stderr)
			} else {
				assert.Equal(t, exitBadInput, o.code)
				assert.Empty(t, o.stdout)
				assert.Regexp(t, c.want, o.stderr)
				assert.Less(t, len(o.stderr), 40_000, "a message for people")
			}
			t.Logf("%.0f MiB, %v: %.150s", peakOf(t, peak), took.Round(time.Millisecond), o.stderr)
			assert.Less(t, peakOf(t, peak), c.most)
		})
	}
}
