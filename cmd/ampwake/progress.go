package main

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"
)

// bar draws how far a long run is, with the time left, on one line of a
// terminal. A nil bar draws nothing.
type bar struct {
	w           io.Writer
	what        string // is counted; "" for weathers
	width       int    // columns of the terminal
	now         func() time.Time
	began, last time.Time
}

// redraw is the shortest time between two pictures of the bar.
const redraw = 100 * time.Millisecond

// newBar returns a bar, or nil if w is not a terminal that can redraw a line.
func newBar(w io.Writer) *bar {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return nil
	}
	width, _, err := term.GetSize(int(f.Fd()))
	if err != nil || width <= 0 {
		width = 80
	}
	return &bar{w: w, width: width, now: time.Now, began: time.Now()}
}

// of returns the bar, counting something else than weathers.
func (b *bar) of(what string) *bar {
	if b != nil {
		b.what = what
	}
	return b
}

// show draws that so many of total are done.
func (b *bar) show(done, total int) {
	if !b.due() {
		return
	}
	left := time.Duration(float64(b.last.Sub(b.began)) / float64(done) * float64(total-done))
	text := fmt.Sprintf(" %d of %d %s, %s left", done, total, cmp.Or(b.what, "weathers"), left.Round(time.Second))
	room := max(0, min(40, b.width-len(text)-3))
	full := room * done / total
	line := "[" + strings.Repeat("=", full) + strings.Repeat(" ", room-full) + "]" + text
	b.draw(line)
}

// say draws a few words in place of a bar, where it is not known how much is
// left.
func (b *bar) say(text string) {
	if !b.due() {
		return
	}
	b.draw(text)
}

// due reports whether it is time for another picture, which is then the last.
func (b *bar) due() bool {
	if b == nil {
		return false
	}
	now := b.now()
	if now.Sub(b.last) < redraw {
		return false
	}
	b.last = now
	return true
}

// draw puts a line, or as much of it as there is room for, in place of the last.
func (b *bar) draw(line string) {
	_, _ = fmt.Fprint(b.w, "\r"+line[:min(len(line), b.width-1)]+"\x1b[K")
}

// clear takes the bar off the screen.
func (b *bar) clear() {
	if b != nil {
		_, _ = fmt.Fprint(b.w, "\r\x1b[K")
	}
}
