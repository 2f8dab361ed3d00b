package trial

import "ampwake/scenarios"

// priors is what is thought of each factor before a log is read: its logarithm
// is normal about 0, that is, about what the scenario says, with this standard
// deviation. 8 boats in 10 lie within exp(±1.28 times it). All are common
// practice or own judgement, no source.
var priors = [scenarios.Factors]float64{
	scenarios.AlwaysOn:   0.20, // 0.77 to 1.29: plates tell more than the meter
	scenarios.Lights:     0.30,
	scenarios.Radios:     0.30,
	scenarios.OtherLoads: 0.40, // 0.60 to 1.67: people
	scenarios.Panels:     0.30, // 0.68 to 1.47: shade
	scenarios.Generator:  0.30, // weed, the maker's curve
	scenarios.Capacity:   0.15, // 0.83 to 1.21: age
	scenarios.Losses:     0.40,
}

// Prior returns the standard deviation of the logarithm of a factor before any
// log is read.
func Prior(f scenarios.Factor) float64 { return priors[f] }

// What else is not known, standard deviations. Common practice or own judgement,
// no source, unless said otherwise.
const (
	startSpread  = 0.8  // of the logit of the state of charge at the first row: 95 % may be 87 to 98 %
	offsetSpread = 0.04 // V: one error of all voltages, of the meter and of the curve

	// Of a reading by itself.
	readVolts   = 0.03 // V: a hand-held meter, read to 0.01 or 0.02 V
	restedVolts = 0.04 // V: how far the battery has settled
	loadedVolts = 0.06 // V: with a known current
	busVolts    = 0.10 // V: under load, the current not known
	freshVolts  = 0.12 // V: rested, but charged within the hour: surface charge
	heldUp      = 0.05 // V over rest: a charger holds the bus up
	readCounter = 0.5  // Ah
	driftMeter  = 0.03 // of the charge that went through a counter

	// How a day differs from what the log says of it, as a share.
	dayLight  = 0.15 // light, the cloud read several times a day
	dayStream = 0.15 // the generator, the speed read several times a day
	dayUse    = 0.10 // what the crew used
	dayPartly = 3    // times that of the generator when it was down for a part of the time
	dayBlind  = 2.5  // times that on a day without a line in the log
)
