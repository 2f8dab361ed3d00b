package desk_test

import (
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/desk"
)

// TestPageByHand drives the page as its purpose has it: open, drag, see, pin,
// compare, undo, save, reload.
func TestPageByHand(t *testing.T) {
	b := openTab(t, desk.Options{Version: "ampwake test", Start: "doldrums-week"}, 1280, 900)
	require.Contains(t, ask[string](b, "document.title"), "ampwake")

	// A built-in scenario from the list.
	ask[bool](b, `(() => { const l = document.getElementById("built"); l.value = "radio-cover"; l.dispatchEvent(new Event("change")); return true; })()`)
	b.Until("document.getElementById('title').textContent.startsWith('Mindelo')")
	before := b.answer()
	require.Contains(t, before, "HOLDS")
	require.Contains(t, before, "57 % of charge") // as ampwake run radio-cover has it

	t.Logf("one leg, from asking to the curve: %.0f ms", ask[float64](b, "desk.took"))

	// Many weathers follow by themselves.
	b.oddsDone()
	require.Contains(t, ask[string](b, "document.querySelectorAll('#lines .block')[1].innerText"), "OF 100 WEATHERS")

	// Pin, drag the bank, see the answer change and the two compared.
	b.press("#pin")
	b.drag("bank.capacity", 110)
	b.Until("document.querySelector('#lines .block').innerText.includes('FAILS')")
	b.Until("document.getElementById('pinned').innerText.includes('It fails, where the pinned kit holds.')")
	t.Logf("one leg with a pinned one, from the change to the curve: %.0f ms", ask[float64](b, "desk.took"))
	require.Equal(t, "110", ask[string](b, "document.querySelector('[data-path=\"bank.capacity\"] .amount').value"))
	b.oddsDone()
	require.Contains(t, ask[string](b, "document.getElementById('pinned').innerText"), "Of the same 200 weathers")
	b.picture("page-light.png")

	// The whole drag is one step back, and one forth.
	b.press("#undo")
	b.Until("document.querySelector('#lines .block').innerText.includes('HOLDS')")
	require.Equal(t, "230", ask[string](b, "document.querySelector('[data-path=\"bank.capacity\"] .amount').value"))
	b.press("#redo")
	b.Until("document.querySelector('#lines .block').innerText.includes('FAILS')")

	// Save: the file with its comments, and the one value changed.
	b.press("#save")
	saved := b.downloaded("radio-cover.yaml")
	require.Equal(t, strings.Replace(builtin(t, "radio-cover"), "2 x 115 Ah", "110 Ah", 1), saved)

	// All is there after a reload.
	after := b.answer()
	b.Do(chromedp.Reload())
	b.Until("document.getElementById('title').textContent.startsWith('Mindelo')")
	require.Equal(t, after, b.answer())
	b.Until("document.getElementById('pinned').innerText.includes('It fails, where the pinned kit holds.')")
	require.False(t, ask[bool](b, "document.getElementById('undo').disabled"))
	b.quiet()
}

