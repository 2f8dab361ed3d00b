package sim

import (
	"ampwake/sim/hull"
	"ampwake/sim/units"
)

// dragCache keeps the last solved slowing, and those that the wind asks for by
// what is in the water.
type dragCache struct {
	winds       []slowing
	plan, speed float64
	lost        float64 // 1 - speed/plan
	mask        uint64
	valid       bool
}

// slowed returns the speed with the drag of what is in the water.
func (p *passage) slowed(plan units.Knots) units.Knots {
	if p.v.Hull == nil || plan <= 0 || p.c.State == AtAnchor || p.c.State == Alongside {
		return plan
	}
	var mask uint64
	for i := range p.sources {
		if s := &p.sources[i]; s.inUse && s.drag != nil {
			mask |= 1 << (i % 64)
		}
	}
	if mask == 0 {
		return plan
	}
	d := &p.drag
	if !d.valid || d.plan != float64(plan) || d.mask != mask {
		d.plan, d.mask, d.valid = float64(plan), mask, true
		if p.v.Plan[p.stretch].Polar != nil {
			d.speed = float64(d.by(mask, p).At(plan))
		} else {
			d.speed = float64(p.v.Hull.Slowed(plan, p.drags))
		}
		d.lost = 1 - d.speed/d.plan
		p.shareDrag(units.Knots(d.speed))
	}
	return units.Knots(d.speed)
}

// slowing is the slowing by what is in the water.
type slowing struct {
	mask uint64
	*hull.Slowing
}

// by returns the slowing by what is in the water now.
func (d *dragCache) by(mask uint64, p *passage) *hull.Slowing {
	for i := range d.winds {
		if d.winds[i].mask == mask {
			return d.winds[i].Slowing
		}
	}
	d.winds = append(d.winds, slowing{mask, hull.NewSlowing(p.v.Hull, p.drags)})
	return d.winds[len(d.winds)-1].Slowing
}

// dragAt sums the drag of what is in the water at a speed.
func (p *passage) dragAt(v units.Knots) units.Newtons {
	var sum units.Newtons
	for i := range p.sources {
		if s := &p.sources[i]; s.inUse && s.drag != nil {
			sum += s.drag.Drag(v)
		}
	}
	return sum
}

// bookDrag enters what the generators in the water cost, shared among them by
// their drag.
func (p *passage) bookDrag(h float64) {
	plan, speed := float64(p.c.Plan), float64(p.c.Speed)
	if !(plan > speed) {
		return
	}
	miles := (plan - speed) * p.along * h
	p.dragMiles += miles
	p.dragHours += p.drag.lost * h
	for i := range p.sources {
		p.sources[i].miles += float64(miles * p.sources[i].share)
	}
}

// shareDrag finds the share that each source in the water has in the drag at a
// speed.
func (p *passage) shareDrag(v units.Knots) {
	all := p.dragAt(v)
	for i := range p.sources {
		s := &p.sources[i]
		if s.share = 0; s.inUse && s.drag != nil && all > 0 {
			s.share = float64(s.drag.Drag(v) / all)
		}
	}
}
