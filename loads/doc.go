// Package loads holds what uses electricity on board: one file per kind, all
// satisfying sim.Load.
//
//	steady.go     on all the time, or some hours a day spread evenly
//	night.go      on while the sun is down
//	scheduled.go  on in windows of a clock
//	cycling.go    switched on and off in turn, like a compressor
//	radio.go      a two-way radio: listening, standby, scheds
//	weatherfax.go a receiver for weather charts
//	any.go        several of these in one: on when one of them is
//
// A plain load is described by a Spec and made by New, which picks the kind
// from the words of its When. The radio and the weather fax have descriptions
// of their own.
//
// Sources: a lamp burns from sunset to sunrise by COLREGS Rule 20(b), with the sun
// at -0.8333° as the almanac offices define it; its intensity is that of COLREGS
// 1972 Annex I section 8 (see Intensity); the windows of NAVTEX are as published by
// a maker (see Navtex); weather charts come at the stations' published times (see
// package fax). Defaults: the mean current of speech is half of that at the peak,
// common practice, no source; a radio is judged by the voltage at its terminals
// under its peak current, through its cable, by package bank.
//
// All loads are immutable and may be shared between goroutines; Draw and Edge
// do not allocate.
package loads
