package breakeven

import (
	"context"
	"math"
	"runtime"
	"time"

	"golang.org/x/sync/errgroup"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Options say for what the maps are made. The zero value asks for the middle of
// the passage, when she is there.
type Options struct {
	At    *track.Position // nil: half way along the passage
	Month time.Month      // 0: that in which she is half way
	Speed *units.Knots    // of the map by latitude; nil: her mean speed under way
}

// Maps are the two maps and what is read from them.
type Maps struct {
	Title string

	// The day of the map by speed and cloud.
	Place  track.Position
	Date   time.Time     // UTC date
	Course units.Degrees // of the bow, as half way along the passage, true
	Heel   units.Degrees // likewise; starboard down positive
	Air    units.Celsius
	Sea    units.Celsius
	Wind   units.Knots
	// Cloud and Speed are those of the question: as she meets and plans them
	// half way, or the climate's cloud where a place or a month was asked for.
	Cloud   units.Fraction
	Speed   units.Knots
	Average bool // whether cloud is a mean of a changing sky

	Speeds  []units.Knots
	Clouds  []units.Fraction
	BySpeed [][]Balance // by cloud, then speed

	Even []Crossing // at Cloud, ascending
	Here Balance    // at Speed and Cloud
	// Still is a day without way: under a clear sky, under Cloud, overcast.
	Still [3]Balance

	// The map by latitude and month.
	YearSpeed units.Knots
	Year      int
	Dates     []time.Time // from the first day of the year to that of the next
	Latitudes []units.Degrees
	ByYear    [][]Balance        // by latitude, then date
	YearCloud [][]units.Fraction // likewise: the climate's

	Passage []Step // where she is, a point a day
	Left    []string
	Notes   []sim.Note
}

// Crossing is a speed at which the balance passes nought.
type Crossing struct {
	Speed units.Knots
	Gains bool // above it she gains; else below it
	// Leaps says that the balance leaps there, as when a generator goes down: by
	// more than an ampere-hour within 0.01 kn.
	Leaps bool
}

// Step is a place of the passage in time.
type Step struct {
	Time time.Time
	Lat  units.Degrees
}

// The grids of the maps.
const (
	topSpeed   = 8.0 // kn
	speedStep  = 0.1
	cloudSteps = 16 // half oktas
	farLat     = 60
	latStep    = 3
	dateSteps  = 24 // half months
)

// Of makes the maps of a scenario. The error is that of the context, or says
// that no boat can be at the place asked for.
func Of(ctx context.Context, s *scenarios.Scenario, opt Options) (*Maps, error) {
	m, k, sky, err := question(ctx, s, opt)
	if err != nil {
		return nil, err
	}
	if err := m.answer(ctx, k, sky); err != nil {
		return nil, err
	}
	if err := m.bySpeed(ctx, k, sky); err != nil {
		return nil, err
	}
	return m, m.byYear(ctx, k)
}

// question sails the passage once and settles for what the maps are made: with
// which kit, and under which sky but for its cloud.
func question(ctx context.Context, s *scenarios.Scenario, opt Options) (*Maps, *kit, climate.Sample, error) {
	res, err := s.Voyage().Sail(ctx, sim.Options{Trace: true})
	if err != nil {
		return nil, nil, climate.Sample{}, err
	}
	k := newKit(s.Voyage())
	if a := s.File.Weather.Cloud.Average; a != nil {
		k.average = *a
	}
	m := &Maps{Title: res.Title, Average: k.average, Left: k.left}
	m.middle(res)
	k.course, k.heel = m.Course, m.Heel
	if opt.At != nil {
		m.Place = *opt.At
	}
	if opt.Month != 0 {
		m.Date = time.Date(m.Date.Year(), opt.Month, 15, 0, 0, 0, 0, time.UTC)
	}
	if opt.Speed != nil {
		m.YearSpeed = *opt.Speed
	}
	sky, quality := there(m.Place, m.Date)
	m.Air, m.Sea, m.Wind = sky.Air, sky.Sea, sky.WindSpeed
	if opt.At != nil || opt.Month != 0 {
		m.Cloud = sky.Cloud
	}
	for i := 0; float64(i)*speedStep <= topSpeed+1e-9; i++ {
		m.Speeds = append(m.Speeds, units.Knots(math.Round(float64(i)*speedStep*10)/10))
	}
	m.notes(quality)
	return m, k, sky, nil
}

// there returns the climate of a place and date; inland that of the sea nearest.
func there(at track.Position, date time.Time) (climate.Sample, climate.Quality) {
	mean := climate.NewMean(climate.Ocean())
	sky := mean.At(date.Add(12*time.Hour), at)
	return sky, mean.Quality()
}

// middle finds the middle of the passage, by miles, what she does there, and her
// mean speed under way.
func (m *Maps) middle(res *sim.Result) {
	t := res.Trace
	last := len(t.Time) - 1
	miles := make([]float64, last+1)
	hours, run := 0.0, 0.0
	for i := range last {
		h := t.Time[i+1].Sub(t.Time[i]).Hours()
		north := float64(t.Lat[i+1] - t.Lat[i])
		east := math.Remainder(float64(t.Lon[i+1]-t.Lon[i]), 360) * math.Cos(float64(t.Lat[i+1]+t.Lat[i])/2*math.Pi/180)
		miles[i+1] = miles[i] + 60*math.Hypot(north, east)
		if t.Plan[i] > 0 {
			hours += h
			run += float64(t.Plan[i]) * h
		}
	}
	i := 0
	for i < last-1 && miles[i+1] < miles[last]/2 {
		i++
	}
	m.Place = track.Position{Lat: t.Lat[i], Lon: t.Lon[i]}
	m.Date = t.Time[i].Truncate(24 * time.Hour)
	m.Course, m.Heel, m.Speed = t.Heading[i], t.Heel[i], t.Plan[i]
	m.Cloud = t.Cloud[i]
	for _, d := range res.Days { // the mean of that day says more than the moment
		if d.Date.Equal(m.Date) {
			m.Cloud = d.Cloud
		}
	}
	if hours > 0 {
		m.YearSpeed = units.Knots(math.Round(10*run/hours) / 10)
	}
	next := t.Time[0]
	for i, at := range t.Time {
		if i == last || !at.Before(next) {
			m.Passage = append(m.Passage, Step{at, t.Lat[i]})
			next = at.Add(24 * time.Hour)
		}
	}
}

// bySpeed fills the map by speed and cloud.
func (m *Maps) bySpeed(ctx context.Context, k *kit, sky climate.Sample) error {
	for j := range cloudSteps + 1 {
		m.Clouds = append(m.Clouds, units.Fraction(j)/cloudSteps)
	}
	m.BySpeed = make([][]Balance, len(m.Clouds))
	return each(ctx, len(m.Clouds), func(ctx context.Context, j int) error {
		sky := sky
		sky.Cloud = m.Clouds[j]
		row := make([]Balance, len(m.Speeds))
		for i, v := range m.Speeds {
			b, err := k.day(ctx, m.Place, m.Date, v, sky)
			if err != nil {
				return err
			}
			row[i] = b
		}
		m.BySpeed[j] = row
		return nil
	})
}

// each does the rows of a map, as many at once as there are processors.
func each(ctx context.Context, rows int, do func(ctx context.Context, row int) error) error {
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for j := range rows {
		g.Go(func() error { return do(ctx, j) })
	}
	return g.Wait()
}

// answer sails the days that the answer tells of, and finds the break-even.
func (m *Maps) answer(ctx context.Context, k *kit, sky climate.Sample) error {
	at := func(v units.Knots, cloud units.Fraction) (Balance, error) {
		sky.Cloud = cloud
		return k.day(ctx, m.Place, m.Date, v, sky)
	}
	var err error
	if m.Here, err = at(m.Speed, m.Cloud); err != nil {
		return err
	}
	for i, cloud := range []units.Fraction{0, m.Cloud, 1} {
		if m.Still[i], err = at(0, cloud); err != nil {
			return err
		}
	}
	last := m.Still[1].Net()
	before := last >= 0
	for i := 1; i < len(m.Speeds); i++ {
		b, err := at(m.Speeds[i], m.Cloud)
		if err != nil {
			return err
		}
		gains := b.Net() >= 0
		if gains == before {
			last = b.Net()
			continue
		}
		lo, hi, under, over := m.Speeds[i-1], m.Speeds[i], last, b.Net()
		for hi-lo > 0.01 {
			mid := (lo + hi) / 2
			b, err := at(mid, m.Cloud)
			if err != nil {
				return err
			}
			if (b.Net() >= 0) == gains {
				hi, over = mid, b.Net()
			} else {
				lo, under = mid, b.Net()
			}
		}
		m.Even = append(m.Even, Crossing{Speed: hi, Gains: gains, Leaps: math.Abs(float64(over-under)) > 1})
		before, last = gains, b.Net()
	}
	return nil
}

// byYear fills the map by latitude and month. The last date is the first again.
func (m *Maps) byYear(ctx context.Context, k *kit) error {
	m.Year = m.Date.Year()
	first := time.Date(m.Year, 1, 1, 0, 0, 0, 0, time.UTC)
	days := time.Date(m.Year+1, 1, 1, 0, 0, 0, 0, time.UTC).Sub(first).Hours() / 24
	for i := range dateSteps + 1 {
		m.Dates = append(m.Dates, first.AddDate(0, 0, int(math.Round(days*float64(i)/dateSteps))))
	}
	for lat := -farLat; lat <= farLat; lat += latStep {
		m.Latitudes = append(m.Latitudes, units.Degrees(lat))
	}
	m.ByYear = make([][]Balance, len(m.Latitudes))
	m.YearCloud = make([][]units.Fraction, len(m.Latitudes))
	return each(ctx, len(m.Latitudes), func(ctx context.Context, j int) error {
		row := make([]Balance, len(m.Dates))
		cloud := make([]units.Fraction, len(m.Dates))
		place := track.Position{Lat: m.Latitudes[j], Lon: m.Place.Lon}
		for i, date := range m.Dates {
			if i == dateSteps {
				row[i], cloud[i] = row[0], cloud[0]
				break
			}
			sky := around(place.Lat, date.Add(12*time.Hour))
			b, err := k.day(ctx, place, date, m.YearSpeed, sky)
			if err != nil {
				return err
			}
			row[i], cloud[i] = b, sky.Cloud
		}
		m.ByYear[j], m.YearCloud[j] = row, cloud
		return nil
	})
}
