package logbook

import "fmt"

// misfits warns of columns most of whose cells are out of range: the header names
// the wrong column or the wrong unit, and what is left in them is chance.
func (p *parser) misfits() {
	odd := make([]int, len(p.header.columns))
	for _, o := range p.odd {
		odd[o.column]++
	}
	for i, n := range odd {
		if n >= 3 && 2*n > p.filled[i] {
			p.log.Warnings = append(p.log.Warnings, fmt.Sprintf("%d of %d cells under %s are out of range: is it another column, or another unit?", n, p.filled[i], p.header.columns[i].name))
		}
	}
}

// counterSign warns of a counter that shows what was drawn with a plus.
func (p *parser) counterSign() {
	above := 0
	for i := range p.log.Rows {
		switch c := p.log.Rows[i].Counter; {
		case c == nil:
		case *c < 0:
			return
		case *c > 0:
			above++
		}
	}
	if above >= 3 {
		p.log.Warnings = append(p.log.Warnings, "the counter is never under 0: a log wants 0 when full and minus when charge is drawn; if yours shows with a plus what was drawn, write a minus before it")
	}
}
