// Package trackfile writes the projected track of a voyage in open formats, for
// plotters and maps: GPX 1.1 and GeoJSON (RFC 7946).
//
// Both hold the planned route, the track as the engine sailed it, thinned to a
// point an hour or so, and the noons of the ship's clock with the state of
// charge. Longitudes are west negative; the date line is handled in the way of
// each format. The files carry no clock of their own: the same voyage gives the
// same bytes.
package trackfile
