package sim_test

import (
	"fmt"

	"ampwake/sim"
)

// Eleven banks and three panels are 33 kits. With a rule that says which are
// enough, the lightest of them is found by asking of five.
func ExampleBox_Smallest() {
	box := sim.Box{Axes: []sim.Axis{{Len: 11, Rises: true}, {Len: 3, Rises: true}}}
	for kit := range box.Len() {
		at := box.Point(kit)
		box.Cost = append(box.Cost, float64(14*at[0]+9*at[1])) // kg
	}
	asked := 0
	best, _ := box.Smallest(func(kit int) (bool, error) {
		asked++
		at := box.Point(kit)
		return at[0]+2*at[1] >= 6, nil
	})
	fmt.Println(box.Point(best), box.Cost[best], "kg, of", asked, "asked; at most", box.Bound())
	// Output: [2 2] 46 kg, of 5 asked; at most 13
}
