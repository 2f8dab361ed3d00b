package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// value is a number for the script, written with two places; NaN is null.
type value float64

// MarshalJSON writes the number.
func (v value) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, short(float64(v)), 'f', -1, 64), nil
}

// short rounds to two places; there is no -0.
func short(x float64) float64 { return math.Round(x*100)/100 + 0 }

func values(v []float64) []value {
	out := make([]value, len(v))
	for i, x := range v {
		out[i] = value(x)
	}
	return out
}

// number prints x with so many places and a true minus sign. What rounds to
// zero has no sign.
func number[Q ~float64](x Q, places int) string {
	s := strconv.FormatFloat(float64(x), 'f', places, 64)
	if rest, negative := strings.CutPrefix(s, "-"); negative {
		if strings.Trim(rest, "0.") == "" {
			return rest
		}
		return "−" + rest
	}
	return s
}

// percent prints a share as the reports do.
func percent[Q ~float64](x Q) string { return fmt.Sprintf("%.0f", 100*float64(x)) }
