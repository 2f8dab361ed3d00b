package sheet

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/browsing"
)

// lookDir is the environment variable that names a folder for pictures of the
// pages, for someone to look at.
const lookDir = "SHEET_LOOK"

// tab is a page in a browser without a network.
type tab struct{ *browsing.Tab }

// openTab opens a file in a headless browser that can reach nothing, or skips
// the test where there is no browser.
func openTab(t testing.TB, path string, width, height int64, features ...*emulation.MediaFeature) *tab {
	t.Helper()
	return &tab{browsing.Open(t, "file://"+path, browsing.Options{Width: width, Height: height, Features: features, Scrollbars: true})}
}

func ask[T any](b *tab, expression string) T {
	b.Helper()
	return browsing.Ask[T](b.Tab, expression)
}

// quiet wants that nothing but the page was fetched and nothing was complained
// of.
func (b *tab) quiet() {
	b.Helper()
	require.Len(b, b.Requests(), 1)
	require.Empty(b, b.Trouble())
}

// look saves pictures of the page if someone wants to see them: all of it, and
// what is on the screen.
func (b *tab) look(name string) {
	b.Helper()
	dir := os.Getenv(lookDir)
	if dir == "" {
		return
	}
	whole, err := chromedp.Run(b.Ctx, chromedp.FullScreenshot(100))
	require.NoError(b, err)
	require.NoError(b, os.WriteFile(filepath.Join(dir, name+".png"), whole, 0o644))
}

var dark = &emulation.MediaFeature{Name: "prefers-color-scheme", Value: "dark"}

// fileOf writes the sheet into a file.
func fileOf(t testing.TB, s *Sheet) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "sheet.html")
	require.NoError(t, s.WriteFile(path))
	return path
}

// sheets are the sheets that are looked at.
func sheets(t testing.TB) map[string]*Sheet {
	t.Helper()
	out := map[string]*Sheet{}
	for _, name := range []string{"radio-cover", "doldrums-week"} {
		r, opt := sail(t, name)
		out[name] = Run(r, opt)
	}
	r, opt := sail(t, "bank-sizes")
	one, _ := sail(t, "bank-sizes", "bank.capacity=60Ah")
	opt.Variants = []Variant{{"as it stands", r}, {"a small bank", one}}
	out["bank-sizes"] = Run(r, opt)
	o, odds := many(t, 40, "southern-ocean", "bank.capacity=120Ah")
	out["odds"] = Odds(o, odds)
	return out
}

// Each sheet opens without a network and without a complaint, by day, at night,
// on a phone and on paper; on a phone the page does not scroll sideways.
func TestBrowserOpens(t *testing.T) {
	for name, s := range sheets(t) {
		t.Run(name, func(t *testing.T) {
			path := fileOf(t, s)
			b := openTab(t, path, 1200, 900)
			require.True(t, ask[bool](b, "document.documentElement.classList.contains('showing')"))
			require.LessOrEqual(t, ask[float64](b, "document.documentElement.scrollWidth"), 1200.0)
			b.look(name + "-light")
			pdf, err := chromedp.Run(b.Ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
			require.NoError(t, err)
			if dir := os.Getenv(lookDir); dir != "" {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name+".pdf"), pdf, 0o644))
			}
			b.quiet()
			b = openTab(t, path, 1200, 900, dark)
			b.look(name + "-dark")
			b.quiet()
			b = openTab(t, path, 375, 800)
			b.Do(chromedp.EmulateViewport(375, 800, chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch))
			b.settled()
			require.LessOrEqual(t, ask[float64](b, "document.documentElement.scrollWidth"), 375.0)
			b.look(name + "-phone")
			b.quiet()
		})
	}
}
