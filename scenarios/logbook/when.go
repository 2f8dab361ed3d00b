package logbook

import (
	"fmt"
	"strings"
	"time"
)

var (
	dates  = []string{"2006-01-02", "2 Jan 2006", "2 January 2006", "2-Jan-2006"}
	clocks = []string{"15:04", "15:04:05", "1504", "15.04"}
)

// when reads the time of a row from its cells: a date and a clock in one or in
// two columns. last is the date of the row above, which an empty date stands
// for. zulu tells that the cell says UTC itself.
func when(date, clock string, dated bool, last time.Time) (t time.Time, zulu bool, err error) {
	clock = strings.TrimSpace(clock)
	if rest, ok := strings.CutSuffix(clock, "UTC"); ok {
		clock, zulu = strings.TrimSpace(rest), true
	} else if rest, ok := strings.CutSuffix(clock, "Z"); ok {
		clock, zulu = rest, true
	}
	if !dated {
		day, at, ok := strings.Cut(clock, "T")
		if !ok {
			cut := strings.LastIndexByte(clock, ' ')
			if cut < 0 {
				return t, zulu, fmt.Errorf("%q is no time: want one like 2027-01-10 12:00", clock)
			}
			day, at = clock[:cut], clock[cut+1:]
		}
		date, clock = day, at
	}
	date = strings.Join(strings.Fields(date), " ")
	var day time.Time
	if date == "" {
		if last.IsZero() {
			return t, zulu, fmt.Errorf("no date, and none above it")
		}
		day = last
	} else if day, err = parsed(date, dates); err != nil {
		return t, zulu, fmt.Errorf("%q is no date: want one like 2027-01-10 or 10 Jan 2027", date)
	}
	at, err := parsed(clock, clocks)
	if err != nil {
		return t, zulu, fmt.Errorf("%q is no time of day: want one like 12:00", clock)
	}
	if day.Year() < 1971 || day.Year() > 2100 {
		return t, zulu, fmt.Errorf("the year %d is outside 1971 to 2100", day.Year())
	}
	h, m, s := at.Clock()
	return time.Date(day.Year(), day.Month(), day.Day(), h, m, s, 0, time.UTC), zulu, nil
}

func parsed(text string, layouts []string) (t time.Time, err error) {
	for _, layout := range layouts {
		if t, err = time.Parse(layout, text); err == nil {
			return t, nil
		}
	}
	return t, err
}
