package gpx

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// namespaces are those of GPX 1.1 and 1.0, and none at all.
var namespaces = []string{"http://www.topografix.com/GPX/1/1", "http://www.topografix.com/GPX/1/0", ""}

// Read reads a GPX file. Errors begin with the line of the file that is wrong,
// where there is one.
func Read(r io.Reader) (*File, error) {
	text, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(text) > MaxBytes {
		return nil, fmt.Errorf("is larger than %d MiB: save only the route", MaxBytes>>20)
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if len(bytes.TrimSpace(text)) == 0 {
		return nil, errors.New("is empty")
	}
	d := &reader{xml: xml.NewDecoder(bytes.NewReader(text))}
	d.xml.Strict = true
	d.xml.CharsetReader = func(charset string, _ io.Reader) (io.Reader, error) {
		return nil, fmt.Errorf("it is written in %s: save it in UTF-8", charset)
	}
	return d.file()
}

// reader walks through the elements.
type reader struct {
	xml   *xml.Decoder
	space string // namespace of the file's elements
	err   error  // the first
}

func (d *reader) line() int {
	line, _ := d.xml.InputPos()
	return line
}

// fail keeps the first error, with the line reached.
func (d *reader) fail(format string, args ...any) {
	if d.err == nil {
		d.err = fmt.Errorf("line %d: %w", d.line(), fmt.Errorf(format, args...))
	}
}

// next returns the next start of an element inside the one that is open, or
// false at its end. Text on the way is added to words, if that is not nil.
func (d *reader) next(words *strings.Builder) (xml.StartElement, bool) {
	for d.err == nil {
		token, err := d.xml.Token()
		if syntax, ok := errors.AsType[*xml.SyntaxError](err); ok {
			d.err = fmt.Errorf("line %d: %s", syntax.Line, syntax.Msg)
			break
		}
		if errors.Is(err, io.EOF) {
			d.fail("is not GPX: it holds no element")
			break
		}
		if err != nil {
			d.fail("%w", err)
			break
		}
		switch t := token.(type) {
		case xml.StartElement:
			return t, true
		case xml.EndElement:
			return xml.StartElement{}, false
		case xml.CharData:
			if words != nil {
				words.Write(t)
			}
		case xml.Directive:
			d.fail("a document type or entity is refused: remove the line that begins with <!")
		}
	}
	return xml.StartElement{}, false
}

// skip passes over the element that is open.
func (d *reader) skip() {
	for depth := 1; depth > 0 && d.err == nil; {
		if _, open := d.next(nil); open {
			depth++
		} else {
			depth--
		}
	}
}

// text returns the words of the element that is open, on one line.
func (d *reader) text() string {
	var b strings.Builder
	for {
		if _, open := d.next(&b); !open {
			break
		}
		d.skip()
	}
	words := strings.Join(strings.Fields(b.String()), " ")
	const most = 120 // characters of a name
	if utf8.RuneCountInString(words) > most {
		words = string([]rune(words)[:most]) + "…"
	}
	return words
}

// each calls of for each element of the file's own kind inside the one that is
// open; of must read it to its end. Others, such as extensions, are skipped.
func (d *reader) each(of func(xml.StartElement)) {
	for {
		el, open := d.next(nil)
		if !open {
			return
		}
		if el.Name.Space != d.space {
			d.skip()
			continue
		}
		of(el)
	}
}

func (d *reader) file() (*File, error) {
	root, open := d.next(nil)
	if d.err != nil {
		return nil, d.err
	}
	if !open || root.Name.Local != "gpx" || !known(root.Name.Space) {
		return nil, fmt.Errorf("line %d: is not GPX: its first element is <%s>", d.line(), root.Name.Local)
	}
	d.space = root.Name.Space
	f := &File{Waypoints: Path{Kind: Waypoints}}
	d.each(func(el xml.StartElement) {
		switch el.Name.Local {
		case "wpt":
			d.point(el, &f.Waypoints)
		case "rte":
			f.Routes = append(f.Routes, d.path(Route))
		case "trk":
			f.Tracks = append(f.Tracks, d.path(Track))
		default:
			d.skip()
		}
	})
	if d.err != nil {
		return nil, d.err
	}
	return f, nil
}

func known(space string) bool {
	for _, s := range namespaces {
		if s == space {
			return true
		}
	}
	return false
}

// path reads a route, or a track with its segments one behind the other.
func (d *reader) path(kind Kind) *Path {
	p := &Path{Kind: kind}
	var part func(xml.StartElement)
	part = func(el xml.StartElement) {
		switch el.Name.Local {
		case "name":
			p.Name = d.text()
		case "trkseg":
			d.each(part)
		case "rtept", "trkpt":
			d.point(el, p)
		default:
			d.skip()
		}
	}
	d.each(part)
	return p
}

// point reads one place.
func (d *reader) point(el xml.StartElement, into *Path) {
	var x Point
	found := map[string]bool{}
	for _, a := range el.Attr {
		if a.Name.Space != "" {
			continue
		}
		switch a.Name.Local {
		case "lat":
			x.Place.Lat = d.degrees(el, a, 90)
		case "lon":
			x.Place.Lon = d.degrees(el, a, 180)
		default:
			continue
		}
		found[a.Name.Local] = true
	}
	for _, name := range []string{"lat", "lon"} {
		if !found[name] {
			d.fail("<%s> has no %s", el.Name.Local, name)
		}
	}
	d.each(func(inner xml.StartElement) {
		switch inner.Name.Local {
		case "name":
			x.Name = d.text()
		case "type":
			if t := strings.ToLower(d.text()); t == track.GreatCircle.String() || t == track.RhumbLine.String() {
				x.Line = t
			}
		default:
			d.skip()
		}
	})
	if d.err == nil {
		into.add(x)
	}
}

// degrees reads a decimal number within ±most.
func (d *reader) degrees(el xml.StartElement, a xml.Attr, most float64) units.Degrees {
	text := strings.TrimSpace(a.Value)
	// ParseFloat takes more than the decimals of the schema: inf, 0x1p3, 1_0.
	plain := strings.Trim(text, "+-.0123456789") == ""
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !plain || math.Abs(x) > most {
		d.fail("%s=%q of <%s> is no number of degrees within ±%.0f", a.Name.Local, a.Value, el.Name.Local, most)
		return 0
	}
	return units.Degrees(x)
}
