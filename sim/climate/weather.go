package climate

import (
	"time"

	"ampwake/sim/track"
)

// Weather tells the weather along the passage. It may carry state: it belongs
// to one voyage and is asked with time never going back.
type Weather interface {
	// At returns the weather at a place and moment.
	At(t time.Time, place track.Position) Sample
	// Edge returns the first instant strictly after t at which the weather
	// jumps, or the zero time if it never does.
	Edge(t time.Time) time.Time
}

// Fixed is one weather for the whole voyage. Its Through must be set: by
// [Through] if the sky is to look the same all the time, or by setting Average.
type Fixed struct {
	Sample Sample
	// Average says that the cloud is an average of a changing sky: Through is
	// then the expectation at the boat's latitude, and that of Sample is not
	// used.
	Average bool
}

// At returns the fixed weather.
func (f Fixed) At(_ time.Time, place track.Position) Sample {
	s := f.Sample
	if f.Average {
		s.Through = throughOf(float64(s.Cloud), float64(place.Lat), true)
	}
	return s
}

// Edge returns the zero time: nothing jumps.
func (Fixed) Edge(time.Time) time.Time { return time.Time{} }
