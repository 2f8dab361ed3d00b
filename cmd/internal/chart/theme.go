package chart

import (
	"image/color"
	"strings"
)

// Kind is the kind of a source or a load. Colour belongs to it, in all
// pictures.
type Kind string

// The kinds with a colour of their own.
const (
	Solar       Kind = "solar"
	Hydro       Kind = "hydro"
	Engine      Kind = "engine"
	Wind        Kind = "wind"
	Shore       Kind = "shore"
	House       Kind = "house"
	Instruments Kind = "instruments"
	Radio       Kind = "radio"
	Fax         Kind = "fax"
	Lights      Kind = "lights"
	Fridge      Kind = "fridge"
	Autopilot   Kind = "autopilot"
	Water       Kind = "water"
	Other       Kind = "other"
)

// Paint is how one thing is coloured: Fill for areas, Ink for its upper edge,
// for lines and for words.
//
// Ink is dark in each channel, so that a word stays legible in a grey print
// and in the light of a red torch, under which orange is as good as white.
type Paint struct{ Fill, Ink color.RGBA }

// kinds is the one table of colours. Hues follow Okabe and Ito, "Color
// Universal Design" (2008), so that the common kinds of colour vision tell them
// apart; lightness is changed where two things that share a panel came out as
// the same grey (solar and hydro differed by 2 %). words are what a name may
// hold to be taken for the kind.
var kinds = []struct {
	kind  Kind
	paint Paint
	words []string
}{
	{Solar, Paint{hex(0xE69F00), hex(0x704B00)}, []string{"solar", "panel", "sun", "pv"}},
	{Hydro, Paint{hex(0x2E86C1), hex(0x14598A)}, []string{"hydro", "water generator", "towed", "water turbine"}},
	{Wind, Paint{hex(0x8CD3C0), hex(0x2B6E5E)}, []string{"wind"}},
	{Engine, Paint{hex(0x006B4E), hex(0x004A36)}, []string{"engine", "alternator", "motor"}},
	{Shore, Paint{hex(0x8174B8), hex(0x4B3F85)}, []string{"shore", "charger", "genset", "generator"}},
	{Radio, Paint{hex(0xCC79A7), hex(0x702B53)}, []string{"radio", "hf", "vhf", "ssb", "transmit"}},
	{Fax, Paint{hex(0x8C5A2B), hex(0x5E3A17)}, []string{"fax", "chart"}},
	{Lights, Paint{hex(0xF0E442), hex(0x6B6400)}, []string{"light", "lamp", "tricolour", "lantern"}},
	{Fridge, Paint{hex(0x56B4E9), hex(0x1B6690)}, []string{"fridge", "freezer", "icebox"}},
	{Autopilot, Paint{hex(0x009E73), hex(0x00634A)}, []string{"pilot", "steer", "tiller"}},
	{Water, Paint{hex(0x3F6F8F), hex(0x27485E)}, []string{"water", "pump"}},
	{Instruments, Paint{hex(0x6A8CBD), hex(0x34507A)}, []string{"instrument", "gps", "ais", "log", "plotter", "radar", "nav"}},
	{House, Paint{hex(0x4C6A92), hex(0x2C4266)}, []string{"house", "base", "always", "standby", "cabin"}},
	{Other, Paint{hex(0xBDBDBD), hex(0x555555)}, []string{"other"}},
}

// spare colours things whose kind is not known, in this order.
var spare = []Paint{
	{hex(0x4C6A92), hex(0x2C4266)},
	{hex(0xE3B778), hex(0x704C19)},
	{hex(0x5E8C61), hex(0x33573A)},
	{hex(0xB3A5D6), hex(0x55478A)},
	{hex(0x8A4F4F), hex(0x5E2F2F)},
}

// Colours that belong to no kind.
var (
	white = hex(0xFFFFFF)
	night = hex(0xE6E9EE) // behind everything: the sun is below the horizon
	ink   = hex(0x222222) // words
	quiet = hex(0x6E6E6E) // words that may be missed: ticks, captions
	hair  = hex(0xD3D6DA) // hairlines; shows on white and on night
	stock = Paint{hex(0x0072B2), hex(0x00527F)}
	alarm = Paint{hex(0xD55E00), hex(0x742400)} // floor, missed
	under = over(alarm.Fill, white, 0.35)       // between the floor and a curve below it
)

// byKind returns the paint of a kind, and whether it has one.
func byKind(k Kind) (Paint, bool) {
	for _, row := range kinds {
		if row.kind == k {
			return row.paint, true
		}
	}
	return Paint{}, false
}

// KindOf returns the kind a name speaks of ("HF radio" is a Radio), or "".
func KindOf(name string) Kind {
	name = strings.ToLower(name)
	for _, row := range kinds {
		for _, word := range row.words {
			if containsWord(name, word) {
				return row.kind
			}
		}
	}
	return ""
}

// containsWord reports whether a word of name begins with word. Short words
// must stand alone, or "hf" would be found anywhere.
func containsWord(name, word string) bool {
	for i := 0; ; {
		j := strings.Index(name[i:], word)
		if j < 0 {
			return false
		}
		i += j
		end := i + len(word)
		starts := i == 0 || !letter(name[i-1])
		ends := len(word) > 3 || end == len(name) || !letter(name[end])
		if starts && ends {
			return true
		}
		i = end
	}
}

func letter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 0x80 }

// Paints returns a paint for each name, in order: that of its kind in the map,
// else of the kind its name speaks of, else the next spare one. A second thing
// of one kind is paler and a third darker, and so on in turn.
func Paints(names []string, known map[string]Kind) []Paint {
	seen := map[Kind]int{}
	spares := 0
	out := make([]Paint, len(names))
	for i, name := range names {
		k, ok := known[name]
		if !ok {
			k = KindOf(name)
		}
		p, ok := byKind(k)
		if !ok {
			p = spare[spares%len(spare)]
			spares++
			k = Kind("spare " + string(rune('a'+(spares-1)%len(spare))))
		}
		switch n := seen[k]; {
		case n%3 == 1:
			p.Fill = over(p.Fill, white, 0.5)
		case n%3 == 2:
			p.Fill = over(p.Fill, ink, 0.6)
		}
		seen[k]++
		out[i] = p
	}
	return out
}

func hex(rgb uint32) color.RGBA {
	return color.RGBA{R: uint8(rgb >> 16), G: uint8(rgb >> 8), B: uint8(rgb), A: 255}
}

// over mixes a share of c, 0..1, over ground. All colours are opaque: canvases
// disagree about the rest.
func over(c, ground color.RGBA, share float64) color.RGBA {
	mix := func(a, b uint8) uint8 { return uint8(share*float64(a) + (1-share)*float64(b) + 0.5) }
	return color.RGBA{R: mix(c.R, ground.R), G: mix(c.G, ground.G), B: mix(c.B, ground.B), A: 255}
}
