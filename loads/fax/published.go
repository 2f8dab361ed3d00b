package fax

import (
	"bytes"
	_ "embed" // the tables beside this file
)

//go:embed schedules.csv
var schedulesCSV []byte

//go:embed stations.csv
var stationsCSV []byte

// Published returns the built-in schedule: 12 stations, 3 of them historic. It
// is read anew at each call.
func Published() *Schedule {
	s, err := Parse(bytes.NewReader(schedulesCSV))
	if err != nil {
		panic("fax: built-in schedule: " + err.Error())
	}
	return s
}

// PublishedChannels returns the built-in table of frequencies.
func PublishedChannels() []Channel {
	c, err := ParseChannels(bytes.NewReader(stationsCSV))
	if err != nil {
		panic("fax: built-in stations: " + err.Error())
	}
	return c
}

// PublishedCSV returns the text of the built-in schedule, for a user who wants
// to change it and bring it back through Parse.
func PublishedCSV() []byte { return bytes.Clone(schedulesCSV) }
