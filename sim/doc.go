// Package sim is the engine of ampwake: it sails a voyage step by step and
// keeps the books of its electricity.
//
// It knows no solar panel and no radio. Sources and loads come through small
// interfaces; the bank, the sky, the track and the climate live in packages
// below. It prints nothing, reads no file, keeps no global and takes its
// randomness from a seed.
//
// # What is modelled
//
// A boat sails her route in the stretches of her plan, or by a polar in the wind of
// the weather; she stays, heaves to, motors or drifts; what she tows slows her. In
// each step the sources offer power at one bus, the loads ask for power or for
// current, and one bank gives or takes the difference at the voltage that the three
// agree on; what it refuses is spilled. A load with a least voltage is missed when
// its terminals, under its peak current and through its cable, would see less. Sun,
// light, place, speed and weather are those of the middle of the step; loads, rules
// and weather switch at its ends, which are cut to the second. Both ledgers (Books)
// close to rounding.
//
// There is no current, no leeway, no wire between sources and bank but what their
// efficiencies hold, and no crew that tires.
//
// # Sources and defaults
//
// The physics have theirs in the packages below. Here:
//
//   - the longest step of 10 min: own choice. DEVELOPERS.md has a table of what
//     other lengths do; charging ends up to a step late;
//   - beating at 45° to 60° to the true wind, whichever makes good the most: plane
//     geometry; the angles are own choice;
//   - wear by rainflow ranges and Miner's rule (package bank); the warnings of
//     Full, FullEvery, LowCharge and LowFor are common practice, no source;
//   - the interval of a share: Wilson (1927); of a difference between two kits in
//     the same weathers: Newcombe (1998), method 10, and Student (1908).
package sim
