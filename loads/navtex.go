package loads

import (
	"fmt"

	"ampwake/loads/timetable"
)

// NAVTEX time sharing: 24 slots of ten minutes in each four hours.
const (
	navtexSlot  = 10 // minutes
	navtexBlock = 240
)

// Navtex returns the six daily windows, UTC, in which the NAVTEX station with
// the given letter A to X may transmit. Letter k (A = 0) starts at 10 k minutes
// after 0000, 0400, 0800, 1200, 1600 and 2000. Some stations use only part of
// their six. A receiver is usually left on day and night, which is a steady
// load and needs none of this.
func Navtex(letter rune) (timetable.List, error) {
	k := int(letter - 'A')
	if k < 0 || k > 'X'-'A' {
		return nil, fmt.Errorf("%q is not the letter of a navtex station: want A to X", letter)
	}
	list := make(timetable.List, 0, 6)
	for block := 0; block < 24*60; block += navtexBlock {
		list = append(list, timetable.Daily(timetable.TimeOfDay(block+k*navtexSlot), navtexSlot, timetable.UTC))
	}
	return list, nil
}
