package chart

import (
	"image/color"

	"gonum.org/v1/plot/vg"
)

// ChargeClass is a range of the state of charge, %, and how it is drawn.
type ChargeClass struct {
	From, To float64
	Fill     color.RGBA
	Width    vg.Length
}

// chargeClasses cuts the state of charge into ranges of ten or twenty points,
// lighter above and darker below: in grey, and in red light, as in colour. Under
// the floor all is one, darker still and drawn wider.
func chargeClasses(floor float64) []ChargeClass {
	step := 20.0
	if floor >= 40 {
		step = 10
	}
	edges := []float64{floor}
	for e := step; e <= 100; e += step {
		if e > floor+1e-9 {
			edges = append(edges, e)
		}
	}
	if n := len(edges); n > 2 && edges[1]-edges[0] < 0.6*step {
		edges = append(edges[:1], edges[2:]...)
	}
	var out []ChargeClass
	n := len(edges) - 1
	for i := range n {
		u := 0.0 // at the top
		if n > 1 {
			u = float64(n-1-i) / float64(n-1)
		}
		out = append(out, ChargeClass{From: edges[i], To: edges[i+1], Fill: over(fullest, emptiest, 1-u), Width: 2.6})
	}
	if floor > 0 {
		out = append([]ChargeClass{{From: 0, To: floor, Fill: below, Width: 4}}, out...)
	}
	return out
}

// The colours of charge from full to the floor, and under it.
var (
	fullest  = hex(0xE9F2FA)
	emptiest = hex(0x4F83B8)
	below    = hex(0x451200)
)

// class returns which class a state of charge belongs to.
func class(of []ChargeClass, charge float64) int {
	for i := range of {
		if charge < of[i].To {
			return i
		}
	}
	return len(of) - 1
}

// key draws the classes of charge as a bar with the numbers of their edges.
func (p *Track) key(s *scene, x, y vg.Length) {
	const barHeight, perPoint = vg.Length(6), vg.Length(2.6)
	classes := p.Classes
	base := y + 2
	bar := base + 9
	floor := 0.0
	if len(classes) > 0 && classes[0].Fill == below {
		floor = classes[0].To
		w := s.text("below the floor", endStyle.in(alarm.Ink), left, x, bar)
		x = w.Max.X + 4
		end := x + 34
		s.rect(vg.Rectangle{Min: vg.Point{X: x - 0.7, Y: bar - 0.7}, Max: vg.Point{X: end, Y: bar + barHeight + 0.7}}, ink)
		s.rect(vg.Rectangle{Min: vg.Point{X: x, Y: bar}, Max: vg.Point{X: end, Y: bar + barHeight}}, below)
		x = end
		classes = classes[1:]
	}
	from := classes[0].From
	at := func(charge float64) vg.Length { return x + vg.Length(charge-from)*perPoint*vg.Length(50/(100-from)) }
	s.rect(vg.Rectangle{Min: vg.Point{X: x - 0.7, Y: bar - 0.7}, Max: vg.Point{X: at(100) + 0.7, Y: bar + barHeight + 0.7}}, ink)
	for _, c := range classes {
		s.rect(vg.Rectangle{Min: vg.Point{X: at(c.From), Y: bar}, Max: vg.Point{X: at(c.To), Y: bar + barHeight}}, c.Fill)
		if c.From > from {
			s.segment(at(c.From), bar, at(c.From), bar+barHeight, ink, 0.5)
		}
	}
	if floor > 0 {
		s.text("floor "+percent(from), tickStyle.in(alarm.Ink), right, at(from)+8, base)
	} else {
		s.text(percent(from), tickStyle.in(ink), centre, at(from), base)
	}
	for _, c := range classes {
		w := put(short(c.To), tickStyle.in(ink), centre, at(c.To), base)
		if c.To == 100 {
			w = put("100 %", tickStyle.in(ink), centre, at(100), base)
		}
		if s.free(grown(w.box, 1)) {
			s.add(w)
		}
	}
	if len(p.Missed) > 0 {
		mid := vg.Point{X: at(100) + 34, Y: bar + barHeight/2}
		cross(s, mid, 3.4, alarm.Ink, 1.5)
		s.text("missed", endStyle.in(alarm.Ink), left, mid.X+7, bar)
	}
}
