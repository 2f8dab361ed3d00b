package sheet

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // the parts of the file
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/whole"
)

//go:embed assets/page.html
var pageSource string

//go:embed assets/sheet.css
var sheetCSS string

// The script, in the order in which it is put together.
var (
	//go:embed assets/values.js
	valuesJS string
	//go:embed assets/draw.js
	drawJS string
	//go:embed assets/sheet.js
	sheetJS string
)

// The chart library; assets/uplot/SOURCE.txt tells where it is from.
var (
	//go:embed assets/uplot/uPlot.iife.min.js
	uplotJS string
	//go:embed assets/uplot/uPlot.min.css
	uplotCSS string
	//go:embed assets/uplot/LICENSE
	uplotLicence string
)

// Write writes the sheet as one HTML file. The same sheet gives the same bytes.
func (s *Sheet) Write(w io.Writer) error {
	if len(s.Sections) == 0 {
		panic("sheet: a sheet needs a section")
	}
	t, err := template.New("page").Parse(pageSource)
	if err != nil {
		return err
	}
	st := newStyles()
	p, err := s.view(st)
	if err != nil {
		return err
	}
	p.Style = template.CSS(stylesheet(st, len(p.Data) > 0))
	policy := []string{"default-src 'none'", "img-src data:", "style-src " + hash(string(p.Style)), "base-uri 'none'", "form-action 'none'"}
	if len(p.Data) > 0 {
		p.Licence = uplotLicence
		p.Script = template.JS("/*\n" + uplotLicence + "\n*/\n" + uplotJS + script())
		policy = append(policy, "script-src "+hash(string(p.Script)))
	}
	p.Policy = strings.Join(policy, "; ")
	return t.Execute(w, p)
}

// WriteFile writes the sheet to a file, whole or not at all.
func (s *Sheet) WriteFile(path string) error {
	var buf bytes.Buffer
	if err := s.Write(&buf); err != nil {
		return fmt.Errorf("%s is not written: %w", path, err)
	}
	return whole.Write(path, buf.Bytes())
}

// hash names a style or a script in the policy (W3C, Content Security Policy
// Level 3, 2.3.1).
func hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// script returns our part of the script, which leaves no names behind.
func script() string {
	return "(function () {\n\"use strict\";\n" + valuesJS + drawJS + sheetJS + "})();\n"
}

// stylesheet returns all style of the file: the colours of package chart by
// name, the library's, ours, and those of the pictures.
func stylesheet(st *styles, script bool) string {
	var b strings.Builder
	root := func(g chart.Ground) string {
		return fmt.Sprintf(":root{--paper:%s;--shade:%s;--hair:%s;--ink:%s;--quiet:%s;--stock:%s;--alarm:%s}\n",
			hexOf(g.Paper), hexOf(g.Night), hexOf(g.Hair), hexOf(g.Ink), hexOf(g.Quiet), hexOf(g.Stock.Ink), hexOf(g.Alarm.Ink))
	}
	const night = "@media screen and (prefers-color-scheme:dark){\n"
	b.WriteString(root(chart.Light()) + night + root(chart.Dark()) + "}\n")
	if script {
		b.WriteString(uplotCSS + "\n")
	}
	b.WriteString(sheetCSS)
	b.WriteString(st.light.String() + night + st.dark.String() + "}\n")
	return b.String()
}