// The text pane tells mistakes by their lines and keeps what is typed; the map
// moves waypoints by key; files are loaded, and the card is printed.
func TestPageTextMapAndFiles(t *testing.T) {
	b := openTab(t, desk.Options{Version: "ampwake test", Start: "radio-cover"}, 1280, 900)
	b.press("#auto") // one thing at a time
	b.press("#tab-text")
	typeIn := func(from, to string) {
		ask[bool](b, fmt.Sprintf(`(() => { const t = document.getElementById("text"); t.value = t.value.replace(%q, %q); t.dispatchEvent(new Event("input")); return true; })()`, from, to))
	}
	typeIn("start: 95 %", "start: 195 %")
	b.Until("document.querySelector('#problems li')?.innerText.includes('bank.start')")
	require.Regexp(t, "^line 4[0-9], column", ask[string](b, "document.querySelector('#problems li').innerText"))
	require.True(t, ask[bool](b, "document.getElementById('pane-kit').inert"), "no control works on a text with mistakes")
	b.picture("page-text.png")
	b.Do(chromedp.Reload()) // what was typed is not lost
	b.Until("document.querySelector('#problems li')?.innerText.includes('bank.start')")
	typeIn("start: 195 %", "start: 60 %")
	b.Until("!document.querySelector('#problems li') && document.getElementById('trouble').hidden")
	b.press("#tab-kit")
	require.Equal(t, "60", ask[string](b, "document.querySelector('[data-path=\"bank.start\"] .amount').value"))

	// A refused value says why, beside its control; the file stays as it was.
	ask[bool](b, `(() => { const a = document.querySelector('[data-path="bank.start"] .amount'); a.value = "300"; a.dispatchEvent(new Event("change")); return true; })()`)
	b.Until("document.querySelector('[data-path=\"bank.start\"] .why').textContent.includes('out of range')")
	b.drag("bank.start", 80)
	b.Until("document.getElementById('trouble').hidden && document.getElementById('text').value.includes('start: 80 %')")

	// A waypoint by key, then by the pointer.
	ask[bool](b, "(document.querySelector('.waypoint[data-i=\"1\"]').focus(), true)")
	b.Do(chromedp.KeyEvent(kb.ArrowUp))
	b.Until("document.getElementById('text').value.includes(\"00°15.0'N 027°00.0'W\")")
	ask[bool](b, `(() => {
		const w = document.querySelector('.waypoint[data-i="2"] .catch'), r = w.getBoundingClientRect(), svg = w.ownerSVGElement;
		svg.setPointerCapture = () => {};
		const at = (type, x, y, node) => node.dispatchEvent(new PointerEvent(type, { bubbles: true, clientX: x, clientY: y, pointerId: 1, isPrimary: true }));
		at("pointerdown", r.x + r.width / 2, r.y + r.height / 2, w);
		for (let i = 1; i <= 10; i++) at("pointermove", r.x + r.width / 2 - 4 * i, r.y + r.height / 2, svg);
		at("pointerup", 0, 0, svg);
		return true;
	})()`)
	b.Until("!document.getElementById('text').value.includes(\"25°00.0'S 025°00.0'W\")")
	b.press("[aria-label='Put in a waypoint after the chosen one']")
	b.Until("document.getElementById('text').value.includes('{name: waypoint 4, at: ')")
	require.Equal(t, 5.0, ask[float64](b, "document.querySelectorAll('.waypoint').length"))

	// Something fitted and taken out again.
	ask[bool](b, "([...document.querySelectorAll('#pane-kit button')].find(x => x.innerText.includes('alternator')).click(), true)")
	b.Until("document.querySelector('[data-path=\"sources.engine.alternator\"]')")
	b.press("[aria-label='Take out engine']")
	b.Until("!document.querySelector('[data-path=\"sources.engine.alternator\"]')")

	// A file from disk, then paper.
	path := filepath.Join(t.TempDir(), "mine.yaml")
	require.NoError(t, os.WriteFile(path, []byte("# mine\n"+builtin(t, "doldrums-week")), 0o600))
	b.Do(chromedp.SetUploadFiles("#picked", []string{path}))
	b.Until("document.getElementById('text').value.startsWith('# mine')")
	ask[bool](b, `(() => { const l = document.getElementById("keep"); l.value = "card.pdf"; l.dispatchEvent(new Event("change")); return true; })()`)
	require.True(t, strings.HasPrefix(b.downloaded("mine-card.pdf"), "%PDF-"))
	b.Forgive("422") // the browser notes each answer that is a refusal
	b.quiet()
}

