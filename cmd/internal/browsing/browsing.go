// Package browsing opens pages in a headless browser. It is for tests.
package browsing

import (
	"context"
	"fmt"
	"os/exec"
	"slices"
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

// Tab is a page in a browser that hardly reaches anything.
type Tab struct {
	testing.TB
	Ctx context.Context

	mu       sync.Mutex
	requests []string
	trouble  []string // what the console says
}

// Options say what the browser is like.
type Options struct {
	Reach         string // the one host that it reaches; "": none
	Width, Height int64
	Features      []*emulation.MediaFeature
	Scrollbars    bool // show them
}

// longest is how long a page is tried.
const longest = 3 * time.Minute

// Open opens an address, or skips the test with -short and where there is no
// browser.
func Open(t testing.TB, url string, opt Options) *Tab {
	t.Helper()
	if testing.Short() {
		t.Skip("-short: the page is not tried in a browser")
	}
	rules := "MAP * ~NOTFOUND"
	if opt.Reach != "" {
		rules += " , EXCLUDE " + opt.Reach
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(find(t)), chromedp.NoSandbox,
		chromedp.Flag("host-resolver-rules", rules),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("hide-scrollbars", !opt.Scrollbars))
	timed, cancelTime := context.WithTimeout(context.Background(), longest)
	allocated, cancelAllocated := chromedp.NewExecAllocator(timed, options...)
	ctx, cancel := chromedp.NewContext(allocated)
	t.Cleanup(func() { cancel(); cancelAllocated(); cancelTime() })
	b := &Tab{TB: t, Ctx: ctx}
	require.NoError(t, chromedp.Listen(ctx, b.hear))
	_, err := chromedp.Call(ctx, network.Enable, network.EnableParams{})
	require.NoError(t, err)
	if len(opt.Features) > 0 {
		_, err = chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: opt.Features})
		require.NoError(t, err)
	}
	b.Do(chromedp.EmulateViewport(opt.Width, opt.Height), chromedp.Navigate(url))
	return b
}

func find(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			return found
		}
	}
	t.Skip("no chromium on the path: the page is not tried in a browser")
	return ""
}

func (b *Tab) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		if !strings.HasPrefix(e.Request.URL, "data:,") {
			b.requests = append(b.requests, e.Request.URL)
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

// Ask returns what an expression is worth on the page.
func Ask[T any](b *Tab, expression string) T {
	b.Helper()
	v, err := chromedp.Run(b.Ctx, chromedp.Evaluate[T](expression))
	require.NoError(b, err, expression)
	return v
}

// Do has the page do something.
func (b *Tab) Do(actions ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	require.NoError(b, chromedp.Do(b.Ctx, actions...))
}

// Until waits until an expression holds.
func (b *Tab) Until(expression string) {
	b.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if Ask[bool](b, "!!("+expression+")") {
			return
		}
	}
	require.Fail(b, "never: "+expression, "console: %v", b.Trouble())
}

// Requests returns what the page fetched, itself among it.
func (b *Tab) Requests() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.requests...)
}

// Trouble returns what the console complains of.
func (b *Tab) Trouble() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.trouble...)
}

// Forgive forgets the trouble that has some words in it.
func (b *Tab) Forgive(words string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.trouble = slices.DeleteFunc(b.trouble, func(s string) bool { return strings.Contains(s, words) })
}
