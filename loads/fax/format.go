package fax

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ampwake/sim/units"
)

// Format is how a picture is scanned. The zero value is "no picture".
type Format struct {
	Lines int // a minute: 60, 90 or 120
	// Index of co-operation, 288 or 576: the length of a line in picture
	// elements over pi.
	Index int
}

// usual is the format of almost all marine weather charts.
var usual = Format{Lines: 120, Index: 576}

// Overhead is the part of a slot without picture: start tone 5 s, phasing 30 s,
// stop tone and black 15 s.
const Overhead units.Hours = 50.0 / 3600

// parseFormat reads "120/576".
func parseFormat(s string) (Format, error) {
	lpm, ioc, _ := strings.Cut(s, "/")
	l, err1 := strconv.Atoi(lpm)
	i, err2 := strconv.Atoi(ioc)
	if err1 != nil || err2 != nil || l < 1 || l > 1000 || i < 1 || i > 10000 {
		return Format{}, fmt.Errorf("%q is no format: want lines a minute and index of co-operation, like 120/576", s)
	}
	return Format{l, i}, nil
}

// Elements returns the length of a line in square picture elements, pi x index.
func (f Format) Elements() float64 { return math.Pi * float64(f.Index) }

// Square returns how long a picture as high as it is wide takes: pi x index
// lines. It is NaN for the zero format.
func (f Format) Square() units.Hours { return units.Hours(f.Elements() / float64(f.Lines) / 60) }

// Rows returns the lines of picture that a slot carries when the time without
// picture is taken off, 0 for a slot too short for any.
func (f Format) Rows(slot, overhead units.Hours) int {
	return int(max(0, math.Round(float64(slot-overhead)*60*float64(f.Lines))))
}
