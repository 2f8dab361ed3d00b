// Package timetable tells when a load is due: times of day on the two clocks
// of the boat, dates, weekdays, and the short text in which a skipper writes
// them ("19:00-21:00 ship's time", "dusk to dawn", "every 3 days 12:00-13:00
// UTC").
//
// Windows are half open, [from, to), are read on the clock named at the moment
// asked, and belong to the day on which they start. When the ship's zone
// changes inside a window on ship's time, that window is cut or lengthened by
// the hour: the clock at the bulkhead is what the crew goes by.
//
// Seconds are whole. The clocks in sim.Clock are floored to the second and all
// boundaries fall on whole seconds, so flooring never moves a moment across
// one.
package timetable
