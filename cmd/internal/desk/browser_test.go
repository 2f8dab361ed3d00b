package desk_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	_ "image/png"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/browsing"
	"ampwake/cmd/internal/desk"
)

// lookDir is the environment variable that names a folder for pictures of the
// page; the README shows those in testdata/readme.
const lookDir = "DESK_LOOK"

// serve has a server listen as the command does.
func serve(t testing.TB, opt desk.Options) (url string) {
	t.Helper()
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- desk.New(opt).Serve(ctx, l) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
	})
	return "http://" + l.Addr().String()
}

// tab is the page in a browser that can reach nothing but its server.
type tab struct {
	*browsing.Tab
	url       string
	downloads string
}

func openTab(t testing.TB, opt desk.Options, width, height int64) *tab {
	t.Helper()
	url := serve(t, opt)
	b := &tab{
		Tab: browsing.Open(t, url+"/", browsing.Options{Reach: "127.0.0.1", Width: width, Height: height}),
		url: url, downloads: t.TempDir(),
	}
	_, err := chromedp.Call(b.Ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{Behavior: "allow", DownloadPath: b.downloads})
	require.NoError(t, err)
	b.Until("document.getElementById('title').textContent.length > 3")
	return b
}

func ask[T any](b *tab, expression string) T {
	b.Helper()
	return browsing.Ask[T](b.Tab, expression)
}

// answer is the first line of what one leg says.
func (b *tab) answer() string {
	b.Helper()
	return ask[string](b, "document.querySelector('#lines .block').innerText")
}

// oddsDone waits until many weathers have been sailed through.
func (b *tab) oddsDone() {
	b.Helper()
	b.Until("document.querySelectorAll('#lines .block:not(.stale)').length === 2 && document.getElementById('cancel').hidden")
}

// drag moves the slider of a path as a hand would, in small steps.
func (b *tab) drag(path string, to float64) {
	b.Helper()
	ask[bool](b, fmt.Sprintf(`(() => {
		const s = document.querySelector('[data-path=%q] input[type=range]'), from = Number(s.value);
		for (let i = 1; i <= 20; i++) {
			s.value = from + (%v - from) * i / 20;
			s.dispatchEvent(new Event("input", { bubbles: true }));
		}
		return true;
	})()`, path, to))
}

func (b *tab) press(selector string) {
	b.Helper()
	ask[bool](b, fmt.Sprintf("(document.querySelector(%q).click(), true)", selector))
}

// quiet wants that nothing was fetched from elsewhere and nothing complained of.
func (b *tab) quiet() {
	b.Helper()
	for _, u := range b.Requests() {
		own := strings.HasPrefix(u, b.url+"/") || strings.HasPrefix(u, "blob:"+b.url)
		require.True(b, own, "a request that went elsewhere: %s", u)
	}
	require.Empty(b, b.Trouble(), "console")
}

// picture returns what the window shows, and keeps it for someone to look at if
// asked to.
func (b *tab) picture(name string) image.Image {
	b.Helper()
	time.Sleep(300 * time.Millisecond) // fades
	png, err := chromedp.Run(b.Ctx, chromedp.CaptureScreenshot())
	require.NoError(b, err)
	if dir := os.Getenv(lookDir); dir != "" {
		require.NoError(b, os.MkdirAll(dir, 0o755))
		require.NoError(b, os.WriteFile(filepath.Join(dir, name), png, 0o644))
	}
	img, _, err := image.Decode(bytes.NewReader(png))
	require.NoError(b, err)
	return img
}

// downloaded waits for a file that the browser keeps.
func (b *tab) downloaded(name string) string {
	b.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if text, err := os.ReadFile(filepath.Join(b.downloads, name)); err == nil {
			return string(text)
		}
	}
	files, _ := filepath.Glob(filepath.Join(b.downloads, "*"))
	require.Fail(b, name+" was never kept", "%v", files)
	return ""
}
