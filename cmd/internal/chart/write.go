package chart

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"ampwake/cmd/internal/whole"
)

// Picture is a page model that can be drawn at any size.
type Picture interface {
	// Size returns the size it was made for.
	Size() (width, height vg.Length)
	// Draw draws it to fill the canvas, whatever its size.
	Draw(c draw.Canvas)
}

// dpi makes a page of 8 inches 1200 pixels wide.
const dpi = 150

// Encode writes a picture as "png" or "svg". The same picture gives the same
// bytes.
func Encode(w io.Writer, p Picture, format string) error {
	width, height := p.Size()
	switch format {
	case "png":
		c := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(width, height), vgimg.UseDPI(dpi))}
		p.Draw(draw.New(c))
		_, err := c.WriteTo(w)
		return err
	case "svg":
		c := vgsvg.NewWith(vgsvg.UseWH(width, height))
		p.Draw(draw.New(c))
		var page bytes.Buffer
		if _, err := c.WriteTo(&page); err != nil {
			return err
		}
		_, err := w.Write(withFallback(page.Bytes()))
		return err
	}
	return fmt.Errorf("picture format %q is unknown: want png or svg", format)
}

// withFallback names fonts of the same width for machines without ours. A quote
// in a text is escaped, so the pattern is found in attributes only.
func withFallback(svg []byte) []byte {
	return bytes.ReplaceAll(svg, []byte(`style="font-family:Liberation Sans;`),
		[]byte(`style="font-family:'Liberation Sans',Arimo,Arial,Helvetica,sans-serif;`))
}

// WriteFile writes a picture to a file, its format by the extension, .png or
// .svg. The file appears whole or not at all.
func WriteFile(path string, p Picture) error {
	format := strings.TrimPrefix(strings.ToLower(filepath.Ext(path)), ".")
	if format != "png" && format != "svg" {
		return fmt.Errorf("picture %s: want a name that ends in .png or .svg", path)
	}
	var buf bytes.Buffer
	if err := Encode(&buf, p, format); err != nil {
		return fmt.Errorf("picture %s: %w", path, err)
	}
	return whole.Write(path, buf.Bytes())
}
