package paper

import (
	"fmt"
	"io"
	"strings"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"

	"ampwake/cmd/internal/card"
)

// Size is a size of paper, mm.
type Size struct {
	Name          string
	width, height float64
}

// The sizes of paper.
var (
	A4     = Size{"a4", 210, 297}
	Letter = Size{"letter", 215.9, 279.4}
)

// ParseSize reads "a4" or "letter".
func ParseSize(name string) (Size, error) {
	for _, s := range []Size{A4, Letter} {
		if strings.EqualFold(name, s.Name) {
			return s, nil
		}
	}
	return Size{}, fmt.Errorf("paper %q is not a4 or letter", name)
}

// Options say how a card is drawn.
type Options struct {
	Size    Size
	Version string // "ampwake 1.2"
}

// Write writes the card as a PDF. The same card gives the same bytes.
func Write(w io.Writer, c *card.Card, o Options) error {
	return draw(c, o).pdf.Output(w)
}

// draw draws all pages.
func draw(c *card.Card, o Options) *sheet {
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: o.Size.width, Ht: o.Size.height}})
	pdf.SetCatalogSort(true)
	// The clock has no place in a file that is to come out the same tomorrow.
	pdf.SetCreationDate(c.Depart.UTC())
	pdf.SetModificationDate(c.Depart.UTC())
	pdf.SetTitle(plain(c.Title), true)
	pdf.SetCreator(plain(o.Version), true)
	pdf.SetProducer("ampwake", true)
	pdf.SetLang("en")
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetCellMargin(0)
	pdf.AddUTF8FontFromBytes("sans", "", liberationsansregular.TTF)
	pdf.AddUTF8FontFromBytes("sans", "B", liberationsansbold.TTF)
	s := &sheet{pdf: pdf, card: c, opt: o, pitch: 1, left: margin, right: o.Size.width - margin, top: 9, bottom: o.Size.height - 8, pages: 2 * len(c.Zones)}
	for _, z := range c.Zones {
		s.act(z)
		s.trace(z)
	}
	return s
}

// margin is the white at the sides, mm: printers leave out 5 or so.
const margin = 10.0
