package outlook

import (
	"fmt"
	"math"
	"time"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// year is the one whose sun is taken: any year without a leap day would do, they
// differ by less than 0.1 % in a month's light.
const year = 2027

// Month is a month at a place.
type Month struct {
	Month time.Month
	Means
	sums sums
}

// Year is the twelve months at a place.
type Year struct {
	Place track.Position
	Panel Panel
	// Ashore says that the square of 1° around the place is mostly land: the
	// climate is that of the sea beside it.
	Ashore bool
	Months [12]Month
	Mean   Means // of the year
}

// Months returns what the climate holds at a place in each month, and what the
// panel makes of it at BusVolts. Wind, cloud and temperatures are those of the
// table for the month (in the middle of it), the light is the mean of all days of
// the month under that cloud. The panel is reckoned through the skies that make up
// the cloud, so that a tilt gains what it does in a changing sky.
//
// The error wraps climate.ErrInland where no sea is near, or says what is wrong
// with the panel.
func Months(place track.Position, p Panel) (*Year, error) {
	a, err := p.array()
	if err != nil {
		return nil, err
	}
	y := &Year{Place: place, Panel: p, Ashore: climate.Land(place)}
	var all sums
	for i := range y.Months {
		s, err := monthly(place, time.Month(i+1), &a)
		if err != nil {
			return nil, err
		}
		all.add(s)
		y.Months[i] = Month{Month: time.Month(i + 1), Means: s.means(), sums: *s}
	}
	y.Mean = all.means()
	return y, nil
}

// at returns the climate of a month at a place, as a cell and as a weather.
func at(place track.Position, m time.Month) (climate.Cell, climate.Sample, error) {
	first, next := span(m)
	mid := first.Add(next.Sub(first) / 2)
	cell, err := climate.Ocean().At(mid, place)
	if err != nil || inland(place) {
		return cell, climate.Sample{}, fmt.Errorf("%v: %w", place, climate.ErrInland)
	}
	return cell, climate.NewMean(climate.Ocean()).At(mid, place), nil
}

// inland reports whether all squares of 1° within 2° of latitude, 120 miles, of a
// place are land. The climate's cells reach further ashore than that.
func inland(place track.Position) bool {
	wide := 2 / max(0.1, math.Cos(float64(place.Lat)*math.Pi/180))
	for n := -2.0; n <= 2; n++ {
		for e := -math.Ceil(wide); e <= wide; e++ {
			lat := max(-90, min(90, float64(place.Lat)+n))
			near := track.Position{Lat: units.Degrees(lat), Lon: place.Lon + units.Degrees(e)}
			if !climate.Land(near) {
				return false
			}
		}
	}
	return true
}

// span returns the first moment of a month, UTC, and of the next.
func span(m time.Month) (first, next time.Time) {
	return time.Date(year, m, 1, 0, 0, 0, 0, time.UTC), time.Date(year, m+1, 1, 0, 0, 0, 0, time.UTC)
}

// sunny returns the span of a month by the mean sun of a place.
func sunny(m time.Month, place track.Position) (first, next time.Time) {
	first, next = span(m)
	late := time.Duration(-float64(place.Lon) / 15 * float64(time.Hour))
	return first.Add(late), next.Add(late)
}

// monthly sums one month.
func monthly(place track.Position, m time.Month, a *array) (*sums, error) {
	cell, weather, err := at(place, m)
	if err != nil {
		return nil, err
	}
	first, next := span(m)
	var s sums
	s.weather(&cell, next.Sub(first).Hours())
	s.scatter()
	for day := first; day.Before(next); day = day.AddDate(0, 0, 1) {
		s.night += night(day, place)
	}
	var model sky.Model
	skies := skiesOf(&weather, place.Lat)
	first, next = sunny(m, place)
	daylight(first, next, place, weather, &model, func(c *sim.Conditions, clear float64) {
		h := float64(c.Length)
		s.clear += clear * h
		s.expected += float64(c.Light.Global) * h
		s.array += a.offer(c, &model, &skies) * h / float64(BusVolts)
	})
	return &s, nil
}

// night returns the hours of a day from sunset to sunrise at the declination of
// local noon: J. Meeus, Astronomical Algorithms, 2nd ed. (1998), eq. 15.1.
func night(day time.Time, place track.Position) float64 {
	const rad = math.Pi / 180
	δ := float64(sky.TermsAt(sky.LocalNoon(day, place.Lon)).Declination) * rad
	sinφ, cosφ := math.Sincos(float64(place.Lat) * rad)
	sinh := math.Sin(float64(sky.Limb) * rad)
	cosH := (sinh - float64(sinφ*math.Sin(δ))) / max(1e-12, cosφ*math.Cos(δ))
	return 24 - 24*math.Acos(max(-1, min(1, cosH)))/math.Pi
}

// north returns whether the sun stands north of a place at noon in the middle of
// a month.
func north(place track.Position, m time.Month) bool {
	return float64(place.Lat) < float64(sky.TermsAt(time.Date(year, m, 16, 0, 0, 0, 0, time.UTC)).Declination)
}
