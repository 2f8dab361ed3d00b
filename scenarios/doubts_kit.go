package scenarios

import (
	"fmt"
	"strings"
	"time"

	"ampwake/loads"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/hull"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// shiftedWeather is a weather with something about it changed.
type shiftedWeather struct {
	sim.Weather
	change func(*climate.Sample)
}

// At returns the changed sample.
func (w shiftedWeather) At(t time.Time, place track.Position) climate.Sample {
	x := w.Weather.At(t, place)
	w.change(&x)
	return x
}

// sources is what is not known of what makes electricity.
func (d *doubts) sources() {
	s := &d.f.Sources
	if len(s.Panels) > 0 {
		share := func(key string, of func(*Panel) units.Fraction, by units.Fraction) *Shift {
			x := &Shift{Text: signed(100*float64(by), "points")}
			moved := false
			for i := range s.Panels {
				to := points(of(&s.Panels[i]), by, 0, 0.95)
				moved = moved || to != of(&s.Panels[i])
				x.sets = append(x.sets, fmt.Sprintf("sources.panels[%d].%s=%v", i, key, to))
			}
			if !moved {
				return nil
			}
			return x
		}
		shade := func(p *Panel) units.Fraction { return p.Shaded }
		dirt := func(p *Panel) units.Fraction { return p.Dirt }
		d.add("shade on the panels", "−10 and +10 points", practice, share("shaded", shade, -0.1), share("shaded", shade, 0.1))
		d.add("dirt on the panels", "−5 and +5 points", practice, share("dirt", dirt, -0.05), share("dirt", dirt, 0.05))
	}
	d.hydro(s.Hydro)
	if e := s.Engine; e != nil {
		const path = "sources.engine.hot"
		d.add("alternator when warm", "−20 % and +20 %", practice,
			keyIf(path, e.Hot, fine(max(0.1, 0.8*e.Hot))), keyIf(path, e.Hot, fine(min(1, 1.2*e.Hot))))
	}
	if w := s.Wind; w != nil {
		coefficient := func(times float64) *Shift {
			to := min(0.593, fine(times*w.CP)) // Betz
			return &Shift{Text: fmt.Sprintf("coefficient %.3g", to), sets: []string{fmt.Sprintf("sources.wind.power coefficient=%v", to)}}
		}
		d.add("output of the "+w.Name, "−30 % and +30 %", practice, coefficient(0.7), coefficient(1.3))
	}
}

// hydro is what is not known of the water generator.
func (d *doubts) hydro(h *Hydro) {
	if h == nil {
		return
	}
	output := func(times float64) *Shift {
		x := &Shift{Text: signed(100*(times-1), "%")}
		if h.Rotor != nil {
			x.sets = []string{fmt.Sprintf("sources.hydro.rotor.power coefficient=%v", min(0.593, fine(times*h.Rotor.CP)))} // Betz
			return x
		}
		var rows []string
		for _, p := range h.Curve {
			rows = append(rows, fmt.Sprintf("[%v, %v]", p.Speed, fine(units.Amps(times)*p.Current)))
		}
		x.sets = []string{"sources.hydro.curve=[" + strings.Join(rows, ", ") + "]"}
		return x
	}
	d.add("output of the "+h.Name, "−25 % and +25 %", practice+": makers' curves are of flat water", output(0.75), output(1.25))
	path, ct := "sources.hydro.drag", 0.0
	switch {
	case d.s.voyage.Hull == nil:
		return // it is taken not to slow the boat
	case h.Rotor != nil:
		path, ct = "sources.hydro.rotor", h.Rotor.CT
	case h.Drag != nil:
		ct = h.Drag.CT
	default:
		return
	}
	drag := func(times float64) *Shift {
		to := min(1.5, max(0.05, fine(times*ct)))
		return &Shift{Text: fmt.Sprintf("thrust %.3g", to), sets: []string{fmt.Sprintf("%s.thrust coefficient=%v", path, to)}}
	}
	d.add("drag of the "+h.Name, "−40 % and +40 %", practice+", strut and fouling included", drag(0.6), drag(1.4))
}

// boat is how fast she sails.
func (d *doubts) boat() {
	speed := func(times float64) *Shift {
		x := &Shift{Text: signed(100*(times-1), "%")}
		wind := false
		for i := range d.f.Voyage.Pace {
			p := &d.f.Voyage.Pace[i]
			if p.Speed.ByWind {
				wind = true
			} else if p.Speed.Knots > 0 {
				x.sets = append(x.sets, fmt.Sprintf("voyage.pace[%d].speed=%v", i, fine(units.Knots(times)*p.Speed.Knots)))
			}
		}
		if wind {
			factor := hull.PassageFactor
			if b := d.f.Boat; b != nil {
				factor = b.Passage
			}
			x.sets = append(x.sets, fmt.Sprintf("boat.passage factor=%v", min(1.2, max(0.3, fine(units.Fraction(times)*factor)))))
		}
		if x.sets == nil {
			return nil
		}
		return x
	}
	d.add("speed of the boat", "−10 % and +10 %", practice+": day's runs of such boats spread more", speed(0.9), speed(1.1))
}

// loads is what is not known of each user.
func (d *doubts) loads() {
	for i := range d.f.Loads {
		l := &d.f.Loads[i]
		path := fmt.Sprintf("loads[%d]", i)
		if draw := d.draw(l, path, 0.8); draw != nil {
			d.add(l.Name+": current", "−20 % and +20 %", practice+": what is on the label is seldom what flows", draw, d.draw(l, path, 1.2))
		}
		if t := l.Transmit; t != nil {
			d.add(l.Name+": share of talk", "5 % to 25 %, or −10 and +10 points", practice,
				keyIf(path+".transmit.share", t.Share, talk(t.Share, -0.1, 0.05)), keyIf(path+".transmit.share", t.Share, talk(t.Share, 0.1, 0.25)))
		}
		if c := l.Cable; c != nil {
			d.add(l.Name+": fuse and lugs", "2 to 20 mΩ", practice+": clean, and corroded",
				keyIf(path+".cable.fuse and lugs", c.Fixed, min(c.Fixed, 0.002)), keyIf(path+".cable.fuse and lugs", c.Fixed, max(c.Fixed, 0.02)))
		}
	}
}

// talk shifts a share of talk to a usual bound, or by so many points where it is
// beyond that bound already.
func talk(x, by, bound units.Fraction) units.Fraction {
	if (bound-x)*by > 0 {
		return bound
	}
	return points(x, by, 0, 1)
}

// draw scales all that a load draws; nil if that is nothing.
func (d *doubts) draw(l *Load, path string, times float64) *Shift {
	x := &Shift{}
	set := func(key string, value fmt.Stringer) {
		x.sets = append(x.sets, path+"."+key+"="+value.String())
		if x.Text == "" {
			x.Text = value.String()
		}
	}
	k := units.Amps(times)
	if l.Draws != nil {
		to := loads.Draw{Power: fine(units.Watts(times) * l.Draws.Power), Current: fine(k * l.Draws.Current)}
		if to != (loads.Draw{}) {
			set("draws", to)
		}
	}
	if l.Receive != nil && *l.Receive > 0 {
		set("receive", fine(k**l.Receive))
	}
	if t := l.Transmit; t != nil {
		set("transmit.peak", fine(k*t.Peak))
		if t.Average != nil {
			set("transmit.average", fine(k**t.Average))
		}
	}
	if x.sets == nil {
		return nil
	}
	if l.Transmit != nil {
		x.Text = signed(100*(times-1), "%")
	}
	return x
}
