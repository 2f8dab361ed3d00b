package sheet

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/chart"
)

// The inline picture is the picture of --out: the same shapes and words in the
// same colours, by classes.
func TestInline(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	p := chart.NewPassage(r, chart.PassageOptions{Kinds: opt.Kinds})
	var plain bytes.Buffer
	require.NoError(t, p.Encode(&plain, "svg"))
	st := newStyles()
	got, err := st.inline(p, "A picture.")
	require.NoError(t, err)
	svg := string(got)
	count := func(s, pattern string) int { return len(regexp.MustCompile(pattern).FindAllString(s, -1)) }
	for _, element := range []string{"<path", "<text", "<g"} {
		require.Equal(t, count(plain.String(), element+`\b`), count(svg, element+`\b`), element)
	}
	require.NotContains(t, svg, "style=")
	require.NotContains(t, svg, "http")
	require.Contains(t, svg, `role="img" aria-label="A picture."`)
	require.Contains(t, svg, "State of charge, %")
	path := regexp.MustCompile(` d="([^"]+)"`)
	require.Equal(t, path.FindAllStringSubmatch(plain.String(), -1), path.FindAllStringSubmatch(svg, -1))
	// Each style stands in the sheet, and its class is that of the element.
	style := regexp.MustCompile(`<path d="([^"]+)" style="([^"]+)"`).FindStringSubmatch(plain.String())
	class := regexp.MustCompile(`<path d="` + regexp.QuoteMeta(style[1]) + `" class="(p\d+)"`).FindStringSubmatch(svg)
	require.Contains(t, st.light.String(), "."+class[1]+"{"+style[2]+"}")
	require.Less(t, len(svg), plain.Len())
}

// Each colour has one for the night: words and lines legible, the same style
// the same class.
func TestStyles(t *testing.T) {
	st := newStyles()
	a := st.class("fill:none;stroke:#702B53;stroke-width:0.45", false)
	require.Equal(t, a, st.class("fill:none;stroke:#702B53;stroke-width:0.45", false))
	b := st.class("fill:#702B53", false)
	c := st.class("fill:#702B53", true)
	require.NotEqual(t, b, c, "an area and a word of one colour part in the dark")
	ink, _ := parseHex("#702B53")
	dark := st.dark.String()
	require.Contains(t, dark, "."+a+"{stroke:"+hexOf(chart.Darkened(ink, false))+"}")
	require.Contains(t, dark, "."+b+"{fill:"+hexOf(chart.Darkened(ink, true))+"}")
	require.Contains(t, dark, "."+c+"{fill:"+hexOf(chart.Darkened(ink, false))+"}")
	require.Equal(t, 3, strings.Count(st.light.String(), "\n"))
	for _, bad := range []string{"", "#12345", "702B53", "#GGGGGG", "none"} {
		_, ok := parseHex(bad)
		require.False(t, ok, bad)
	}
}
