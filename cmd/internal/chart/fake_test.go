package chart

import (
	"math"
	"math/rand/v2"
	"time"

	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// passageOf describes a made-up voyage: enough of a boat to give pictures
// something to show, and no more. It is not the engine and proves nothing about
// it.
type passageOf struct {
	title      string
	depart     time.Time
	span       time.Duration
	from, to   track.Position // latitude and longitude run evenly
	calm       [2]float64     // days without wind, from and to
	panel      float64        // peak of the panels, A
	hydro      float64        // at 6 kn, A
	engine     bool           // runs an hour under 45 %
	floor      units.Fraction
	bank       float64 // Ah
	start      float64
	noSources  bool
	noLoads    bool
	extraLoads int
	pin        *float64 // state of charge held there
}

// atlantic is the usual one: 26 days from 17°N to 33°S with a windless week.
func atlantic() passageOf {
	return passageOf{
		title:  "Mindelo to Cape Town, two panels and a water generator",
		depart: time.Date(2027, 3, 3, 9, 0, 0, 0, time.UTC),
		span:   26*24*time.Hour + 7*time.Hour,
		from:   track.Position{Lat: 17, Lon: -25}, to: track.Position{Lat: -33.9, Lon: 18.4},
		calm: [2]float64{9, 16}, panel: 5.2, hydro: 3.4, engine: true,
		floor: 0.5, bank: 220, start: 0.97,
	}
}

// elevation of the sun, in degrees; from memory, good to a degree.
func elevation(t time.Time, lat, lon float64) float64 {
	const rad = math.Pi / 180
	dec := 23.45 * math.Sin(2*math.Pi*float64(284+t.YearDay())/365) * rad
	ha := ((float64(t.Hour())+float64(t.Minute())/60)*15 + lon - 180) * rad
	return math.Asin(math.Sin(lat*rad)*math.Sin(dec)+math.Cos(lat*rad)*math.Cos(dec)*math.Cos(ha)) / rad
}

// sail makes the result.
func (f passageOf) sail() *sim.Result {
	const step = 10 * time.Minute
	rng := rand.New(rand.NewPCG(1, 2))
	n := max(1, int(f.span/step))
	t := &sim.Trace{}
	res := &sim.Result{Title: f.title, Depart: f.depart, Arrived: true, Trace: t}
	sources := []string{"water generator", "solar", "engine"}
	loads := []string{"instruments", "tricolour light", "HF radio", "weather fax", "fridge"}
	for i := range f.extraLoads {
		loads = append(loads, "gadget "+string(rune('a'+i)))
	}
	if f.noSources {
		sources = nil
	}
	if f.noLoads {
		loads = nil
	}
	for _, s := range sources {
		res.Sources = append(res.Sources, sim.SourceTotal{Name: s})
	}
	for _, l := range loads {
		res.Loads = append(res.Loads, sim.LoadTotal{Name: l})
	}
	t.Sources = make([][]units.Watts, len(sources))
	t.Loads = make([][]units.Watts, len(loads))
	soc, cloud, gust, engine := f.start, 0.4, 5.5, 0
	low := sim.Moment{Charge: 2}
	radio := 0
	for i := 0; i <= n; i++ {
		at := f.depart.Add(time.Duration(i) * step)
		u := float64(i) / float64(n)
		lat := float64(f.from.Lat) + u*float64(f.to.Lat-f.from.Lat)
		lon := float64(f.from.Lon) + u*float64(f.to.Lon-f.from.Lon)
		if lon > 180 {
			lon -= 360
		}
		days := at.Sub(f.depart).Hours() / 24
		cloud = min(1, max(0, cloud+0.03*rng.NormFloat64()))
		gust = min(8, max(3.5, gust+0.06*rng.NormFloat64()))
		speed, state := gust, sim.UnderSail
		if days >= f.calm[0] && days < f.calm[1] {
			speed, state = 1.2+0.2*math.Sin(9*days), sim.UnderSail
			if at.Hour() >= 8 && at.Hour() < 11 && int(days)%3 == 0 {
				speed, state = 5, sim.Motoring
			}
		}
		if f.pin != nil {
			soc = *f.pin
		}
		zone := int(math.Round(lon / 15))
		sun := elevation(at, lat, lon)
		volts := 11.9 + 1.2*soc
		t.Time = append(t.Time, at)
		t.Lat, t.Lon = append(t.Lat, units.Degrees(lat)), append(t.Lon, units.Degrees(lon))
		t.Charge = append(t.Charge, units.Fraction(soc))
		if soc < float64(low.Charge) {
			low = sim.Moment{Time: at, Charge: units.Fraction(soc), Place: track.Position{Lat: units.Degrees(lat), Lon: units.Degrees(lon)}}
		}
		if i == n {
			speed, state, sun, zone, volts = 0, 0, 0, 0, 0
		}
		t.Zone, t.Sun = append(t.Zone, int8(zone)), append(t.Sun, units.Degrees(sun))
		t.Speed, t.State, t.Bus = append(t.Speed, units.Knots(speed)), append(t.State, state), append(t.Bus, units.Volts(volts))
		amps := make([]float64, 3)
		if i < n {
			if speed > 3 && state == sim.UnderSail {
				amps[0] = f.hydro * math.Pow(speed/6, 2.5)
			}
			amps[1] = f.panel * math.Pow(max(0, math.Sin(sun*math.Pi/180)), 1.2) * (1 - 0.7*math.Pow(cloud, 3.4))
			if f.engine && soc < 0.36 && engine == 0 {
				engine = 9
			}
			if engine > 0 {
				engine--
				amps[2] = 28
			}
			if state == sim.Motoring {
				amps[2] = 28 * (1 - soc)
			}
		}
		in, out := 0.0, 0.0
		for k := range sources {
			t.Sources[k] = append(t.Sources[k], units.Watts(amps[k]*volts))
			res.Sources[k].Charge += units.AmpHours(amps[k] / 6)
			in += amps[k]
		}
		draw := make([]float64, len(loads))
		if i < n && len(loads) > 0 {
			draw[0] = 1.1
			if sun < -0.83 {
				draw[1] = 0.9
			}
			m := at.Hour()*60 + at.Minute()
			if m == 8*60+10 || m == 20*60+10 {
				res.Loads[2].Due++
				if soc > 0.47 {
					draw[2] = 22
					res.Loads[2].Kept++
				} else {
					radio++
					res.Misses = append(res.Misses, sim.Miss{Load: 2, What: "HF radio", Slot: at, At: sim.Moment{Time: at}, Cause: sim.UnderVoltage})
				}
			}
			if h := at.Hour(); (h == 3 || h == 12) && at.Minute() < 30 {
				draw[3] = 1.6
			}
			if (i/3)%3 == 0 {
				draw[4] = 3.5
			}
			for k := 5; k < len(loads); k++ {
				if (i+k)%7 == 0 {
					draw[k] = 0.2 * float64(k-5) // the first of them draws nothing
				}
			}
		}
		for k := range loads {
			t.Loads[k] = append(t.Loads[k], units.Watts(draw[k]*volts))
			res.Loads[k].Charge += units.AmpHours(draw[k] / 6)
			out += draw[k]
		}
		spilled := 0.0
		if room := 30 * max(0, 1-soc); f.pin == nil && in-out > room && in > 0 {
			spilled = min(in, in-out-room)
		}
		t.Spilled = append(t.Spilled, units.Watts(spilled*volts))
		soc = min(1, max(0, soc+(in-out-spilled)/6/f.bank))
		res.Sailed += units.NauticalMiles(speed / 6)
	}
	res.End = t.Time[n]
	res.Lowest = low
	res.Steps = n
	res.Verdict = sim.Verdict{Floor: f.floor, Margin: low.Charge - f.floor, Holds: low.Charge >= f.floor && radio == 0}
	if f.floor > 0 {
		res.Verdict.Goals = []sim.GoalVerdict{{Name: "floor", Holds: low.Charge >= f.floor}}
		if len(loads) > 0 {
			res.Verdict.Goals = append(res.Verdict.Goals, sim.GoalVerdict{Name: "HF radio", Due: res.Loads[2].Due, Kept: res.Loads[2].Kept})
		}
	}
	return res
}

// voyages are the ordinary one and the edges of what must draw.
func voyages() map[string]passageOf {
	at := func(change func(*passageOf)) passageOf {
		f := atlantic()
		change(&f)
		return f
	}
	full, flat := 1.0, 0.0
	return map[string]passageOf{
		"atlantic": atlantic(),
		"hour": at(func(f *passageOf) {
			f.title, f.span = "Round the headland", time.Hour
			f.to = track.Position{Lat: 17.1, Lon: -25}
		}),
		"day":    at(func(f *passageOf) { f.span, f.to = 29*time.Hour, track.Position{Lat: 15, Lon: -24}; f.start = 0.6 }),
		"week":   at(func(f *passageOf) { f.span, f.calm = 8*24*time.Hour, [2]float64{2, 5}; f.bank = 100 }),
		"forty":  at(func(f *passageOf) { f.span, f.calm, f.hydro = 40*24*time.Hour, [2]float64{20, 27}, 2.5 }),
		"fifty":  at(func(f *passageOf) { f.span = 50 * 24 * time.Hour }),
		"ninety": at(func(f *passageOf) { f.span, f.calm = 90*24*time.Hour, [2]float64{50, 58} }),
		"round": at(func(f *passageOf) {
			f.title, f.span, f.calm = "Round the world", 240*24*time.Hour, [2]float64{150, 162}
			f.from, f.to = track.Position{Lat: -30, Lon: -40}, track.Position{Lat: -52, Lon: 300}
		}),
		"no sources": at(func(f *passageOf) { f.noSources, f.span = true, 4*24*time.Hour }),
		"no loads":   at(func(f *passageOf) { f.noLoads, f.span = true, 4*24*time.Hour }),
		"many loads": at(func(f *passageOf) { f.extraLoads, f.span = 6, 6*24*time.Hour }),
		"full":       at(func(f *passageOf) { f.pin, f.span = &full, 5*24*time.Hour }),
		"flat":       at(func(f *passageOf) { f.pin, f.span = &flat, 5*24*time.Hour }),
		"no floor":   at(func(f *passageOf) { f.floor = 0 }),
		"polar day": at(func(f *passageOf) {
			f.title, f.depart, f.span = "Tromso to Jan Mayen", time.Date(2027, 6, 10, 6, 0, 0, 0, time.UTC), 9*24*time.Hour
			f.from, f.to = track.Position{Lat: 70, Lon: 19}, track.Position{Lat: 71, Lon: -8}
		}),
		"polar night": at(func(f *passageOf) {
			f.title, f.depart, f.span = "Tromso to Jan Mayen", time.Date(2027, 12, 10, 6, 0, 0, 0, time.UTC), 9*24*time.Hour
			f.from, f.to = track.Position{Lat: 70, Lon: 19}, track.Position{Lat: 71, Lon: -8}
		}),
		"date line": at(func(f *passageOf) {
			f.title, f.span = "Fiji to Samoa and on", 12*24*time.Hour
			f.from, f.to = track.Position{Lat: -18, Lon: 177}, track.Position{Lat: -14, Lon: 191}
		}),
	}
}

// fanOf is the odds over a number of days.
func fanOf(days int) FanInput {
	in := FanInput{
		Title: "Mindelo to Cape Town, two panels and a water generator", Facts: []string{"Below the floor at some time in 61 of 200 runs."},
		About: "lowest of each day, 200 runs", Caption: "ampwake 0.1 · seed 7 · 200 runs", Floor: 0.5,
	}
	for i := range days {
		u := float64(i) / float64(days)
		mid := 0.92 - 0.32*math.Exp(-40*(u-0.5)*(u-0.5)) + 0.02*math.Sin(float64(3*i))
		in.Days = append(in.Days, time.Date(2027, 3, 3+i, 0, 0, 0, 0, time.UTC))
		in.P10, in.P50, in.P90 = append(in.P10, mid-0.1-0.25*u*(1-u)*2), append(in.P50, mid), append(in.P90, min(1, mid+0.08))
		in.Low, in.High = append(in.Low, max(0, mid-0.4+0.2*math.Abs(u-0.5))), append(in.High, min(1, mid+0.2))
	}
	return in
}

// whereOf is trouble in a number of bins by a number of causes.
func whereOf(bins, causes int) WhereInput {
	in := WhereInput{
		Title: "Mindelo to Cape Town, two panels and a water generator", What: "where the first slot was missed", Runs: 200, Caption: "ampwake 0.1 · seed 7 · 200 runs",
		Causes: []string{"voltage under load", "flat", "shed", "cold", "damp"}[:causes],
	}
	for i := range bins + 1 {
		u := float64(i) / float64(bins)
		in.Edges = append(in.Edges, WhereEdge{Lat: units.Degrees(17 - 51*u), Sailed: units.NauticalMiles(4100 * u)})
		if i < bins {
			row := []int{int(40 * math.Exp(-60*(u-0.35)*(u-0.35))), int(9 * math.Exp(-60*(u-0.5)*(u-0.5))), i % 3, 1, 2}
			in.Counts = append(in.Counts, row[:causes])
		}
	}
	return in
}
