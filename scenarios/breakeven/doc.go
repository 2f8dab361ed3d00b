// Package breakeven tells where a boat's kit lives and where it starves: what a
// day makes less what it uses, against boat speed and cloud at one place, and
// against latitude and month at one speed.
//
// Each value is a whole day of the engine: 24 hours from midnight, ship's time,
// with the scenario's own sources, loads, rules and hull, standing at a place
// with her bow on one course, at one speed through the water (planned, before the
// drag of a generator), under one cloud. Under a knot (own choice)
// she counts as drifting.
//
// What is made counts in full, as if the bank took all of it: the day is sailed
// with a bank of the scenario's kind made so large that it stays at 70 % of
// charge and nothing is spilled. Ah are energy over the bus voltage, as in the
// ledgers of a voyage; that of a small bank in hard use differs by a few per
// cent, least where the balance is near nought. What charging loses in the bank
// is not counted and told beside it. The engine and the shore charger are left
// out: the question is whether she lives without them.
//
// Air, sea and wind are the ocean climate's means of the place and the month.
// Cloud is a mean of a changing sky, as in a scenario's file, so that a day of
// none or of eight oktas is one of nearly none and nearly eight. By latitude and
// month the climate is its mean around the globe, over the sea.
package breakeven
