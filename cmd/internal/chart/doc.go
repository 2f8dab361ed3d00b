// Package chart draws the pictures of ampwake: one page, one question for each
// panel, one time axis for all of them.
//
// Every picture is made in two steps. A constructor (NewPassage, NewFan,
// NewWhere) builds a page model: panels, series, labels, ranges. It holds no
// coordinates of paper and is what tests assert on. Drawing then lays the
// model out for the size at hand, first into a list of shapes and texts whose
// rectangles are known, then onto any canvas of gonum/plot.
//
// The axes are our own and not those of plot.Plot: names at the right edge,
// nights, ship's noon, event rows and panels of different height would each be
// a special plotter there, and where a text ends up is only known once drawn.
// Fonts, canvases and colours are gonum/plot's.
//
// What all pictures share: theme.go (colour belongs to a kind of thing),
// labels.go (words that keep out of each other's way), timeaxis.go, nights.go,
// page.go and layout.go (panels on one time axis), scene.go (the list of
// shapes) and write.go (files).
//
// How long passages are shown:
//
//	up to 6 h      ten-minute means, state of charge at every step
//	up to 12 days  hourly means, state of charge at every step
//	up to 45 days  three-hour means, state of charge at every step
//	beyond         daily means, state of charge as daily low and high
//
// Two kinds of pictures have no time axis: Track, a map (mercator.go, coast.go,
// chargeclass.go), and Field, one quantity over two others (isoline.go). Both are
// cut out of rasters by contour.go, and set words about points by spot.go.
//
// Where the data are by the day, night shading and ship's noon are left out:
// they have nothing to explain there and would be hatching.
package chart
