package sources

import (
	"ampwake/sim"
	"ampwake/sim/units"
)

// StateRule is the sim.Rule that has a source in use in given states of the
// boat and in no other.
type StateRule struct{ states sim.States }

// OnlyIn returns the rule for the given states; the empty set stands for all.
func OnlyIn(states sim.States) *StateRule { return &StateRule{states} }

// Decide implements sim.Rule.
func (r *StateRule) Decide(c *sim.Conditions, _ bool, _ units.Hours) (use bool, why string) {
	if r.states.In(c.State) {
		return true, "the boat allows it now"
	}
	return false, "the boat does not allow it now"
}
