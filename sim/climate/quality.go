package climate

// Quality says how well the climate is known where it was asked: the zero value
// is open ocean with observations.
type Quality uint8

// The doubts about a climate. A part counts as filled where a quarter or more of
// the interpolated value rests on cells and months without observations of it.
const (
	FilledWind  Quality = 1 << iota // mean wind speed carried over from the neighbours
	FilledCloud                     // cloud carried over from the nearest ocean
	FilledAir                       // sea-air difference carried over
	FilledSea                       // sea temperature carried over
	Sparse                          // south of 46°S: smoothed from few observations
	Beyond                          // poleward of the table (66°S..70°N): its last row was used
	Inland                          // no sea there: the climate of the nearest sea was used
)

// qualityNotes has the words of each doubt, in the order of its bits.
var qualityNotes = [...]string{
	"no wind was observed here: the mean wind speed is carried over from the neighbouring sea",
	"no cloud was observed here (some coasts, enclosed seas, ice edges): it is carried over from the nearest ocean, " +
		"and far too cloudy for a Mediterranean summer",
	"no air temperature was observed here: it is the sea's plus a difference carried over from the neighbouring sea",
	"no sea temperature was observed here: it is carried over from the neighbouring sea",
	"the climate south of 46°S is smoothed from few observations: expect 25 % in the steadiness of the wind",
	"the climate ends at 66°S and 70°N: that of the last row was used beyond",
	"no climate inland: that of the nearest sea was used",
}

// Notes returns a sentence for each doubt, for a report; none if there is none.
func (q Quality) Notes() []string {
	var notes []string
	for bit, words := range qualityNotes {
		if q&(1<<bit) != 0 {
			notes = append(notes, words)
		}
	}
	return notes
}
