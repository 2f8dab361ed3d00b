package sheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/report"
)

// node is an element of a page.
type node struct {
	name  string
	attr  map[string]string
	kids  []*node
	words string // all text within
}

// raw are elements whose content is no markup.
var raw = regexp.MustCompile(`(?s)<(script|style)([^>]*)>(.*?)</(?:script|style)>`)

// parsed reads a page. Beyond what HTML asks for, ours is well-formed, so that
// a strict reader can check it.
func parsed(t testing.TB, page []byte) *node {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(raw.ReplaceAll(page, []byte("<$1$2></$1>"))))
	d.Strict = true
	root := &node{}
	open := []*node{root}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			require.Len(t, open, 1)
			return root
		}
		require.NoError(t, err)
		top := open[len(open)-1]
		switch x := token.(type) {
		case xml.StartElement:
			n := &node{name: x.Name.Local, attr: map[string]string{}}
			for _, a := range x.Attr {
				n.attr[a.Name.Local] = a.Value
			}
			top.kids = append(top.kids, n)
			open = append(open, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			for _, n := range open {
				n.words += string(x)
			}
		}
	}
}

// all returns the elements of a name within n.
func (n *node) all(name string) []*node {
	var out []*node
	for _, k := range n.kids {
		if k.name == name {
			out = append(out, k)
		}
		out = append(out, k.all(name)...)
	}
	return out
}

func (n *node) text() string { return strings.Join(strings.Fields(n.words), " ") }

// section returns the section with a title.
func (n *node) section(t testing.TB, title string) *node {
	t.Helper()
	for _, s := range n.all("section") {
		if strings.HasSuffix(s.all("h2")[0].text(), " "+title) {
			return s
		}
	}
	require.Fail(t, "no section", title)
	return nil
}

func TestPageIsWhole(t *testing.T) {
	for name, s := range sheets(t) {
		t.Run(name, func(t *testing.T) {
			page := written(t, s)
			require.Equal(t, page, written(t, s), "the same sheet, the same bytes")
			require.Less(t, len(page), 1_000_000)
			require.NotContains(t, string(page), "ZgotmplZ")
			require.NotContains(t, string(page), "NaN")
			require.NotContains(t, string(page), "undefined</")
			doc := parsed(t, page)
			ids := map[string]bool{}
			var walk func(*node)
			walk = func(n *node) {
				if id, ok := n.attr["id"]; ok {
					require.False(t, ids[id], "id %s twice", id)
					ids[id] = true
				}
				for _, a := range []string{"src", "href", "action", "data", "poster", "srcset"} {
					if v, ok := n.attr[a]; ok {
						require.True(t, strings.HasPrefix(v, "#") || v == "data:,", "%s %s=%q", n.name, a, v)
					}
				}
				require.NotContains(t, n.attr, "style", "the policy forbids it")
				for a := range n.attr {
					require.False(t, strings.HasPrefix(a, "on"), "%s: a script in %s", n.name, a)
				}
				for _, k := range n.kids {
					walk(k)
				}
			}
			walk(doc)
			require.NotContains(t, string(raw.FindAll(page, 1)[0]), "url(", "style fetches nothing")
			require.NotContains(t, stylesheet(newStyles(), true), "@import")
			for _, a := range doc.all("a") {
				require.True(t, ids[a.attr["href"][1:]], a.attr["href"])
			}
			require.Equal(t, s.Title, doc.all("title")[0].text())
			require.Equal(t, s.Title, doc.all("h1")[0].text())
		})
	}
}

// The answer comes first, in the words of the text report.
func TestAnswerFirst(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	doc := parsed(t, written(t, Run(r, opt)))
	answer := doc.all("header")[0].all("div")[0].all("p")
	lines := report.AnswerLines(report.Answer(r))
	require.Len(t, answer, 3)
	for i, l := range lines {
		require.Equal(t, l[0]+" "+l[1], answer[i].text())
	}
	require.Equal(t, "FAILS", lines[0][0])
	require.Equal(t, "answer bad", doc.all("header")[0].all("div")[0].attr["class"])
	require.Contains(t, doc.section(t, "Caution").text(), "EPIRB")
}

