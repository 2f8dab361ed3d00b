package sheet

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// box is where something is in the window.
type box struct{ X, Y, Width, Height float64 }

func (b *tab) box(selector string) box {
	b.Helper()
	ask[bool](b, fmt.Sprintf("document.querySelector(%q).scrollIntoView({block: 'center'}), true", selector))
	return ask[box](b, fmt.Sprintf("(r => ({X: r.x, Y: r.y, Width: r.width, Height: r.height}))(document.querySelector(%q).getBoundingClientRect())", selector))
}

// span is the stretch of time that a panel shows, in seconds after departure.
func (b *tab) span(panel int) [2]float64 {
	b.Helper()
	return ask[[2]float64](b, fmt.Sprintf("(u => [u.scales.x.min, u.scales.x.max].map(t => t - %s))(sheet[0].panels[%d].u)",
		"JSON.parse(document.querySelector('script[type=\"application/json\"]').textContent).from", panel))
}

// settled waits until the library has drawn what it was told.
func (b *tab) settled() {
	b.Helper()
	b.Do(chromedp.Sleep(80 * time.Millisecond))
}

// ink is the picture on a panel's canvas, to be compared with another.
func (b *tab) ink(panel int) string {
	b.Helper()
	return ask[string](b, fmt.Sprintf("sheet[0].panels[%d].u.ctx.canvas.toDataURL()", panel))
}

// differ wants two pictures to differ, or not.
func (b *tab) differ(want bool, one, other, why string) {
	b.Helper()
	require.Equal(b, want, one != other, why) // without printing them
}

// Dragging across one panel zooms all of them; a double click shows the whole
// passage again; the buttons do the same.
func TestBrowserZoom(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	b := openTab(t, fileOf(t, Run(r, opt)), 1200, 900)
	whole := r.End.Sub(r.Depart).Seconds()
	require.InDelta(t, 0, b.span(0)[0], 1)
	require.InDelta(t, whole, b.span(0)[1], 1)
	before := b.ink(2)
	over := b.box(".plot .u-over")
	at := func(share float64) float64 { return over.X + share*over.Width }
	y := over.Y + over.Height/2
	b.Do(chromedp.DragAndDropXY(at(0.25), y, at(0.5), y))
	b.settled()
	for panel := range 5 {
		got := b.span(panel)
		require.InDelta(t, 0.25*whole, got[0], 0.01*whole, "panel %d begins where the drag began", panel)
		require.InDelta(t, 0.5*whole, got[1], 0.01*whole, "panel %d", panel)
	}
	b.differ(true, before, b.ink(2), "another panel is drawn anew")
	require.NotEmpty(t, ask[string](b, "document.querySelector('.shown').textContent"))
	b.look("zoomed")

	b.Do(chromedp.MouseClickXY(at(0.5), y), chromedp.MouseClickXY(at(0.5), y, chromedp.ClickCount(2)))
	b.settled()
	require.InDelta(t, whole, b.span(3)[1]-b.span(3)[0], 2, "a double click shows the whole")
	require.Empty(t, ask[string](b, "document.querySelector('.shown').textContent"))
	b.differ(false, before, b.ink(2), "as it was")

	b.Do(chromedp.Click("[data-do=closer]"))
	b.settled()
	require.InDelta(t, whole/2, b.span(1)[1]-b.span(1)[0], 2)
	b.Do(chromedp.Click("[data-do=earlier]"))
	b.settled()
	first := b.span(4)[0]
	b.Do(chromedp.Click("[data-do=later]"), chromedp.Click("[data-do=later]"))
	b.settled()
	require.Greater(t, b.span(4)[0], first)
	b.Do(chromedp.Click("[data-do=whole]"))
	b.settled()
	require.InDelta(t, whole, b.span(0)[1]-b.span(0)[0], 2)
	// No closer than an hour, however often it is asked.
	for range 12 {
		ask[bool](b, "document.querySelector('[data-do=closer]').click(), true")
	}
	b.settled()
	require.InDelta(t, 3600, b.span(0)[1]-b.span(0)[0], 1)
	require.True(t, ask[bool](b, "document.querySelector('[data-do=closer]').disabled"))
	b.quiet()
}

