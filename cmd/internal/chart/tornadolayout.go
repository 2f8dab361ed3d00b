package chart

import (
	"fmt"

	"gonum.org/v1/plot/vg"
)

// words are at the end of a bar: the shift, and what it does.
func (b TornadoBar) words() string {
	text := fmt.Sprintf("%s: %s", b.Shift, signedText(b.By))
	if b.Note != "" {
		text += ", " + b.Note
	}
	return text
}

// layout places all there is on a page of a size.
func (t *Tornado) layout(width, height vg.Length) *scene {
	s := &scene{width: width}
	page := Page{Title: t.Title, Facts: t.Facts, Remarks: t.Remarks, Caption: t.Caption}
	top := page.heading(s, width, height)
	page.panelTitle(s, &Panel{Title: t.What, About: t.About}, edge, width-edge, top-titleRow+4)
	top -= titleRow + 14
	page.footer(s, width)
	bottom := edge + foot + 20
	names := t.names(width)
	f := t.scale(edge+names+nameGap, width-edge)
	n := vg.Length(max(1, len(t.Rows)))
	row := max(4, (top-bottom)/n)
	zero := f.at(0)
	s.segment(zero, top, zero, bottom, quiet, 0.6)
	s.text("as the file has it", tickStyle, centre, zero, top+4)
	t.edge(s, &f, top, bottom)
	for i := range t.Rows {
		t.row(s, &f, i, top-vg.Length(i)*row, row, names)
	}
	if len(t.Rows) == 0 {
		s.text("nothing moves it", aboutStyle, centre, (zero+width)/2, (top+bottom)/2)
	}
	s.text(t.Rest, aboutStyle, left, edge, bottom-12)
	return s
}

// names returns the width of the column of names.
func (t *Tornado) names(width vg.Length) vg.Length {
	widest := vg.Length(0)
	for _, r := range t.Rows {
		widest = max(widest, endStyle.width(r.Name))
	}
	return min(widest, 0.3*width)
}

// tornadoScale turns a change into a place on the page.
type tornadoScale struct {
	zero, perUnit vg.Length
}

func (f *tornadoScale) at(x float64) vg.Length { return f.zero + vg.Length(x)*f.perUnit }

// scale fits the bars and the words at their ends between two edges. Each row
// wants so many points for its words on each side; the scale is the largest at
// which none runs out.
func (t *Tornado) scale(from, to vg.Length) tornadoScale {
	// What stands left and right of zero for one point a unit: words + bar*unit.
	type need struct{ words, bar vg.Length }
	var lefts, rights []need
	add := func(by float64, words vg.Length) {
		if by < 0 {
			lefts = append(lefts, need{words, vg.Length(-by)})
		} else {
			rights = append(rights, need{words, vg.Length(by)})
		}
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		for _, b := range r.Bars {
			words := b.words()
			if r.together() {
				words = r.Bars[0].words() + "; " + r.Bars[1].words()
			}
			add(b.By, tickStyle.width(words)+6)
		}
	}
	add(t.Least, 14)
	add(t.Most, 14)
	reach := func(list []need, unit vg.Length) vg.Length {
		most := vg.Length(24)
		for _, n := range list {
			most = max(most, n.words+n.bar*unit)
		}
		return most
	}
	room := to - from
	low, high := vg.Length(0), room/vg.Length(t.Most-t.Least)
	for range 60 {
		if mid := (low + high) / 2; reach(lefts, mid)+reach(rights, mid) <= room {
			low = mid
		} else {
			high = mid
		}
	}
	return tornadoScale{zero: from + min(reach(lefts, low), room), perUnit: low}
}

// edge draws where something ends.
func (t *Tornado) edge(s *scene, f *tornadoScale, top, bottom vg.Length) {
	if t.EdgeName == "" || t.Edge < t.Least || t.Edge > t.Most || t.Edge == 0 {
		return
	}
	x := f.at(t.Edge)
	s.segment(x, top, x, bottom, alarm.Ink, 0.9, 4, 2)
	for _, a := range []align{centre, right, left} {
		if w := put(t.EdgeName, tickStyle.in(alarm.Ink), a, x, top+4); s.free(grown(w.box, 2)) && w.box.Min.X >= edge && w.box.Max.X <= s.width-edge {
			s.add(w)
			return
		}
	}
}

// together reports whether both shifts go the same way.
func (r *TornadoRow) together() bool {
	return len(r.Bars) == 2 && (r.Bars[0].By < 0) == (r.Bars[1].By < 0)
}

// row draws one input. Two shifts that go the same way share the height.
func (t *Tornado) row(s *scene, f *tornadoScale, i int, top, height, names vg.Length) {
	r := &t.Rows[i]
	mid := top - height/2
	st := endStyle
	st.size = min(st.size, height*0.9)
	s.segment(edge, top-height, s.width-edge, top-height, hair, 0.3)
	s.text(st.cut(r.Name, names), st, right, edge+names, mid-st.size*capHeight/2)
	bar := min(tornadoBar, height*0.6)
	num := tickStyle.in(ink)
	num.size = min(num.size, height*0.8)
	together := r.together()
	for k, b := range r.Bars {
		y, h := mid, bar
		if together {
			h = bar / 2
			y = mid + h*(0.5-vg.Length(k))
		}
		paint := stock
		if b.By < 0 {
			paint = alarm
		}
		x0, x1 := f.at(min(b.By, 0)), f.at(max(b.By, 0))
		box := vg.Rectangle{Min: vg.Point{X: x0, Y: y - h/2}, Max: vg.Point{X: x1, Y: y + h/2}}
		s.rect(box, over(paint.Fill, white, 0.75))
		if x1 > x0 {
			s.stroke([]vg.Point{box.Min, {X: x1, Y: box.Min.Y}, box.Max, {X: x0, Y: box.Max.Y}, box.Min}, paint.Ink, 0.4)
		}
		if together && k == 0 {
			continue // one text for both
		}
		words, far := b.words(), b.By
		if together {
			words, far = r.Bars[0].words()+"; "+b.words(), min(r.Bars[0].By, b.By)
			if b.By >= 0 {
				far = max(r.Bars[0].By, b.By)
			}
		}
		a, x := left, f.at(far)+4
		if far < 0 {
			a, x = right, f.at(far)-4
		}
		w := put(words, num, a, x, mid-num.size*capHeight/2)
		if e := f.at(t.Edge); e > w.box.Min.X && e < w.box.Max.X {
			s.rect(grown(w.box, 1), white)
		}
		s.add(w)
	}
}
