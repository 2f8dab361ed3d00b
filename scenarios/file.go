// Package scenarios reads a scenario file, checks it, and assembles the voyage
// that it describes. It also holds the built-in scenarios.
//
// The structs below are the one place where a key of the file is written down:
// their tags say its name, its default and where that comes from, its range and
// what it means, and yield the JSON Schema and the reference in the docs.
package scenarios

import (
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// File is a scenario as written.
type File struct {
	Title    string      `key:"title,required" doc:"what the passage is called in reports"`
	Question string      `key:"question" doc:"the question that the scenario answers, in one sentence"`
	Voyage   Voyage      `key:"voyage,required" doc:"when, where and how fast"`
	Weather  Weather     `key:"weather" doc:"cloud, wind and temperatures"`
	Boat     *Boat       `key:"boat" doc:"the hull and how she sails"`
	Bank     Bank        `key:"bank,required" doc:"the house batteries"`
	Sources  Sources     `key:"sources" doc:"what makes electricity"`
	Loads    []Load      `key:"loads" doc:"what uses electricity"`
	Faults   []FaultText `key:"faults,one" doc:"what goes wrong under way" example:"rail panel: lost, day 12"`
	Goals    Goals       `key:"goals" doc:"what the voyage wants of its electricity"`
	Trial    Trial       `key:"trial" doc:"what a trial sail found: factors on what the rest of the file says"`
	Variants []Variant   `key:"variants" doc:"other settings to try, each changing the file in a few places"`
	Model    Model       `key:"model" doc:"choices of the calculation; leave them alone unless you know better"`
}

// Voyage is when, where and how fast.
type Voyage struct {
	Depart Instant     `key:"depart,required" doc:"when the lines are let go" example:"2027-01-10 09:00 UTC"`
	Route  Route       `key:"route,required" doc:"the waypoints in order, two at least; or a GPX file that holds them"`
	Pace   []Pace      `key:"pace,required" doc:"how she sails, stretch by stretch; the last stretch lasts to the end"`
	Zones  []Zone      `key:"zones" doc:"the ocean zones of the passage in order, for the odds and the card; the legs if absent"`
	For    units.Hours `key:"for" doc:"end the voyage after this time even if she has not arrived" min:"1 h" max:"400 d" example:"30 d"`
}

// Zone is a part of the ocean that the crew thinks of as one.
type Zone struct {
	Name  string `key:"name,required" doc:"what it is called" example:"north-east trades"`
	Until Until  `key:"until" doc:"ends at this waypoint, or on first reaching this latitude; the last one lasts to the end" example:"5°N"`
}

// Route is the waypoints, written out or taken from a GPX file.
type Route struct {
	Points []Waypoint `key:",list" doc:"the waypoints in order, two at least"`
	GPX    string     `key:"gpx" doc:"a GPX 1.1 file beside this one: its first route, else its first track, else its waypoints" example:"crossing.gpx"`
	Named  string     `key:"named" doc:"the route or track of this name in the GPX file"`
	By     *Line      `key:"by" doc:"the line sailed to each place of the GPX file; what the file says of it if absent, else a great circle" status:"own choice" example:"rhumb line"`
}

// Waypoint is a place on the route.
type Waypoint struct {
	Name string         `key:"name,required" doc:"what the place is called"`
	At   track.Position `key:"at,required" doc:"where it is" example:"16°53.0'N 025°00.0'W"`
	By   Line           `key:"by" doc:"the line sailed to it from the one before" default:"great circle" status:"own choice"`
	Stay *Stay          `key:"stay" doc:"how long she stays there, and how" example:"5 d at anchor"`
}

// Pace is one stretch of the passage, sailed in one manner.
type Pace struct {
	Until Until       `key:"until" doc:"ends at this waypoint, or on first reaching this latitude" example:"equator crossing"`
	For   units.Hours `key:"for" doc:"ends after this time" min:"10 min" max:"400 d" example:"7 d"`
	By    *Instant    `key:"to date" doc:"ends at this moment" example:"2027-02-01 00:00 UTC"`
	State *BoatState  `key:"state" doc:"what she does" default:"under sail" status:"own choice"`
	Speed PaceSpeed   `key:"speed,required" doc:"through the water, before the drag of a generator; or by wind, with the boat's polar" example:"5.2 kn"`
	Heel  Heel        `key:"heel" doc:"mean heel" default:"0°" status:"changes nothing" example:"12° to port"`
	Note  string      `key:"note" doc:"a remark"`

	HeaveTo    *units.Knots `key:"heave to above" doc:"by wind only: true wind from which she heaves to" min:"15 kn" max:"100 kn" example:"40 kn"`
	HoveTo     units.Knots  `key:"hove-to speed" doc:"by wind only: what she makes along the route then" default:"1.5 kn" status:"common practice, no source (1 to 3 kn)" min:"0 kn" max:"4 kn"`
	MotorBelow *units.Knots `key:"motor below" doc:"by wind only: boat speed under which she motors while there is fuel" min:"0 kn" max:"8 kn" example:"2 kn"`
	MotorAt    units.Knots  `key:"motor at" doc:"by wind only: speed under engine" default:"4.5 kn" status:"common practice, no source" min:"1 kn" max:"12 kn"`
	DriftBelow units.Knots  `key:"drift below" doc:"by wind only: boat speed under which she counts as drifting" default:"1 kn" status:"own choice" min:"0 kn" max:"5 kn"`
}

// Weather is what the sky and the sea are like.
type Weather struct {
	From   WeatherFrom `key:"from,scalar" doc:"where what is not given below comes from: this file alone, or the ocean climate of the place and month" default:"file" status:"own choice"`
	Record string      `key:"record" doc:"a CSV log of weather to sail through: time, cloud, wind speed, wind from, air, sea" example:"crossing.csv"`
	Cloud  Cloud       `key:"cloud" doc:"cloud amount: one value, or a table; half the sky if absent" status:"own choice" example:"4 oktas"`
	Air    Temperature `key:"air" doc:"air temperature; 20 °C if absent" status:"own choice" example:"24 °C"`
	Sea    Temperature `key:"sea" doc:"sea temperature; the bank lies low in the hull and takes it; 18 °C if absent" status:"own choice" example:"22 °C"`
	Wind   *Wind       `key:"wind" doc:"steady true wind"`
	Spells []Spell     `key:"spells" doc:"scripted calms and gales laid over the rest"`
}

// Wind is a steady true wind.
type Wind struct {
	Speed units.Knots   `key:"speed,required" doc:"true wind speed" min:"0 kn" max:"80 kn"`
	From  units.Degrees `key:"from,required" doc:"true direction it blows from" min:"0°" max:"360°"`
}

// Cloud is a cloud amount, or how it changes.
type Cloud struct {
	Amount  *CloudAmount  `key:"amount,scalar" doc:"one cloud amount throughout" example:"3 oktas"`
	Every   units.Hours   `key:"every" doc:"length of the blocks of a table without dates" min:"10 min" max:"30 d" example:"6 h"`
	Values  []CloudAmount `key:"values" doc:"the cloud of each block from departure on; the last one stays"`
	Table   []CloudRow    `key:"table" doc:"dated values, each holding until the next"`
	Average *bool         `key:"average" doc:"whether the values are means of a changing sky (less light comes through a mean than through a steady sky of that cloud); yes if absent, except for blocks of up to 12 h" status:"own choice"`
}

// CloudRow is a dated cloud amount.
type CloudRow struct {
	From  Instant     `key:"from,required,row" doc:"from when"`
	Cloud CloudAmount `key:"cloud,required,row" doc:"how much"`
}

// Temperature is one temperature, or points to draw a line through.
type Temperature struct {
	Value  *units.Celsius     `key:"value,scalar" doc:"one temperature throughout" min:"-30 °C" max:"50 °C"`
	Points []TemperaturePoint `key:"points" doc:"points by time since departure, straight lines between"`
}

// TemperaturePoint is a temperature some time after departure.
type TemperaturePoint struct {
	After units.Hours   `key:"after,required,row" doc:"time since departure" min:"0 h" max:"400 d"`
	Value units.Celsius `key:"value,required,row" doc:"temperature then" min:"-30 °C" max:"50 °C"`
}

// Spell is a scripted calm or gale.
type Spell struct {
	Kind   SpellKind    `key:"kind,required" doc:"a calm (up to 3 kn) or a gale (34 to 47 kn)"`
	For    units.Hours  `key:"for,required" doc:"how long it lasts" min:"1 h" max:"60 d" example:"7 d"`
	Begins SpellStart   `key:"begins,required" doc:"a moment, or the first hour north of, south of or crossing a latitude" example:"north of 5°N"`
	Cloud  *CloudAmount `key:"cloud" doc:"the cloud meanwhile; left as it is if absent" example:"7 oktas"`
}

// Boat is the hull and how she sails.
type Boat struct {
	Resistance []ResistancePoint `key:"resistance" doc:"resistance in flat water by speed, for what the drag of a generator costs"`
	Polar      *Polar            `key:"polar" doc:"speed by the wind; an illustrative heavy ten-metre yacht if absent" status:"own choice (illustrative)"`
	Passage    units.Fraction    `key:"passage factor" doc:"share of the polar's speed that the crew makes good day and night" default:"88 %" status:"common practice, no source" min:"30 %" max:"120 %"`
	Factor     float64           `key:"roughness" doc:"times the resistance for waves, heel and a foul bottom" default:"1.5" status:"common practice, no source (1.3 to 1.6)" min:"1" max:"3"`
}

// Polar is a table of boat speed: a row for each wind, a column for each angle.
type Polar struct {
	Angles []units.Degrees `key:"angles,required" doc:"true wind angles from the bow" min:"0°" max:"180°"`
	Rows   []PolarRow      `key:"rows,required" doc:"for each true wind speed, the boat speeds at those angles"`
}

// PolarRow is the boat speeds in one true wind.
type PolarRow struct {
	Wind   units.Knots   `key:"wind,required" doc:"true wind speed" min:"0 kn" max:"80 kn"`
	Speeds []units.Knots `key:"speeds,required" doc:"one for each angle" min:"0 kn" max:"25 kn"`
}

// ResistancePoint is the resistance at one speed.
type ResistancePoint struct {
	Speed units.Knots   `key:"speed,required,row" doc:"through the water" min:"0.1 kn" max:"20 kn"`
	Force units.Newtons `key:"force,required,row" doc:"against the boat" min:"0.1 N" max:"100 kN"`
}

// Goals is what the voyage wants of its electricity.
type Goals struct {
	Keep  []string        `key:"keep" doc:"names of loads of which no slot may be missed"`
	Above *units.Fraction `key:"stay above" doc:"state of charge that must never be passed downward" min:"0 %" max:"95 %" example:"50 %"`
}

// Variant is the file with some values changed.
type Variant struct {
	Name string            `key:"name,required" doc:"what it is called"`
	Set  map[string]string `key:"set" doc:"the values that differ, by their path; none for the file as it stands" example:"{bank.capacity: 115 Ah}"`
}
