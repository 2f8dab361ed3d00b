// Package manual writes the man pages of the command line: one for the program and
// one for each command, from the same words as --help, and one for the keys of a
// scenario file. Only a test and the release use it; it is no part of the binary.
//
// The roff is plain: the man macros that both groff and mandoc know.
package manual

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"ampwake/scenarios/form"
)

// Options are what the commands themselves do not tell.
type Options struct {
	Version  string    // like "ampwake v1.0.0"
	Date     time.Time // in the foot of each page
	Sections []Section // of the program's page, before its examples
	Related  []string  // further pages to see, like "ampwake-scenario(5)"
}

// Section is a part of a page. The text is read as that of a command's Long: blank
// lines part paragraphs, indented lines stay as they are.
type Section struct{ Title, Text string }

// Page is a man page under the name of its file.
type Page struct{ Name, Roff string }

// Commands returns the pages of a program and of each of its commands that help
// shows.
func Commands(root *cobra.Command, o Options) []Page {
	root.InitDefaultHelpFlag()
	root.InitDefaultVersionFlag()
	pages := []Page{command(root, o)}
	for _, c := range root.Commands() {
		if !shown(c) {
			continue
		}
		c.InitDefaultHelpFlag()
		pages = append(pages, command(c, o))
	}
	return pages
}

func shown(c *cobra.Command) bool {
	return c.IsAvailableCommand() && c.Name() != "help" && c.Name() != "completion"
}

func command(c *cobra.Command, o Options) Page {
	w := &page{}
	name := dashed(c)
	w.head(name, 1, o)
	w.section("Name")
	w.line("%s \\- %s", escape(name), escape(c.Short))
	w.section("Synopsis")
	w.synopsis(c)
	w.section("Description")
	about := c.Long
	if about == "" {
		about = c.Short + "."
	}
	w.text(about)
	if c.HasAvailableSubCommands() {
		w.section("Commands")
		for _, sub := range c.Commands() {
			if shown(sub) {
				w.line(".TP\n.B %s\n%s", escape(sub.Name()), escape(sub.Short))
			}
		}
	}
	w.section("Options")
	c.NonInheritedFlags().VisitAll(w.flag)
	if !c.HasParent() {
		for _, s := range o.Sections {
			w.section(s.Title)
			w.text(s.Text)
		}
	}
	if c.Example != "" {
		w.section("Examples")
		w.verbatim(strings.Split(c.Example, "\n"))
	}
	w.section("See also")
	w.line("%s", escape(strings.Join(seeAlso(c, o), ", ")))
	return Page{Name: name + ".1", Roff: w.b.String()}
}

func seeAlso(c *cobra.Command, o Options) []string {
	if c.HasParent() {
		return append([]string{dashed(c.Parent()) + "(1)"}, o.Related...)
	}
	var list []string
	for _, sub := range c.Commands() {
		if shown(sub) {
			list = append(list, dashed(sub)+"(1)")
		}
	}
	return append(list, o.Related...)
}

func dashed(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// File returns the page of a file format, in section 5.
func File(name, short, about string, keys []form.Key, o Options) Page {
	w := &page{}
	w.head(name, 5, o)
	w.section("Name")
	w.line("%s \\- %s", escape(name), escape(short))
	w.section("Description")
	w.text(about)
	w.section("Keys")
	for _, k := range keys {
		w.line(".TP\n.B %s\n%s", quoted(k.Path), escape(k.Doc))
		facts := k.Facts()
		if len(facts) > 0 {
			w.line("(%s)", escape(strings.Join(facts, "; ")))
		}
	}
	w.section("See also")
	w.line("%s", escape("ampwake(1), ampwake-schema(1)"))
	return Page{Name: name + ".5", Roff: w.b.String()}
}

// page is a page being written.
type page struct{ b strings.Builder }

func (w *page) line(format string, args ...any) { fmt.Fprintf(&w.b, format+"\n", args...) }

func (w *page) head(name string, section int, o Options) {
	w.line(`.\" Written from the help of the program: do not edit.`)
	w.line(`.TH %s %d %s %s %s`, quoted(strings.ToUpper(name)), section, quoted(o.Date.UTC().Format(time.DateOnly)), quoted(o.Version), quoted("ampwake manual"))
	w.line(".nh\n.ad l") // names and quantities must not be torn apart
}

func (w *page) section(title string) { w.line(".SH %s", quoted(strings.ToUpper(title))) }

// argument is what stands for something that the user has to name.
var argument = regexp.MustCompile(`[A-Z]{2,}`)

func (w *page) synopsis(c *cobra.Command) {
	path := c.CommandPath()
	rest := strings.TrimPrefix(c.UseLine(), path)
	if c.HasAvailableSubCommands() {
		rest = " COMMAND [flags]"
	}
	w.line("\\fB%s\\fR%s", escape(path), argument.ReplaceAllString(escape(rest), `\fI$0\fR`))
}

func (w *page) flag(f *pflag.Flag) {
	if f.Hidden || f.Deprecated != "" {
		return
	}
	value, usage := pflag.UnquoteUsage(f)
	w.line(".TP")
	head := "\\fB\\-\\-" + escape(f.Name) + "\\fR"
	if f.Shorthand != "" {
		head = "\\fB\\-" + escape(f.Shorthand) + "\\fR, " + head
	}
	if value != "" {
		head += " \\fI" + escape(value) + "\\fR"
	}
	w.line("%s", head)
	switch f.DefValue {
	case "", "false", "[]", "0":
	default:
		usage += " (default " + f.DefValue + ")"
	}
	w.line("%s", escape(usage))
}

// text writes paragraphs, and indented lines as they are.
func (w *page) text(text string) {
	for block := range strings.SplitSeq(strings.Trim(text, "\n"), "\n\n") {
		lines := strings.Split(strings.Trim(block, "\n"), "\n")
		if strings.HasPrefix(lines[0], "  ") {
			w.verbatim(lines)
			continue
		}
		w.line(".PP")
		for _, line := range lines {
			w.line("%s", escape(line))
		}
	}
}

// verbatim writes lines as they are, less the indent of the first.
func (w *page) verbatim(lines []string) {
	w.line(".PP\n.RS 4\n.nf")
	indent := len(lines[0]) - len(strings.TrimLeft(lines[0], " "))
	for _, line := range lines {
		w.line("%s", escape(line[min(indent, len(line)-len(strings.TrimLeft(line, " "))):]))
	}
	w.line(".fi\n.RE")
}

// signs have a meaning in roff, or are printed as others that cannot be pasted.
var signs = strings.NewReplacer(`\`, `\e`, `-`, `\-`, `'`, `\(aq`, "`", `\(ga`, `^`, `\(ha`, `~`, `\(ti`)

// escape makes text of a line. A dot or a quote that begins one would be taken for
// a macro.
func escape(text string) string {
	text = signs.Replace(text)
	if strings.HasPrefix(text, ".") {
		return `\&` + text
	}
	return text
}

// quoted makes one argument of a macro.
func quoted(text string) string { return `"` + strings.ReplaceAll(escape(text), `"`, `\(dq`) + `"` }