// At night there is red and nothing else on the screen, on a phone nothing is
// wider than the screen.
func TestPageLooks(t *testing.T) {
	b := openTab(t, desk.Options{Version: "ampwake test", Start: "radio-cover"}, 1280, 900)
	b.press("[data-light=night]")
	b.press("#pin")
	b.drag("bank.capacity", 150)
	b.Until("document.getElementById('text').value.includes('capacity: 150 Ah')")
	b.oddsDone()
	for _, tab := range []string{"text", "leg", "kit"} {
		b.press("#tab-" + tab)
		red(t, b.picture("page-night.png"))
	}
	ask[bool](b, "(scrollTo(0, 900), true)")
	red(t, b.picture("page-night-below.png"))
	ask[bool](b, "(scrollTo(0, 0), true)")
	b.Do(chromedp.Reload())
	require.Equal(t, "rgb(0, 0, 0)", ask[string](b, "getComputedStyle(document.documentElement).backgroundColor"))
	b.Until("document.getElementById('title').textContent.startsWith('Mindelo')")

	b.press("[data-light=dark]")
	b.picture("page-dark.png")
	b.press("[data-light=light]")
	b.Do(chromedp.EmulateViewport(375, 812, chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch))
	b.oddsDone()
	require.LessOrEqual(t, ask[float64](b, "document.documentElement.scrollWidth"), 375.0)
	for _, tab := range []string{"text", "leg", "kit"} {
		b.press("#tab-" + tab)
		require.LessOrEqual(t, ask[float64](b, "document.documentElement.scrollWidth"), 375.0, tab)
	}
	ask[bool](b, "(scrollTo(0, document.getElementById('hand').offsetTop), true)")
	b.picture("page-phone.png")
	b.quiet()
}

// red wants red alone. A little of the rest comes from how letters are smoothed.
func red(t *testing.T, img image.Image) {
	t.Helper()
	other, lit := 0, 0
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			if g>>8 > 8 || b>>8 > 8 {
				other++
			}
			if r>>8 > 128 {
				lit++
			}
		}
	}
	require.Zero(t, other, "pixels that are not red")
	require.Greater(t, lit, 1000, "there is something to read")
}

// Everything that can be worked has a name for a screen reader, and the keyboard
// gets everywhere.
func TestPageNames(t *testing.T) {
	b := openTab(t, desk.Options{Version: "ampwake test", Start: "southern-ocean"}, 1280, 900)
	b.oddsDone()
	nameless := ask[[]string](b, `[...document.querySelectorAll("button, select, input, textarea, [tabindex], [role=img], summary")].filter(e => {
		const labels = [...(e.labels || [])].map(l => l.textContent).join("");
		return !(e.getAttribute("aria-label") || labels || (e.tagName === "BUTTON" || e.tagName === "SUMMARY" ? e.textContent.trim() : ""));
	}).map(e => e.outerHTML.slice(0, 120))`)
	require.Empty(t, nameless)
	twice := ask[[]string](b, `(() => { const ids = [...document.querySelectorAll("[id]")].map(e => e.id); return ids.filter((id, i) => ids.indexOf(id) !== i); })()`)
	require.Empty(t, twice, "identifiers")
	require.Equal(t, "polite", ask[string](b, "document.getElementById('spoken').getAttribute('aria-live')"))
	b.Until("document.getElementById('spoken').textContent.includes('Margin')")

	// Arrow keys move a slider by its step and a tab by one.
	ask[bool](b, "(document.querySelector('[data-path=\"bank.capacity\"] input[type=range]').focus(), true)")
	b.Do(chromedp.KeyEvent(kb.ArrowRight))
	b.Until("document.getElementById('text').value.includes('capacity: 215 Ah')")
	require.Equal(t, "215 Ah", ask[string](b, "document.activeElement.getAttribute('aria-valuetext')"))
	ask[bool](b, "(document.getElementById('tab-kit').focus(), true)")
	b.Do(chromedp.KeyEvent(kb.ArrowRight))
	require.Equal(t, "tab-leg", ask[string](b, "document.activeElement.id"))
	require.False(t, ask[bool](b, "document.getElementById('pane-leg').hidden"))

	// Cancel stops many weathers; the button says how to go on.
	ask[bool](b, `(() => { const m = document.getElementById("members"); m.value = "2000"; m.dispatchEvent(new Event("change")); return true; })()`)
	b.Until("!document.getElementById('cancel').hidden")
	b.press("#cancel")
	require.Equal(t, "stopped", ask[string](b, "document.getElementById('progressed').textContent"))
	require.False(t, ask[bool](b, "document.getElementById('again').hidden"))
	b.quiet()
}
