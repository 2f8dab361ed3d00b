// Package sim is the engine of ampwake: it sails a voyage step by step and
// keeps the books of its electricity.
//
// It knows no solar panel and no radio. Sources and loads come through small
// interfaces; the bank, the sky, the track and the climate live in packages
// below. It prints nothing, reads no file, keeps no global and takes its
// randomness from a seed.
package sim
