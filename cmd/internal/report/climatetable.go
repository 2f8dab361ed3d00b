package report

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"ampwake/scenarios/outlook"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// climateRow is a line of the table.
type climateRow struct {
	label string
	means *outlook.Means
	drawn *units.AmpHours // nil at a place
	total bool
}

// climateTable writes a line a month or a span of a passage. bare leaves the
// panels out.
func climateTable(b *strings.Builder, head string, rows []climateRow, bare bool) {
	width, most := utf8.RuneCountInString(head), 0.0
	for _, r := range rows {
		width = max(width, utf8.RuneCountInString(r.label))
		if !r.total {
			most = math.Max(most, float64(r.means.Array))
		}
	}
	drawn := rows[0].drawn != nil
	first := fmt.Sprintf("  %-*s      wind                    cloud air sea night  kWh/m² a day  ", width, "")
	second := fmt.Sprintf("  %-*s     kn from steady calm gale oktas  °C  °C     h  clear expected", width, head)
	if !bare || drawn {
		first += " Ah a day"
	}
	if !bare {
		second += "  panels"
	}
	if drawn {
		second += "  drawn"
	}
	fmt.Fprintln(b, strings.TrimRight(first, " "))
	fmt.Fprintln(b, second)
	for _, r := range rows {
		m := r.means
		from := outlook.Compass(m.From)
		if m.Steadiness < variable {
			from = "var"
		}
		doubt := " "
		if m.Quality != 0 && !r.total {
			doubt = "?"
		}
		pad := strings.Repeat(" ", width-utf8.RuneCountInString(r.label))
		line := fmt.Sprintf("  %s%s %s %4.0f %-4s  %5s %4s %4s %5.1f %3.0f %3.0f %5.1f  %5.1f %8.1f",
			r.label, pad, doubt, float64(m.Wind), from, percent(float64(m.Steadiness)), share(m.Calm), share(m.Gale),
			8*float64(m.Cloud), float64(m.Air), float64(m.Sea), float64(m.Night), float64(m.Clear)/1000, float64(m.Expected)/1000)
		if !bare {
			line += fmt.Sprintf(" %7s", digits(float64(m.Array)))
		}
		if drawn {
			line += fmt.Sprintf("  %5s", digits(float64(*r.drawn)))
		} else if most > 0 && !r.total && len(rows) > 1 {
			line += "  " + strings.Repeat("▪", int(math.Round(8*float64(m.Array)/most)))
		}
		fmt.Fprintln(b, strings.TrimRight(line, " "))
	}
}

// tiltTable writes what tilting and turning a panel make.
func tiltTable(b *strings.Builder, t *outlook.Tilts) {
	row := func(tilt string, cells ...string) {
		fmt.Fprintf(b, "  %4s  %17s  %12s  %22s\n", tilt, cells[0], cells[1], cells[2])
	}
	fmt.Fprintf(b, "\nThe panel by its mounting, Ah a day, boat upright\n")
	row("tilt", "heading by chance", "facing "+towards(t), fmt.Sprintf("turned %d times a day", t.Trims))
	for _, r := range t.Rows {
		row(fmt.Sprintf("%.0f°", float64(r.Tilt)), digits(float64(r.Swings)), digits(float64(r.Towards)), digits(float64(r.Trimmed)))
	}
	row("free", "", "", digits(float64(t.Free)))
}

// spanWords tells what a line of a passage's table stands for.
func spanWords(p *outlook.Passage, spans []outlook.Day) string {
	h := float64(spans[0].Hours)
	if h < 23.99 {
		return fmt.Sprintf("  The passage takes %s: sums are those of these hours.", span(h))
	}
	s := "  A line is 24 hours."
	if days := math.Round(h / 24); days > 1 {
		s = fmt.Sprintf("  A line is %.0f days; sums are by the day.", days)
	}
	if p.Left > 0 {
		s += fmt.Sprintf(" The last %s make no whole day and are left out.", span(float64(p.Left)))
	}
	return s
}

// doubts writes what is doubtful about the table.
func doubts(notes []string) string {
	s := ""
	for _, n := range notes {
		s += "  ? " + wrapped(n, 4, 96) + "\n"
	}
	return s
}

// yearDoubts returns the doubts with the months that have them, if not all.
func yearDoubts(y *outlook.Year) []string {
	var out []string
	for bit := climate.Quality(1); bit != 0; bit <<= 1 {
		var months []time.Month
		for i := range y.Months {
			if y.Months[i].Quality&bit != 0 {
				months = append(months, y.Months[i].Month)
			}
		}
		out = append(out, dated(bit, monthNames(months), len(months) > 0 && len(months) < 12)...)
	}
	return append(out, ashore(y)...)
}

// monthDoubts returns the doubts of one month.
func monthDoubts(y *outlook.Year, m *outlook.Month) []string {
	return append(m.Quality.Notes(), ashore(y)...)
}

