package main

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/manual"
	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
)

// The man pages are written by a test, so that the binary need not know how:
// go test ./cmd/ampwake -run TestManual -man FOLDER -man-version v1.0.0
// Their date is SOURCE_DATE_EPOCH, or today.
var (
	manDir     = flag.String("man", "", "write the man pages into this `folder`")
	manVersion = flag.String("man-version", "", "the `version` in their foot")
)

// mainSections are what ampwake(1) tells beside the help.
func mainSections() []manual.Section {
	return []manual.Section{
		{Title: "Exit status", Text: `  0    done
  1    a failure: a full disk, a folder that cannot be written
  2    bad input: a wrong flag, name, scenario or log
  130  interrupted; what was finished by then has been told

A scenario that does not hold is an answer and no failure: its status is 0.`},
		{Title: "Files", Text: `ampwake reads no configuration and needs no network. It opens what is named on the command line, and the GPX file and the log of weather that a scenario names; it writes only into the folder of --out and to the file of --html, or the file of "ampwake new". A file is written whole or not at all.

  FILE.yaml    a scenario: see ampwake-scenario(5)
  LOG.csv      a log kept by hand: see ampwake-trial(1)
  trial.yaml   what a trial sail found, for --trial`},
		{Title: "Shell completion", Text: `"ampwake completion bash" (or zsh, fish, powershell) prints a script that makes the shell complete commands, scenarios, logs, flags, their values, and the paths of --set, --vary and --range.`},
		{Title: "Cautions", Text: report.Caution + `

Lead-acid batteries give off hydrogen while they are charged: ventilate, and make no sparks. Never charge lithium cells below 0 °C; their protection may cut off the whole bank. Fuse every positive wire at the battery.

A radio that works on paper may not work in distress. Do not plan on the last ampere-hour.`},
	}
}

func manPages(date time.Time, version string) []manual.Page {
	o := manual.Options{Version: strings.TrimSpace("ampwake " + version), Date: date, Sections: mainSections(), Related: []string{"ampwake-scenario(5)"}}
	pages := manual.Commands(newRoot(), o)
	return append(pages, manual.File("ampwake-scenario", "a passage, a boat and what her electricity must do",
		`A scenario is a YAML file. "ampwake new mine.yaml" writes one to begin with, and "ampwake check mine.yaml" tells every mistake in one, with its line.

Quantities are written as people write them, with their unit:

  capacity: 2 x 115 Ah
  at: 16°53.0'N 025°00.0'W
  when: "19:00-21:00 ship's time"

Below, [] stands for an item of a list and <name> for a key of one's own. The paths are also those of --set: an item of a list is named there in brackets, as in

  --set 'loads[HF radio].cable.area=35 mm²'`, scenarios.Keys(), o))
}

// emptySection finds a heading that nothing follows.
var emptySection = regexp.MustCompile(`(?m)^\.SH .*\n(\.SH|\z)`)

// Every command and every flag has its place in the pages, no section is empty, and
// the cautions are there. With -man the pages are written.
func TestManual(t *testing.T) {
	date := time.Now()
	if epoch := os.Getenv("SOURCE_DATE_EPOCH"); epoch != "" {
		seconds, err := strconv.ParseInt(epoch, 10, 64)
		require.NoError(t, err)
		date = time.Unix(seconds, 0)
	}
	pages := manPages(date, *manVersion)
	assert.Equal(t, pages, manPages(date, *manVersion), "the same twice")
	byName := map[string]string{}
	for _, p := range pages {
		byName[p.Name] = p.Roff
		assert.NotRegexp(t, emptySection, p.Roff, p.Name)
		if *manDir != "" {
			require.NoError(t, os.MkdirAll(*manDir, 0o755))
			require.NoError(t, os.WriteFile(filepath.Join(*manDir, p.Name), []byte(p.Roff), 0o644))
		}
	}
	for _, section := range []string{"EXIT STATUS", "FILES", "CAUTIONS", "SHELL COMPLETION", "COMMANDS", "EXAMPLES"} {
		assert.Contains(t, byName["ampwake.1"], `.SH "`+section+`"`)
	}
	for _, words := range []string{"gas, burn and short", "licensed", "EPIRB", "hydrogen", "distress"} {
		assert.Contains(t, byName["ampwake.1"], words)
	}
	for _, c := range newRoot().Commands() {
		roff := byName["ampwake-"+c.Name()+".1"]
		require.NotEmpty(t, roff, c.Name())
		c.Flags().VisitAll(func(f *pflag.Flag) {
			assert.Contains(t, roff, `\-\-`+strings.ReplaceAll(f.Name, "-", `\-`)+`\fR`, c.Name())
		})
	}
	assert.Contains(t, byName["ampwake-scenario.5"], `.B "bank.capacity"`)
}

// The formatter has nothing to say against the pages.
func TestManualRenders(t *testing.T) {
	groff, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("no groff")
	}
	for _, p := range manPages(time.Now(), "") {
		c := exec.CommandContext(t.Context(), groff, "-man", "-Tutf8", "-Kutf8", "-ww", "-P-c")
		c.Stdin = strings.NewReader(p.Roff)
		var complaints strings.Builder
		c.Stderr = &complaints
		out, err := c.Output()
		require.NoError(t, err)
		assert.Empty(t, complaints.String(), p.Name)
		assert.Greater(t, len(out), 500, p.Name)
	}
}
