// Package trial learns from a log what the plan got wrong, and carries what it
// learnt to the rest of the voyage.
//
// The boat of a scenario is sailed through the weather, at the speeds and with
// the decisions of the log (Logged). A few factors on what the scenario says
// (scenarios.Factor) are then moved until the voltages and the charge counted
// agree with what was read (Fit): the most likely values given priors, and their
// spread. A File keeps them; Vary draws the boat of each weather of the odds from
// that spread. Ahead is the rest of the voyage from where the log ends.
//
// # What is uncertain
//
// Priors are normal in the logarithm of each factor; see priors. Beside the
// factors the fit moves the state of charge at the first line and one error that
// all voltages share. A reading differs from the model by the noise of a
// hand-held voltmeter and by what one knows of the battery's curve (see priors.go);
// and what happened on a day differs from what the log says of it, at random from
// day to day (see dayLight and its like). The latter is what makes two readings
// of the same day say little more than one.
//
// The spread is that of the normal distribution with the curvature at the most
// likely point (Laplace's approximation), checked on both sides of each factor
// (see solver.bend) and widened by what synthetic trials showed to be missing (see
// widening).
package trial
