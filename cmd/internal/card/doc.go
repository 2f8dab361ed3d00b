// Package card works out what stands on the printed card of a passage: for each
// ocean zone what is normal there, what to do when it is not, and the tables that
// tell how long the bank lasts.
//
// A Card is numbers and sentences without a place on paper; package paper draws
// it. The numbers have two origins:
//
//   - what is normal comes from the voyage itself, sailed through many weathers
//     (sail.go): the budget by zone, when she enters and leaves it, and the band of
//     the state of charge at ship's noon;
//   - what-if comes from direct simulation of a boat that stands in the middle of
//     the zone (still.go): steady speed, mean weather, the sun of that date. Days
//     left, hours of generator and of engine are read off such voyages.
package card
