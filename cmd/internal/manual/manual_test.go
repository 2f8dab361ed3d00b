package manual

import (
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
)

func sample() (*cobra.Command, Options) {
	run := func(*cobra.Command, []string) {}
	root := &cobra.Command{Use: "boat", Short: "Sail", Long: "boat sails.\n\n.dots and 'quotes' begin lines, a \\ stands in one.", Version: "v1", Run: run}
	sail := &cobra.Command{
		Use: "sail PLACE --by LINE", Short: "Sail to a place", Run: run,
		Long:    "sail goes there:\n\n  time [UTC],  speed\n    12:00,     5 kn\n\nand back.",
		Example: "  boat sail 'Horta' --by rhumb\n  boat sail Faial",
	}
	sail.Flags().StringP("by", "b", "rhumb", "the `line` that's sailed")
	sail.Flags().StringArray("via", nil, "pass a `place`; may be repeated")
	sail.Flags().Bool("slow", false, "take time")
	sail.Flags().Bool("secret", false, "not told")
	if sail.Flags().MarkHidden("secret") != nil {
		panic("no such flag")
	}
	root.AddCommand(sail, &cobra.Command{Use: "hidden", Hidden: true, Run: run})
	return root, Options{
		Version: "boat v1", Date: time.Date(2027, 1, 10, 23, 0, 0, 0, time.UTC),
		Sections: []Section{{"Cautions", "The sea is wet."}}, Related: []string{"boat-log(5)"},
	}
}

func TestCommands(t *testing.T) {
	pages := Commands(sample())
	require.Len(t, pages, 2)
	assert.Equal(t, "boat.1", pages[0].Name)
	assert.Equal(t, `.\" Written from the help of the program: do not edit.
.TH "BOAT\-SAIL" 1 "2027\-01\-10" "boat v1" "ampwake manual"
.nh
.ad l
.SH "NAME"
boat\-sail \- Sail to a place
.SH "SYNOPSIS"
\fBboat sail\fR \fIPLACE\fR \-\-by \fILINE\fR [flags]
.SH "DESCRIPTION"
.PP
sail goes there:
.PP
.RS 4
.nf
time [UTC],  speed
  12:00,     5 kn
.fi
.RE
.PP
and back.
.SH "OPTIONS"
.TP
\fB\-b\fR, \fB\-\-by\fR \fIline\fR
the line that\(aqs sailed (default rhumb)
.TP
\fB\-h\fR, \fB\-\-help\fR
help for sail
.TP
\fB\-\-slow\fR
take time
.TP
\fB\-\-via\fR \fIplace\fR
pass a place; may be repeated
.SH "EXAMPLES"
.PP
.RS 4
.nf
boat sail \(aqHorta\(aq \-\-by rhumb
boat sail Faial
.fi
.RE
.SH "SEE ALSO"
boat(1), boat\-log(5)
`, pages[1].Roff)
	first := pages[0].Roff
	assert.Contains(t, first, "\n\\&.dots and \\(aqquotes\\(aq begin lines, a \\e stands in one.\n")
	assert.Contains(t, first, ".SH \"COMMANDS\"\n.TP\n.B sail\nSail to a place\n")
	assert.Contains(t, first, ".SH \"CAUTIONS\"\n.PP\nThe sea is wet.\n")
	assert.Contains(t, first, "\\-\\-version")
	assert.NotContains(t, first, "hidden")
}

func TestFile(t *testing.T) {
	_, o := sample()
	p := File("boat-log", "a log", "YAML.", []form.Key{
		{Path: "loads[].draws", Doc: "current", Words: "a current, like 2 A", Range: "from 0 A to 9 A", Required: true},
		{Path: "notes", Doc: "remarks", Default: "none", Status: "own choice"},
		{Path: "trial", Doc: "factors"},
	}, o)
	assert.Equal(t, "boat-log.5", p.Name)
	assert.Contains(t, p.Roff, ".TP\n.B \"loads[].draws\"\ncurrent\n(a current, like 2 A; required; from 0 A to 9 A)\n")
	assert.Contains(t, p.Roff, ".TP\n.B \"notes\"\nremarks\n(default none: own choice)\n.TP\n.B \"trial\"\nfactors\n.SH")
}

// What the formatter makes of it is what was written, and it has nothing to say.
func TestGroffReadsThePages(t *testing.T) {
	groff, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("no groff")
	}
	for _, p := range Commands(sample()) {
		c := exec.CommandContext(t.Context(), groff, "-man", "-Tutf8", "-Kutf8", "-ww", "-P-c", "-P-b", "-P-u")
		c.Stdin = strings.NewReader(p.Roff)
		var complaints strings.Builder
		c.Stderr = &complaints
		out, err := c.Output()
		require.NoError(t, err)
		assert.Empty(t, complaints.String(), p.Name)
		if p.Name == "boat-sail.1" {
			assert.Contains(t, string(out), "boat sail 'Horta' --by rhumb\n")
			assert.Contains(t, string(out), "time [UTC],  speed\n")
		} else {
			assert.Contains(t, string(out), ".dots and 'quotes' begin lines, a \\ stands in one.")
		}
	}
}
