package climate

import "time"

// midMonth returns the middle of a month in Unix seconds: the instant half way
// between its first moment, UTC, and that of the next month. The monthly values
// of the table hold there: at noon of the 16th in months of 31 days, at the start
// of the 16th in those of 30 and of the 15th in February (noon in leap years).
func midMonth(year int, month time.Month) int64 {
	first := time.Date(year, month, 1, 0, 0, 0, 0, time.UTC).Unix()
	next := time.Date(year, month+1, 1, 0, 0, 0, 0, time.UTC).Unix()
	return first + (next-first)/2
}

// betweenMonths returns the mid-months on either side of a moment, from <= unix
// < to, and the month of the first, 0 for January.
func betweenMonths(unix int64) (month int, from, to int64) {
	year, m, _ := time.Unix(unix, 0).UTC().Date()
	mid := midMonth(year, m)
	if unix < mid {
		year, m, _ = time.Date(year, m-1, 1, 0, 0, 0, 0, time.UTC).Date()
		return int(m) - 1, midMonth(year, m), mid
	}
	return int(m) - 1, mid, midMonth(year, m+1)
}
