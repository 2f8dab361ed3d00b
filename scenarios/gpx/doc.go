// Package gpx reads routes, tracks and waypoints from GPX files, version 1.1
// and 1.0.
//
// It takes what a passage needs, places in order with their names, and leaves
// the rest alone. A file with a document type is refused, so that no entity is
// ever unfolded; size and number of points are bounded.
//
// Source of the format: GPX 1.1 schema, topografix.com, 2004.
package gpx
