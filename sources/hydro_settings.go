package sources

import (
	"fmt"
	"math"
)

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// check is a requirement on a setting and what to say when it is not met.
type check struct {
	ok      bool
	message string
}

// refuse returns the first check that failed as an error that begins with the
// thing's name, or nil.
func refuse(name string, checks ...check) error {
	for _, c := range checks {
		if !c.ok {
			return fmt.Errorf("%s: %s", name, c.message)
		}
	}
	return nil
}

func positive[T ~float64](x T) bool    { return x > 0 && finite(float64(x)) }
func nonNegative[T ~float64](x T) bool { return x >= 0 && finite(float64(x)) }