// A name hides its layer and shows it again: those above come down, and the
// picture is as before.
func TestBrowserToggle(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	b := openTab(t, fileOf(t, Run(r, opt)), 1200, 900)
	const button = `[data-panel="2"][data-series="0"]`
	require.Equal(t, "true", ask[string](b, `document.querySelector('`+button+`').getAttribute("aria-pressed")`))
	top := func() float64 { // of the whole pile: the library's first series
		return ask[float64](b, "Math.max(...sheet[0].panels[2].u.data[1])")
	}
	layer := ask[float64](b, "Math.max(...sheet[0].panels[2].series[0].y)")
	require.Positive(t, layer)
	pile, picture, other := top(), b.ink(2), b.ink(1)
	b.Do(chromedp.Click(button))
	b.settled()
	require.Equal(t, "false", ask[string](b, `document.querySelector('`+button+`').getAttribute("aria-pressed")`))
	require.False(t, ask[bool](b, "sheet[0].panels[2].u.series.at(-1).show"), "the lowest layer is the library's last")
	require.Less(t, top(), pile)
	b.differ(true, picture, b.ink(2), "one layer less")
	b.differ(false, other, b.ink(1), "other panels stay")
	// By the keyboard too.
	b.Do(chromedp.Focus(button), chromedp.KeyEvent(" "))
	b.settled()
	require.Equal(t, "true", ask[string](b, `document.querySelector('`+button+`').getAttribute("aria-pressed")`))
	require.InDelta(t, pile, top(), 1e-9)
	b.differ(false, picture, b.ink(2), "as it was")
	b.quiet()
}

// The reading tells both clocks and the values of all panels, by slider, mouse
// and keyboard.
func TestBrowserReads(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	b := openTab(t, fileOf(t, Run(r, opt)), 1200, 900)
	text := func(selector string) string {
		return ask[string](b, fmt.Sprintf("document.querySelector(%q).textContent", selector))
	}
	// It begins at the lowest charge.
	low := r.Lowest
	require.Equal(t, low.Time.Round(time.Minute).Format("2 Jan 15:04 UTC"), text(".time"))
	require.Equal(t, low.Time.Round(time.Minute).Add(time.Duration(low.Zone)*time.Hour).Format("15:04")+" ship’s time", text(".ship"))
	require.Equal(t, fmt.Sprintf("%.1f %%", 100*float64(low.Charge)), text(`[data-panel="0"] .value`))

	// Each value of a moment is that of the trace.
	day := 36 * time.Hour
	ask[bool](b, fmt.Sprintf(`(s => { s.value = %v; s.dispatchEvent(new Event("input")); return true; })(document.querySelector(".reader"))`, day.Seconds()))
	moment := r.Depart.Add(time.Duration(ask[float64](b, "Number(document.querySelector('.reader').value)")) * time.Second)
	require.WithinDuration(t, r.Depart.Add(day), moment, time.Hour)
	step := 0
	for step+1 < len(r.Trace.Time) && !r.Trace.Time[step+1].After(moment) {
		step++
	}
	require.Equal(t, moment.Round(time.Minute).Format("2 Jan 15:04 UTC"), text(".time"))
	require.InDelta(t, 100*float64(r.Trace.Charge[step]), ask[float64](b, `parseFloat(document.querySelector('[data-panel="0"] .value').textContent)`), 0.4)
	require.InDelta(t, float64(r.Trace.Speed[step]), ask[float64](b, `parseFloat(document.querySelector('[data-panel="3"] .value').textContent)`), 0.06)
	require.Contains(t, ask[string](b, "document.querySelector('.reader').getAttribute('aria-valuetext')"), "state of charge")

	was := text(".time")
	b.Do(chromedp.Focus(".reader"), chromedp.KeyEvent(kb.ArrowRight))
	b.settled()
	require.NotEqual(t, was, text(".time"))

	over := b.box(".plot .u-over")
	b.Do(chromedp.MouseEvent("mouseMoved", over.X+0.75*over.Width, over.Y+20))
	b.settled()
	require.InDelta(t, 0.75*r.End.Sub(r.Depart).Seconds(), ask[float64](b, "Number(document.querySelector('.reader').value)"), 0.01*r.End.Sub(r.Depart).Seconds())
	left := ask[[]float64](b, "sheet[0].panels.map(p => p.u.cursor.left)")
	for _, x := range left {
		require.InDelta(t, left[0], x, 1.5, "one line through all panels")
	}
	b.quiet()
}

// When the window changes its width the reading stays at its moment, in all
// panels.
func TestBrowserResizes(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	b := openTab(t, fileOf(t, Run(r, opt)), 1200, 900)
	wide := ask[float64](b, "sheet[0].panels[0].u.width")
	b.Do(chromedp.EmulateViewport(600, 900))
	b.settled()
	require.Less(t, ask[float64](b, "sheet[0].panels[4].u.width"), wide/1.5)
	for _, off := range ask[[]float64](b, "sheet[0].panels.map(p => p.u.cursor.left - p.u.valToPos(sheet[0].state.at, 'x'))") {
		require.InDelta(t, 0, off, 0.5)
	}
	require.LessOrEqual(t, ask[float64](b, "document.documentElement.scrollWidth"), 600.0)
	b.quiet()
}

// A finger reads, without the page being zoomed.
func TestBrowserFinger(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	b := openTab(t, fileOf(t, Run(r, opt)), 375, 800)
	b.Do(chromedp.EmulateViewport(375, 800, chromedp.EmulateMobile, chromedp.EmulateTouch))
	b.settled()
	over := b.box(".plot .u-over")
	require.Less(t, over.X+over.Width, 376.0)
	b.Do(chromedp.TapXY(over.X+0.3*over.Width, over.Y+40))
	b.settled()
	whole := r.End.Sub(r.Depart).Seconds()
	require.InDelta(t, 0.3*whole, ask[float64](b, "Number(document.querySelector('.reader').value)"), 0.02*whole)
	require.InDelta(t, whole, b.span(0)[1]-b.span(0)[0], 2)
	b.quiet()
}

