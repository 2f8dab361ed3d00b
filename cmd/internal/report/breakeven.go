package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"ampwake/scenarios/breakeven"
	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// BreakEven writes the answer of the break-even maps, small tables of both and
// what they rest on.
func BreakEven(w io.Writer, m *breakeven.Maps) error {
	var b strings.Builder
	b.WriteString(BreakEvenAnswer(m))
	fmt.Fprintf(&b, "\n%s\n", m.Title)
	fmt.Fprintf(&b, "%s in %s: air %.0f °C, sea %.0f °C, wind %.0f kn\n", m.Place, m.Date.Month(), float64(m.Air), float64(m.Sea), float64(m.Wind))
	speedTable(&b, m)
	yearTable(&b, m)
	rests(&b, breakEvenRests(m))
	b.WriteString("\n" + Caution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// BreakEvenAnswer answers in three lines: at what speed she breaks even, what a
// day without way costs, and where at sea and when she lives on her kit.
func BreakEvenAnswer(m *breakeven.Maps) string {
	var b strings.Builder
	top := m.Speeds[len(m.Speeds)-1]
	where := fmt.Sprintf("under %s at %s in %s", oktas(m.Cloud), roughly(m.Place), m.Date.Month())
	planned := fmt.Sprintf("; at her %s %s a day", knots(m.Speed), gain(m.Here.Net()))
	if m.Speed == 0 {
		planned = ""
	}
	switch n := len(m.Even); {
	case n == 0 && m.Here.Net() >= 0:
		fmt.Fprintf(&b, "Even    at any speed, even none, %s%s\n", where, planned)
	case n == 0:
		fmt.Fprintf(&b, "Even    at no speed up to %.0f kn %s%s\n", float64(top), where, planned)
	default:
		fmt.Fprintf(&b, "Even    %s %s%s\n", crossingsText(m.Even), where, planned)
	}
	fmt.Fprintf(&b, "Still   without way %s a day there; %s under a clear sky, %s overcast\n",
		gain(m.Still[1].Net()), signedAh(m.Still[0].Net()), signedAh(m.Still[2].Net()))
	fmt.Fprintf(&b, "Year    at %s %s\n", knots(m.YearSpeed), yearText(m))
	return b.String()
}

// crossingsText tells the speeds at which the balance passes nought.
func crossingsText(even []breakeven.Crossing) string {
	var parts []string
	for _, c := range even {
		text := fmt.Sprintf("at %.1f kn", float64(c.Speed))
		switch {
		case c.Leaps && c.Gains:
			text += ", as a source comes into use,"
		case c.Leaps:
			text += ", as a source goes out of use, she begins to lose"
		case !c.Gains:
			text += " she begins to lose"
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", then ")
}

// yearText tells where she gains all year, and the worst.
func yearText(m *breakeven.Maps) string {
	lat, date, worst := m.Worst()
	place := func(lat units.Degrees) string {
		if lat == 0 {
			return "the equator"
		}
		return parallel(track.Position{Lat: lat})
	}
	least := fmt.Sprintf("%s a day at %s in %s", signedAh(worst), place(lat), date.Month())
	south, north, ok := m.AllYear()
	first, last := m.Latitudes[0], m.Latitudes[len(m.Latitudes)-1]
	switch {
	case ok && south == first && north == last:
		return fmt.Sprintf("she gains in every month from %s to %s; least %s", place(south), place(north), least)
	case ok && south == north:
		return fmt.Sprintf("she gains in every month only about %s; worst %s", place(south), least)
	case ok:
		return fmt.Sprintf("she gains in every month from %s to %s; worst %s", place(south), place(north), least)
	}
	lat, date, best := m.Best()
	most := fmt.Sprintf("%s a day at %s in %s", signedAh(best), place(lat), date.Month())
	if best < 0 {
		return fmt.Sprintf("she loses in every month from %s to %s; at best %s, at worst %s", place(first), place(last), most, least)
	}
	return fmt.Sprintf("she gains nowhere all year round; best %s, worst %s", most, least)
}

// gain says a balance as what she does.
func gain(net units.AmpHours) string {
	if x := math.Round(float64(net)); x < 0 {
		return fmt.Sprintf("she loses %.0f Ah", -x)
	}
	return fmt.Sprintf("she gains %.0f Ah", math.Abs(math.Round(float64(net))))
}

// signedAh prints a balance with its sign.
func signedAh(net units.AmpHours) string { return signedText(float64(net)) + " Ah" }

func signedText(x float64) string {
	switch x = math.Round(x); {
	case x > 0:
		return fmt.Sprintf("+%.0f", x)
	case x < 0:
		return fmt.Sprintf("−%.0f", -x)
	}
	return "0"
}

// oktas prints a cloud amount as people at sea say it.
func oktas(c units.Fraction) string {
	n := math.Round(16*float64(c)) / 2
	if n == 1 {
		return "1 okta"
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", n), ".0") + " oktas"
}

// speedTable prints the map by speed and cloud at whole knots and every second
// okta.
func speedTable(b *strings.Builder, m *breakeven.Maps) {
	b.WriteString("\nNet Ah a day by boat speed and cloud\n")
	b.WriteString("         ")
	var columns []int
	for i, v := range m.Speeds {
		if math.Abs(math.Remainder(float64(v), 1)) < 1e-9 {
			columns = append(columns, i)
			fmt.Fprintf(b, "%6.0f", float64(v))
		}
	}
	b.WriteString(" kn\n")
	for j, c := range m.Clouds {
		if math.Abs(math.Remainder(8*float64(c), 2)) > 1e-9 {
			continue
		}
		fmt.Fprintf(b, "  %.0f oktas", 8*float64(c))
		cells(b, m.BySpeed[j], columns)
	}
}

// yearTable prints the map by latitude and month at each 15° and the middle of
// each month.
func yearTable(b *strings.Builder, m *breakeven.Maps) {
	fmt.Fprintf(b, "\nNet Ah a day by latitude and month, at %s under the climate's cloud\n", knots(m.YearSpeed))
	b.WriteString("         ")
	var columns []int
	for i, d := range m.Dates {
		if i%2 == 1 { // half months: these are the middles
			columns = append(columns, i)
			fmt.Fprintf(b, "%5s", d.Month().String()[:3])
		}
	}
	b.WriteString("\n")
	for j := len(m.Latitudes) - 1; j >= 0; j-- {
		lat := m.Latitudes[j]
		if math.Abs(math.Remainder(float64(lat), 15)) > 1e-9 {
			continue
		}
		fmt.Fprintf(b, "  %5s  ", parallel(track.Position{Lat: lat}))
		for _, i := range columns {
			fmt.Fprintf(b, "%5s", signedText(float64(m.ByYear[j][i].Net())))
		}
		b.WriteString("\n")
	}
}

// cells prints the balances of some columns of a row.
func cells(b *strings.Builder, row []breakeven.Balance, columns []int) {
	for _, i := range columns {
		fmt.Fprintf(b, "%6s", signedText(float64(row[i].Net())))
	}
	b.WriteString("\n")
}

// breakEvenRests adds to the notes what charging loses.
func breakEvenRests(m *breakeven.Maps) []sim.Note {
	notes := append([]sim.Note(nil), m.Notes...)
	return append(notes, sim.Note{About: "charging", Text: fmt.Sprintf(
		"loses about %.1f Ah a day more in the bank at %s under %s, and more when it is near full", float64(m.Here.Lost), knots(m.Speed), oktas(m.Cloud))})
}

// knots prints a speed to a tenth.
func knots(v units.Knots) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(v)), ".0") + " kn"
}
