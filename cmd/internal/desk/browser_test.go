package desk_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	_ "image/png"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

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
	testing.TB
	ctx       context.Context
	url       string
	downloads string

	mu      sync.Mutex
	foreign []string // requests that went elsewhere
	trouble []string // what the console says
}

func openTab(t testing.TB, opt desk.Options, width, height int64) *tab {
	t.Helper()
	if testing.Short() {
		t.Skip("-short: the page is not tried in a browser")
	}
	exe := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			exe = found
			break
		}
	}
	if exe == "" {
		t.Skip("no chromium on the path: the page is not tried in a browser")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(exe), chromedp.NoSandbox,
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND , EXCLUDE 127.0.0.1"),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	timed, cancelTime := context.WithTimeout(context.Background(), 3*time.Minute)
	allocated, cancelAllocated := chromedp.NewExecAllocator(timed, options...)
	ctx, cancel := chromedp.NewContext(allocated)
	b := &tab{TB: t, ctx: ctx, url: serve(t, opt), downloads: t.TempDir()}
	t.Cleanup(func() { cancel(); cancelAllocated(); cancelTime() })
	require.NoError(t, chromedp.Listen(ctx, b.hear))
	_, err := chromedp.Call(ctx, network.Enable, network.EnableParams{})
	require.NoError(t, err)
	_, err = chromedp.Call(ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{Behavior: "allow", DownloadPath: b.downloads})
	require.NoError(t, err)
	b.do(chromedp.EmulateViewport(width, height), chromedp.Navigate(b.url+"/"))
	b.until("document.getElementById('title').textContent.length > 3")
	return b
}

func (b *tab) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		if u := e.Request.URL; !strings.HasPrefix(u, b.url+"/") && !strings.HasPrefix(u, "data:,") && !strings.HasPrefix(u, "blob:"+b.url) {
			b.foreign = append(b.foreign, u)
		}
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

// until waits until an expression holds.
func (b *tab) until(expression string) {
	b.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if ask[bool](b, "!!("+expression+")") {
			return
		}
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	require.Fail(b, "never: "+expression, "console: %v", b.trouble)
}

// answer is the first line of what one leg says.
func (b *tab) answer() string {
	b.Helper()
	return ask[string](b, "document.querySelector('#lines .block').innerText")
}

// oddsDone waits until many weathers have been sailed through.
func (b *tab) oddsDone() {
	b.Helper()
	b.until("document.querySelectorAll('#lines .block:not(.stale)').length === 2 && document.getElementById('cancel').hidden")
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
	b.mu.Lock()
	defer b.mu.Unlock()
	require.Empty(b, b.foreign, "requests that went elsewhere")
	require.Empty(b, b.trouble, "console")
}

// picture returns what the window shows, and keeps it for someone to look at if
// asked to.
func (b *tab) picture(name string) image.Image {
	b.Helper()
	time.Sleep(300 * time.Millisecond) // fades
	png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
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
