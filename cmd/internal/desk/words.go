package desk

import (
	"fmt"
	"math"
	"strings"

	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/sim"
)

// unlike tells what keeps two kits from having the same weather.
func unlike(ours, other *scenarios.Scenario) []string {
	a, b := ours.Voyage(), other.Voyage()
	switch {
	case !a.Depart.Equal(b.Depart):
		return []string{"They depart at different times: more differs than the kit."}
	case a.Route.Length() != b.Route.Length():
		return []string{"They sail different routes: more differs than the kit."}
	}
	return nil
}

// difference tells in words what one kit does otherwise than another on one leg.
func difference(ours, other *sim.Result) []string {
	var out []string
	if a, b := ours.Verdict.Holds, other.Verdict.Holds; a != b {
		out = append(out, map[bool]string{true: "It holds, where the pinned kit fails.", false: "It fails, where the pinned kit holds."}[a])
	}
	points := 100 * float64(ours.Verdict.Margin-other.Verdict.Margin)
	// Against different floors margins do not compare.
	switch ah := float64(ours.Verdict.MarginCharge - other.Verdict.MarginCharge); {
	case ours.Verdict.Floor != other.Verdict.Floor:
		out = append(out, fmt.Sprintf("The floors differ: %.0f %% and, pinned, %.0f %% of charge.", 100*float64(ours.Verdict.Floor), 100*float64(other.Verdict.Floor)))
	case math.Abs(points) < 0.05 && math.Abs(ah) < 0.5:
		out = append(out, "The margin is the same.")
	default:
		out = append(out, fmt.Sprintf("Margin: %s points of charge (%s Ah) %s.", size(points, 1), size(ah, 0), moreOrLess(points)))
	}
	out = append(out, fmt.Sprintf("Lowest: %.1f %%, pinned %.1f %%.", 100*float64(ours.Lowest.Charge), 100*float64(other.Lowest.Charge)))
	if a, b := len(ours.Misses), len(other.Misses); a != b {
		out = append(out, fmt.Sprintf("Missed: %d, pinned %d.", a, b))
	}
	if d := ours.End.Sub(other.End).Hours(); ours.Arrived && other.Arrived && ours.Depart.Equal(other.Depart) && math.Abs(d) >= 0.1 {
		out = append(out, fmt.Sprintf("She arrives %s %s.", report.Lasting(math.Abs(d)), map[bool]string{true: "later", false: "sooner"}[d > 0]))
	}
	return out
}

// paired tells in words what differs between two kits in the same weathers, ours
// being Kits[0] and the base Kits[1].
func paired(c *sim.Comparison) []string {
	k := &c.Kits[0]
	n := k.Odds.Done
	if k.Same {
		return []string{fmt.Sprintf("In all %d weathers the two sail the very same voyage.", n)}
	}
	var out []string
	if len(k.Odds.Goals) > 0 {
		h := k.Holds
		out = append(out, fmt.Sprintf("Of the same %d weathers it holds in %d, the pinned kit in %d: it wins %d and loses %d. That is %s of 100 (95 %% interval %s to %s).",
			n, h.Both+h.Won, h.Both+h.Lost, h.Won, h.Lost, signed(100*h.By, 0), signed(100*h.Low, 0), signed(100*h.High, 0)))
	}
	// Against different floors margins do not compare.
	if base := c.Kits[1].Odds; k.Odds.Floor == base.Floor {
		m := k.Margin
		out = append(out, fmt.Sprintf("Margin, weather by weather: %s points of charge %s on average (95 %% interval of the mean %s to %s); more in %d weathers, less in %d.",
			size(100*float64(m.By), 1), moreOrLess(float64(m.By)), signed(100*float64(m.Low), 1), signed(100*float64(m.High), 1), m.More, m.Less))
	}
	if d := k.Misses; d.More+d.Less > 0 {
		out = append(out, fmt.Sprintf("Missed: %s a passage %s on average.", size(d.By, 1), moreOrLess(d.By)))
	}
	if d := float64(k.Engine.By); math.Abs(d) >= 0.1 {
		out = append(out, fmt.Sprintf("Engine: %s h a passage %s.", size(d, 1), moreOrLess(d)))
	}
	return out
}

// signed prints a change with its sign, and none where it rounds to nothing.
func signed(x float64, places int) string {
	text := fmt.Sprintf("%.*f", places, math.Abs(x))
	switch {
	case strings.Trim(text, "0.") == "":
		return text
	case x < 0:
		return "−" + text
	}
	return "+" + text
}

func size(x float64, places int) string { return fmt.Sprintf("%.*f", places, math.Abs(x)) }

func moreOrLess(x float64) string {
	if x < 0 {
		return "less"
	}
	return "more"
}
