package logbook

import (
	"fmt"
	"strconv"
	"strings"
)

// header is what the line of names tells.
type header struct {
	columns []column
	clock   Clock
	dated   bool // a column of dates stands beside that of times
	notes   []string
}

// specials are the names of the columns that are no quantity.
var specials = map[string]special{
	"date": dateColumn, "day": dateColumn,
	"time": timeColumn, "utc": timeColumn, "clock": timeColumn,
	"position": placeColumn, "place": placeColumn,
	"lat": latColumn, "latitude": latColumn, "lon": lonColumn, "long": lonColumn, "longitude": lonColumn,
	"remark": remarkColumn, "remarks": remarkColumn, "note": remarkColumn, "notes": remarkColumn,
}

// readHeader reads the names. The error tells all that is wrong with them.
func readHeader(cells []string) (*header, []string) {
	h := &header{}
	var wrong []string
	all := quantities()
	seen := map[string]bool{}
	clock := ""
	others := false
	for _, cell := range cells {
		name, unit := split(strings.TrimPrefix(cell, "\ufeff")) // spreadsheets begin with a mark
		c := column{name: name, factor: 1, special: ignored}
		key := name
		if sp, ok := specials[name]; ok {
			c.special = sp
			key = fmt.Sprint("special ", sp)
			switch sp {
			case dateColumn:
				h.dated = true
			case timeColumn:
				clock = unit
				if name == "utc" {
					clock = "utc"
				}
			case placeColumn, latColumn, lonColumn:
				others = true
			}
			if sp == dateColumn && unit != "" && clock == "" {
				clock = unit
			}
		} else if q := find(all, name); q != nil {
			factor, ok := q.unitOf(unit)
			if !ok {
				wrong = append(wrong, fmt.Sprintf("%s: want a unit in brackets, like %q, not %q", q.name, q.name+" ["+example(q)+"]", unit))
			}
			c = column{name: q.name, what: q, factor: factor, oktas: strings.HasPrefix(unit, "okta")}
			key = q.name
			others = true
		} else if name != "" {
			h.notes = append(h.notes, fmt.Sprintf("column %q is not known and was left out", strings.TrimSpace(cell)))
		}
		if c.special != ignored && seen[key] {
			wrong = append(wrong, fmt.Sprintf("a second column of %s", c.name))
		}
		seen[key] = true
		h.columns = append(h.columns, c)
	}
	has := func(sp special) bool { return seen[fmt.Sprint("special ", sp)] }
	switch {
	case !has(timeColumn) && !has(dateColumn):
		wrong = append(wrong, `no column of times: want a header like "time [UTC], position, volts rested [V], cloud [oktas], speed [kn]"`)
	case !others:
		wrong = append(wrong, "no column but the time: want volts, cloud, speed or the like")
	default:
		c, ok := clockNamed(clock)
		if !ok {
			wrong = append(wrong, fmt.Sprintf("%q is no clock: head the column of times with time [UTC], time [ship] or time [UTC-2]", clock))
		}
		h.clock = c
	}
	if has(latColumn) != has(lonColumn) {
		wrong = append(wrong, "a column of lat needs one of lon beside it")
	}
	return h, wrong
}

// example writes the first unit as people do.
func example(q *quantity) string {
	switch u := q.units[0].name; u {
	case "v", "a", "c":
		return strings.ToUpper(u)
	case "ah":
		return "Ah"
	default:
		return u
	}
}

// clockNamed reads "utc", "ship", "ship's time" or "utc-2".
func clockNamed(text string) (Clock, bool) {
	switch strings.ReplaceAll(text, "’", "'") {
	case "utc", "gmt", "z":
		return Clock{}, true
	case "ship", "ship's time", "ship's", "ship time", "local":
		return Clock{Ship: true}, true
	}
	offset, ok := strings.CutPrefix(text, "utc")
	if !ok {
		return Clock{}, false
	}
	hours, err := strconv.Atoi(strings.TrimSpace(strings.ReplaceAll(offset, "−", "-")))
	return Clock{Hours: hours}, err == nil && hours >= -14 && hours <= 14
}