// Days have one value each, and a band can be hidden.
func TestBrowserOdds(t *testing.T) {
	o, opt := many(t, 20, "southern-ocean", "bank.capacity=120Ah")
	b := openTab(t, fileOf(t, Odds(o, opt)), 1200, 900)
	ask[bool](b, `(s => { s.value = 86400 * 10.2; s.dispatchEvent(new Event("input")); return true; })(document.querySelector(".reader"))`)
	require.Equal(t, o.Days[10].Date.Format("2 Jan"), ask[string](b, "document.querySelector('.time').textContent"))
	low := &o.Days[10].Low
	require.InDelta(t, 100*float64(low.P50), ask[float64](b, `parseFloat(document.querySelector('[data-series="2"] .value').textContent)`), 0.051)
	require.Equal(t, fmt.Sprintf("%.0f–%.0f %%", 100*float64(low.P10), 100*float64(low.P90)), ask[string](b, `document.querySelector('[data-band="0"] .value').textContent`))
	picture := b.ink(0)
	b.Do(chromedp.Click(`[data-band="0"]`))
	b.settled()
	b.differ(true, picture, b.ink(0), "no band")
	b.Do(chromedp.Click(`[data-band="0"]`))
	b.settled()
	b.differ(false, picture, b.ink(0), "as it was")
	b.quiet()
}

// The panels change with the light on board.
func TestBrowserNight(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	b := openTab(t, fileOf(t, Run(r, opt)), 1200, 900)
	day := b.ink(0)
	_, err := chromedp.Call(b.Ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{dark}})
	require.NoError(t, err)
	b.settled()
	b.differ(true, day, b.ink(0), "other colours")
	b.quiet()
}

// contrasts lists the words on the page that stand out too little from the
// paper (WCAG 2.1, 1.4.3: 4.5; what is switched off is exempt).
const contrasts = `(() => {
	const parse = s => s.match(/[\d.]+/g).map(Number);
	const lum = c => { const [r, g, b] = c.map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
	const paper = lum(parse(getComputedStyle(document.documentElement).backgroundColor).slice(0, 3));
	const bad = [], walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	let seen = 0;
	while (walker.nextNode()) {
		const e = walker.currentNode.parentElement;
		if (!walker.currentNode.nodeValue.trim() || !e.checkVisibility() || e.closest("script,button:disabled")) continue;
		const style = getComputedStyle(e), ink = lum(parse(e.closest("svg") ? style.fill : style.color).slice(0, 3));
		const ratio = (Math.max(paper, ink) + 0.05) / (Math.min(paper, ink) + 0.05);
		seen++;
		if (ratio < 4.5) bad.push(ratio.toFixed(2) + " " + walker.currentNode.nodeValue.trim());
	}
	return [String(seen), ...bad];
})()`

// Without a script there are the pictures and the tables; on paper too. All
// words are legible by day and at night.
func TestBrowserStill(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	path := fileOf(t, Run(r, opt))
	shown := func(b *tab, selector string) bool {
		return ask[bool](b, fmt.Sprintf("document.querySelector(%q).checkVisibility()", selector))
	}
	for name, features := range map[string][]*emulation.MediaFeature{"light": {{Name: "prefers-color-scheme", Value: "light"}}, "dark": {dark}} {
		b := openTab(t, path, 1200, 900, features...)
		require.True(t, shown(b, ".live"))
		require.False(t, shown(b, ".still"))
		words := ask[[]string](b, contrasts)
		require.Len(t, words, 1, "%s: %v", name, words)
		ask[bool](b, "document.documentElement.classList.remove('showing'), true")
		words = ask[[]string](b, contrasts)
		require.Len(t, words, 1, "%s, still: %v", name, words)
		require.Greater(t, len(words[0]), 2, "hundreds of words were looked at")
		b.look("still-" + name)
	}

	b := openTab(t, path, 1200, 900)
	_, err := chromedp.Call(b.Ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	require.NoError(t, err)
	require.False(t, shown(b, ".live"))
	require.False(t, shown(b, "nav"))
	require.True(t, shown(b, ".still svg"))

	b = openTab(t, "/dev/null", 375, 800)
	_, err = chromedp.Call(b.Ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	require.NoError(t, err)
	b.Do(chromedp.Navigate("file://" + path))
	require.True(t, shown(b, ".still svg"))
	require.False(t, shown(b, ".live"))
	require.True(t, shown(b, "table"))
	require.LessOrEqual(t, ask[float64](b, "document.documentElement.scrollWidth"), 375.0)
	b.look("still-phone")
}
