package fax

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
)

// Kilohertz is a frequency, kHz.
type Kilohertz float64

// Offset is what an upper-sideband receiver is set below the published
// frequency, so that white and black fall on 2300 and 1500 Hz.
const Offset Kilohertz = 1.9

// Channel is one frequency of a station.
type Channel struct {
	Call, Station string
	Lat, Lon      string    // approximate, from memory, like "41.7N", "70.5W"
	Assigned      Kilohertz // as published
	Hours         string    // UTC, in words
	Power         string    // kW, "" where not known
	Coverage      string
	Status        string
}

// Dial returns the frequency to set on upper sideband.
func (c Channel) Dial() Kilohertz { return c.Assigned - Offset }

var channelColumns = []string{
	"call", "station", "assigned_khz", "lat_approx", "lon_approx", "usb_dial_khz", "hours_utc",
	"power_kw", "emission", "coverage", "status", "source",
}

// ParseChannels reads a table of frequencies: CSV as for Parse, with the columns
// call, station and assigned_khz at least. The error joins up to 20 problems,
// each with its line.
func ParseChannels(r io.Reader) ([]Channel, error) {
	in, err := newTable(r, channelColumns)
	if err != nil {
		return nil, err
	}
	var list []Channel
	var problems []error
	for len(problems) < maxProblems && len(list) < maxRows {
		err := in.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			problems = append(problems, err)
			if in.broken {
				break
			}
			continue
		}
		f, err := strconv.ParseFloat(in.cell("assigned_khz"), 64)
		if err != nil || !(f > 0) || math.IsInf(f, 0) {
			problems = append(problems, in.at(fmt.Errorf("assigned_khz %q: want kilohertz, like 8503.9", in.cell("assigned_khz"))))
			continue
		}
		list = append(list, Channel{
			Call: in.cell("call"), Station: in.cell("station"), Lat: in.cell("lat_approx"),
			Lon: in.cell("lon_approx"), Assigned: Kilohertz(f), Hours: in.cell("hours_utc"), Power: in.cell("power_kw"),
			Coverage: in.cell("coverage"), Status: in.cell("status"),
		})
	}
	if len(problems) == 0 && len(list) == 0 {
		problems = append(problems, errors.New("stations: no rows"))
	}
	return list, errors.Join(problems...)
}
