package hull

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"

	"ampwake/sim/units"
)

//go:embed boat_speed_illustrative.csv
var illustrative string

// IllustrativePolar returns the polar of a heavy cruising yacht of 10 to 11 m:
// invented numbers (common practice, no source), in smooth water with an
// attentive crew. On passage take it times PassageFactor.
func IllustrativePolar() *Polar {
	p, err := ParsePolar(illustrative)
	if err != nil {
		panic("hull: the embedded polar: " + err.Error())
	}
	return p
}

// ParsePolar reads a polar from lines of numbers split by commas, semicolons or
// tabs. The first line names the table: its first cell begins with tws if each
// line is for a wind, or with twa if each line is for an angle, and the other
// cells are the angles or winds, bare or like twa_45. Each further line begins
// with its wind or angle. Lines that are empty or begin with # are left out.
//
// The error names the line, or is that of NewPolar.
func ParsePolar(text string) (*Polar, error) {
	var head []float64  // winds or angles of the columns
	var first []float64 // of the lines
	var cells [][]float64
	var by string // what each line is for, tws or twa
	for n, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		fields := strings.Split(strings.NewReplacer(";", ",", "\t", ",").Replace(line), ",")
		title := by == ""
		if title {
			name := strings.ToLower(strings.TrimSpace(fields[0]))
			switch {
			case strings.HasPrefix(name, "tws"), strings.HasPrefix(name, "twa"):
				by = name[:3]
			default:
				return nil, fmt.Errorf("polar line %d begins with %q: want tws or twa and a list of angles or winds", n+1, name)
			}
			fields[0] = "0"
		}
		numbers := make([]float64, len(fields))
		for i, f := range fields {
			f = strings.TrimSpace(f)
			if title && i > 0 {
				f = strings.TrimPrefix(strings.TrimPrefix(strings.ToLower(f), "twa_"), "tws_")
			}
			x, err := strconv.ParseFloat(f, 64)
			if err != nil {
				return nil, fmt.Errorf("polar line %d: %q is not a number", n+1, f)
			}
			numbers[i] = x
		}
		if title {
			head = numbers[1:]
			continue
		}
		if len(numbers) != len(head)+1 {
			return nil, fmt.Errorf("polar line %d has %d numbers, the first line has %d", n+1, len(numbers), len(head)+1)
		}
		first, cells = append(first, numbers[0]), append(cells, numbers[1:])
	}
	if by == "twa" { // turn it over
		over := make([][]float64, len(head))
		for i := range over {
			for j := range cells {
				over[i] = append(over[i], cells[j][i])
			}
		}
		head, first, cells = first, head, over
	}
	speeds := make([][]units.Knots, len(cells))
	for i := range cells {
		speeds[i] = typed[units.Knots](cells[i])
	}
	return NewPolar(typed[units.Knots](first), typed[units.Degrees](head), speeds)
}

func typed[T ~float64](list []float64) []T {
	out := make([]T, len(list))
	for i, x := range list {
		out[i] = T(x)
	}
	return out
}