// The policy names the hashes of the very style and script of the page, and
// lets in nothing else.
func TestPolicy(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	page := written(t, Run(r, opt))
	var policy string
	for _, m := range parsed(t, page).all("meta") {
		if m.attr["http-equiv"] == "Content-Security-Policy" {
			policy = m.attr["content"]
		}
	}
	require.True(t, strings.HasPrefix(policy, "default-src 'none'; "), policy)
	require.NotContains(t, policy, "unsafe")
	require.NotContains(t, policy, "*")
	blocks := raw.FindAllSubmatch(page, -1)
	require.Len(t, blocks, 3, "a style, the data, a script")
	for _, m := range blocks {
		kind := string(m[1])
		if strings.Contains(string(m[2]), "json") {
			require.True(t, json.Valid(m[3]))
			continue
		}
		sum := sha256.Sum256(m[3])
		require.Contains(t, policy, kind+"-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'")
	}
	require.Contains(t, string(page), "Permission is hereby granted, free of charge", "the library's licence goes with it")
}

// What a file says is text, whatever it says.
func TestTextIsText(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	const evil = `</script><script>alert(1)</script>"'<b>&`
	r.Title, opt.Question = evil, evil
	r.Loads[0].Name = evil
	r.Notes[0].Text = evil
	page := written(t, Run(r, opt))
	require.NotContains(t, string(page), "<script>alert")
	doc := parsed(t, page)
	require.Equal(t, evil, doc.all("h1")[0].text())
	require.Len(t, raw.FindAll(page, -1), 3)
	require.Contains(t, doc.section(t, "Assumed").text(), evil)
}

// Who does not see it can use it: names, roles, captions, heads of tables.
func TestAccessible(t *testing.T) {
	for name, s := range sheets(t) {
		t.Run(name, func(t *testing.T) {
			doc := parsed(t, written(t, s))
			require.Equal(t, "en-GB", doc.all("html")[0].attr["lang"])
			require.Len(t, doc.all("h1"), 1)
			pressed := 0
			for _, b := range doc.all("button") {
				require.NotEmpty(t, b.text())
				require.Equal(t, "button", b.attr["type"])
				if b.attr["aria-pressed"] == "true" {
					pressed++
				}
			}
			require.Greater(t, pressed, 3)
			for _, in := range doc.all("input") {
				require.NotEmpty(t, in.attr["aria-label"])
			}
			for _, v := range doc.all("svg") {
				require.True(t, v.attr["aria-hidden"] == "true" || v.attr["role"] == "img" && len(v.attr["aria-label"]) > 40, v.attr)
			}
			plots := 0
			for _, d := range doc.all("div") {
				if d.attr["class"] == "plot" {
					plots++
					require.Equal(t, "img", d.attr["role"])
					require.Contains(t, d.attr["aria-label"], s.Answer[0].Text, "it tells the answer")
					require.Contains(t, d.attr["aria-label"], "Day by day", "and where the figures are")
				}
			}
			require.Positive(t, plots)
			for _, tb := range doc.all("table") {
				require.NotEmpty(t, tb.all("caption")[0].text())
				head := tb.all("thead")[0].all("tr")[0].kids
				for _, row := range tb.all("tbody")[0].all("tr") {
					require.Equal(t, "th", row.kids[0].name)
					require.NotEmpty(t, row.kids[0].text())
					if row.kids[0].attr["colspan"] == "" {
						require.Len(t, row.kids, len(head), tb.all("caption")[0].text())
					}
				}
			}
			titles := []string{}
			for _, h := range doc.all("h2") {
				titles = append(titles, h.text())
			}
			require.True(t, slices.ContainsFunc(titles, func(s string) bool { return strings.HasSuffix(s, "Day by day") }))
		})
	}
}

func TestSlug(t *testing.T) {
	taken := map[string]bool{}
	require.Equal(t, "day-by-day", slug("Day by day", taken))
	require.Equal(t, "day-by-day2", slug("Day – by day!", taken))
	require.Equal(t, "day-by-day3", slug("Day by day", taken))
	require.Equal(t, "part", slug("°", taken))
}

func TestNumber(t *testing.T) {
	require.Equal(t, "−0.5", number(-0.46, 1))
	require.Equal(t, "0.0", number(-0.04, 1))
	require.Equal(t, "12", number(11.6, 0))
	require.Equal(t, "+3.0", signed(3))
	require.Equal(t, "0.0", signed(0.01))
	require.Equal(t, "−1.2", signed(-1.2))
	text, err := json.Marshal(values([]float64{1.005, -0.001, 100, 0.1 + 0.2}))
	require.NoError(t, err)
	require.Equal(t, "[1,0,100,0.3]", string(text))
}
