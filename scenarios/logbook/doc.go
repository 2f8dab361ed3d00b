// Package logbook reads the log that a person keeps by hand at sea: lines of
// values under a header that names each column and its unit in brackets.
//
//	date, time [ship], position, volts rested [V], cloud [oktas], speed [kn], generator [h], remark
//	2027-01-10, 12:00, 16°40'N 25°10'W, 12.62, 3, 5.1, 2.5, all well
//	2027-01-10, 20:00, , 12.58, 4, 5.4, 8,
//
// Columns may stand in any order, and only the time and one more are needed:
//
//	time [UTC]             or time [ship], time [UTC-2]; with or without a column date.
//	                       An empty date is that of the line above
//	position               or lat and lon
//	run [nm]               miles since the line with the run before: the noon run
//	volts rested [V]       of the bank, nothing flowing for a while
//	volts under load [V]   with what is on; load [A], if known, is its current
//	counter [Ah]           of a meter: 0 full, minus when charge is drawn
//	cloud [oktas]          or [%]
//	speed [kn]             through the water, the mean since the line before
//	generator [h]          hours that it was down since the line before
//	engine [h]             hours that it ran since the line before
//	air [C], sea [C]
//	remark
//
// Commas, semicolons or tabs stand between the columns; with the latter two a
// decimal comma is read as well. Lines that begin with # and empty lines are
// skipped. Cells may be empty: gaps are normal.
//
// What cannot be used is left out and named with its line and the reason, never
// silently: a cell alone if the rest of its line is sound. Read only fails when
// there is nothing to go by.
package logbook
