package sheet

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// lookDir is the environment variable that names a folder for pictures of the
// pages, for someone to look at.
const lookDir = "SHEET_LOOK"

// tab is a page in a browser without a network.
type tab struct {
	testing.TB
	ctx context.Context

	mu       sync.Mutex
	requests []string
	trouble  []string // what the console says
}

// openTab opens a file in a headless browser that can reach nothing, or skips
// the test where there is no browser.
func openTab(t testing.TB, path string, width, height int64, features ...*emulation.MediaFeature) *tab {
	t.Helper()
	if testing.Short() {
		t.Skip("-short: the page is not tried in a browser")
	}
	browser := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			browser = found
			break
		}
	}
	if browser == "" {
		t.Skip("no chromium on the path: the page is not tried in a browser")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(browser), chromedp.NoSandbox,
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND"),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("hide-scrollbars", false))
	timed, cancelTime := context.WithTimeout(context.Background(), 90*time.Second)
	allocated, cancelAllocated := chromedp.NewExecAllocator(timed, options...)
	ctx, cancel := chromedp.NewContext(allocated)
	t.Cleanup(func() { cancel(); cancelAllocated(); cancelTime() })
	b := &tab{TB: t, ctx: ctx}
	require.NoError(t, chromedp.Listen(ctx, b.hear))
	_, err := chromedp.Call(ctx, network.Enable, network.EnableParams{})
	require.NoError(t, err)
	if len(features) > 0 {
		_, err = chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
		require.NoError(t, err)
	}
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, height), chromedp.Navigate("file://"+path)))
	return b
}

func (b *tab) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, e.Request.URL)
	case *runtime.EventConsoleAPICalled:
		if e.Type == "error" || e.Type == "warning" {
			for _, arg := range e.Args {
				b.trouble = append(b.trouble, fmt.Sprintf("%s: %s %s", e.Type, arg.Description, arg.Value))
			}
		}
	case *runtime.EventExceptionThrown:
		b.trouble = append(b.trouble, fmt.Sprint(e.ExceptionDetails.Text, " ", e.ExceptionDetails.Exception.Description))
	case *log.EventEntryAdded:
		b.trouble = append(b.trouble, e.Entry.Text)
	}
}

func ask[T any](b *tab, expression string) T {
	b.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	require.NoError(b, err, expression)
	return v
}

func (b *tab) do(actions ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	require.NoError(b, chromedp.Do(b.ctx, actions...))
}

// quiet wants that nothing but the page was fetched and nothing was complained
// of.
func (b *tab) quiet() {
	b.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	var fetched []string
	for _, url := range b.requests {
		if !strings.HasPrefix(url, "data:,") {
			fetched = append(fetched, url)
		}
	}
	require.Len(b, fetched, 1, "requests: %v", fetched)
	require.Empty(b, b.trouble)
}

// look saves pictures of the page if someone wants to see them: all of it, and
// what is on the screen.
func (b *tab) look(name string) {
	b.Helper()
	dir := os.Getenv(lookDir)
	if dir == "" {
		return
	}
	whole, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
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
			pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
			require.NoError(t, err)
			if dir := os.Getenv(lookDir); dir != "" {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name+".pdf"), pdf, 0o644))
			}
			b.quiet()
			b = openTab(t, path, 1200, 900, dark)
			b.look(name + "-dark")
			b.quiet()
			b = openTab(t, path, 375, 800)
			b.do(chromedp.EmulateViewport(375, 800, chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch))
			b.settled()
			require.LessOrEqual(t, ask[float64](b, "document.documentElement.scrollWidth"), 375.0)
			b.look(name + "-phone")
			b.quiet()
		})
	}
}
