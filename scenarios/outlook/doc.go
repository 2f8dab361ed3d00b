// Package outlook tells what the ocean climate holds for a boat: by month at a
// place (Months), or day by day along a passage (Along). Wind, calms and gales,
// cloud, temperatures, hours of night, sunlight, and what an array of panels makes
// of it.
//
// All of it are averages of the climate in sim/climate, with the doubts that it
// has. The light is that of the mean cloud's expectation, as in a run through the
// climate's mean weather; a month or a passage scatters about it.
package outlook
