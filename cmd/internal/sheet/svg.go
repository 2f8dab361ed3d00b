package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"html/template"
	"image/color"
	"io"
	"strconv"
	"strings"

	"ampwake/cmd/internal/chart"
)

// styles collects the style attributes of pictures as classes: a policy that
// forbids foreign styles forbids style attributes too. The same style gets the
// same class.
type styles struct {
	classes map[string]string // by declaration
	light   strings.Builder   // rules
	dark    strings.Builder
}

func newStyles() *styles { return &styles{classes: map[string]string{}} }

// class returns the class of a style. Colours of words and lines are darkened
// as such, others as areas.
func (s *styles) class(style string, words bool) string {
	key := strconv.FormatBool(words) + style
	if c, ok := s.classes[key]; ok {
		return c
	}
	c := "p" + strconv.Itoa(len(s.classes))
	s.classes[key] = c
	fmt.Fprintf(&s.light, ".%s{%s}\n", c, style)
	var dark []string
	for decl := range strings.SplitSeq(style, ";") {
		property, value, _ := strings.Cut(decl, ":")
		if rgb, ok := parseHex(value); ok {
			dark = append(dark, property+":"+hexOf(chart.Darkened(rgb, property == "fill" && !words)))
		}
	}
	if len(dark) > 0 {
		fmt.Fprintf(&s.dark, ".%s{%s}\n", c, strings.Join(dark, ";"))
	}
	return c
}

// area returns the class that fills with a colour.
func (s *styles) area(c color.RGBA) string { return s.class("fill:"+hexOf(c), false) }

// inline returns a picture as SVG to stand within HTML.
func (s *styles) inline(p chart.Picture, label string) (template.HTML, error) {
	var buf bytes.Buffer
	if err := chart.Encode(&buf, p, "svg"); err != nil {
		return "", err
	}
	var out strings.Builder
	d := xml.NewDecoder(&buf)
	for {
		token, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			return template.HTML(out.String()), nil
		}
		if err != nil {
			return "", err
		}
		switch t := token.(type) {
		case xml.StartElement:
			s.start(&out, t, label)
		case xml.EndElement:
			fmt.Fprintf(&out, "</%s>", t.Name.Local)
		case xml.CharData:
			if text := string(t); strings.TrimSpace(text) != "" {
				out.WriteString(template.HTMLEscapeString(text))
			}
		}
	}
}

// start writes the start of an element of the picture.
func (s *styles) start(out *strings.Builder, t xml.StartElement, label string) {
	out.WriteString("\n<" + t.Name.Local)
	root := t.Name.Local == "svg"
	for _, a := range t.Attr {
		switch name := a.Name.Local; {
		case name == "style":
			fmt.Fprintf(out, ` class="%s"`, s.class(a.Value, t.Name.Local == "text"))
		case a.Name.Space != "" || name == "xmlns" || root && name != "viewBox":
		default:
			fmt.Fprintf(out, ` %s="%s"`, name, template.HTMLEscapeString(a.Value))
		}
	}
	if root {
		fmt.Fprintf(out, ` role="img" aria-label="%s"`, template.HTMLEscapeString(label))
	}
	out.WriteString(">")
}

func hexOf(c color.RGBA) string { return fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B) }

func parseHex(s string) (color.RGBA, bool) {
	if len(s) != 7 || s[0] != '#' {
		return color.RGBA{}, false
	}
	v, err := strconv.ParseUint(s[1:], 16, 32)
	if err != nil {
		return color.RGBA{}, false
	}
	return color.RGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}, true
}