func ashore(y *outlook.Year) []string {
	if !y.Ashore {
		return nil
	}
	return []string{"the square of 1° around the place is mostly land: the climate is that of the sea beside it"}
}

// passageDoubts returns the doubts with the first span that has them.
func passageDoubts(spans []outlook.Day) []string {
	var out []string
	for bit := climate.Quality(1); bit != 0; bit <<= 1 {
		n, first := 0, ""
		for i := range spans {
			if spans[i].Quality&bit != 0 {
				if n++; first == "" {
					first = "from " + spans[i].From.Format("2 Jan")
				}
			}
		}
		if n > 0 {
			out = append(out, dated(bit, first, n < len(spans))...)
		}
	}
	return out
}

// dated returns the words of a doubt, with the time it belongs to.
func dated(bit climate.Quality, when string, partly bool) []string {
	notes := bit.Notes()
	if when == "" {
		return nil
	}
	if partly {
		for i := range notes {
			notes[i] = when + ": " + notes[i]
		}
	}
	return notes
}

// monthNames joins the names of months.
func monthNames(months []time.Month) string {
	var names []string
	for _, m := range months {
		names = append(names, brief(m))
	}
	return strings.Join(names, ", ")
}

// rests writes what a table rests on.
func rests(b *strings.Builder, notes []sim.Note) {
	b.WriteString("\nRests on\n")
	for _, n := range notes {
		fmt.Fprintf(b, "  %-8s %s\n", n.About, wrapped(n.Text, 11, 96))
	}
}

// restsOf puts what all climates rest on before more.
func restsOf(more []sim.Note) []sim.Note {
	return append([]sim.Note{
		{About: "climate", Text: "ships' observations of about 1850 to 1990 as monthly means, on squares of 4° by 5°, interpolated; the light of a month is good to about 10 %"},
		{About: "calms", Text: fmt.Sprintf("under %.0f kn, and gales over %.0f kn: shares of the time for a Gaussian wind of the mean and the steadiness given, not counted", float64(outlook.CalmUnder), float64(outlook.GaleOver))},
		{About: "sun", Text: "on the level; clear sky after Haurwitz, through the cloud the mean of 1 − 0.70 C^3.4"},
	}, more...)
}

// yearRests tells of the panel.
func yearRests(y *outlook.Year) []sim.Note {
	return []sim.Note{
		{About: "panel", Text: panelWords(&y.Panel)},
		{About: "Ah", Text: fmt.Sprintf("at a bus of %.0f V, through skies that change as the month's cloud does; before the bank refuses any", float64(outlook.BusVolts))},
	}
}

// panelWords describes the panel.
func panelWords(p *outlook.Panel) string {
	mount := "flat"
	switch {
	case p.FreeTilt:
		mount = fmt.Sprintf("turned to the sun %d times a day, tilt and all", p.Trims)
	case p.Trims > 0:
		mount = fmt.Sprintf("tilted %.0f°, turned to the sun %d times a day", float64(p.Tilt), p.Trims)
	case p.Tilt > 0 && p.Swings:
		mount = fmt.Sprintf("tilted %.0f°, the mean over all headings", float64(p.Tilt))
	case p.Tilt > 0:
		mount = fmt.Sprintf("tilted %.0f° and facing %03.0f° true all day", float64(p.Tilt), float64(p.Facing))
	}
	return fmt.Sprintf("%.0f W, %s, boat upright; %s of the light lost to rigging, %s to dirt; tracking controller of %s",
		float64(p.Rated), mount, percent(float64(p.Shade)), percent(float64(p.Dirt)), percent(float64(p.Efficiency)))
}

// passageRests tells of the voyage.
func passageRests(p *outlook.Passage) []sim.Note {
	var notes []sim.Note
	if len(p.Panels) > 0 {
		notes = append(notes, sim.Note{About: "panels", Text: strings.Join(p.Panels, ", ") + ": as in the file, on the course sailed; Ah at the bus voltage of the voyage, before the bank refuses any"})
	}
	return append(notes, p.Notes...)
}

// roughly prints a place in whole degrees.
func roughly(p track.Position) string {
	lon := math.Round(float64(p.Lon))
	if lon < 0 {
		return fmt.Sprintf("%s %.0f°W", parallel(p), -lon)
	}
	return fmt.Sprintf("%s %.0f°E", parallel(p), math.Abs(lon))
}

// parallel prints a latitude in whole degrees.
func parallel(p track.Position) string {
	lat := math.Round(float64(p.Lat))
	if lat < 0 {
		return fmt.Sprintf("%.0f°S", -lat)
	}
	return fmt.Sprintf("%.0f°N", math.Abs(lat))
}

// wrapped breaks text into lines of at most width, with a hanging indent.
func wrapped(text string, indent, width int) string {
	var b strings.Builder
	at := indent
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case at+1+n > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			at = indent
		default:
			b.WriteString(" ")
			at++
		}
		b.WriteString(word)
		at += n
	}
	return b.String()
}
