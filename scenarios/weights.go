package scenarios

import (
	"fmt"

	"ampwake/sim/units"
)

// Worth is what one item of the kit weighs and costs, as far as it matters to
// the skipper. Prices are plain numbers in whatever money the file has in mind.
type Worth struct {
	Weighs *units.Kilograms `key:"weighs" doc:"its weight with mounting and cable, for comparing kits" min:"0 kg" max:"2000 kg" example:"12 kg"`
	Costs  *float64         `key:"costs" doc:"its price in any money, the same throughout the file" min:"0" max:"1000000" example:"450"`
}

// FuelDensity is the weight of a litre of diesel: in the middle of the 0.820 to
// 0.845 kg at 15 °C that EN 590 allows.
const FuelDensity = 0.833

// Item is one piece of the kit with what the file says that it weighs and costs;
// nil: the file does not say.
type Item struct {
	Name   string
	Weight *units.Kilograms
	Price  *float64
}

// Items lists the bank, the sources and the fuel. Weights and prices per ampere-
// hour, watt and litre are multiplied out. The fuel is listed if the engine's
// weight or the price of a litre is given.
func (f *File) Items() []Item {
	b := &f.Bank
	items := []Item{item("bank", b.Worth, b.WeighsPerAh, b.CostsPerAh, float64(b.Capacity))}
	s := &f.Sources
	for i := range s.Panels {
		p := &s.Panels[i]
		items = append(items, item(p.Name, p.Worth, p.WeighsPerW, p.CostsPerW, float64(p.Rated)))
	}
	if h := s.Hydro; h != nil {
		items = append(items, item(h.Name, h.Worth, nil, nil, 0))
	}
	if e := s.Engine; e != nil {
		items = append(items, item(e.Name, e.Worth, nil, nil, 0))
		var litre *units.Kilograms
		if e.Weighs != nil {
			kg := units.Kilograms(FuelDensity)
			litre = &kg
		}
		if litre != nil || e.CostsPerL != nil {
			items = append(items, item("fuel", Worth{}, litre, e.CostsPerL, float64(e.Fuel)))
		}
	}
	if w := s.Wind; w != nil {
		items = append(items, item(w.Name, w.Worth, nil, nil, 0))
	}
	if x := s.Shore; x != nil {
		items = append(items, item(x.Name, x.Worth, nil, nil, 0))
	}
	return items
}

// item joins what is given outright with what is given per unit of size: only
// one of the two can be, see assembly.worth.
func item(name string, w Worth, weighs *units.Kilograms, costs *float64, size float64) Item {
	x := Item{name, w.Weighs, w.Costs}
	if weighs != nil {
		kg := units.Kilograms(float64(*weighs) * size)
		x.Weight = &kg
	}
	if costs != nil {
		price := *costs * size
		x.Price = &price
	}
	return x
}

// Weight returns what the kit weighs: the sum over all items whose weight is
// given. It is false if none is.
func (f *File) Weight() (total units.Kilograms, given bool) {
	for _, x := range f.Items() {
		if x.Weight != nil {
			total, given = total+*x.Weight, true
		}
	}
	return total, given
}

// Price returns what the kit costs, as Weight does what it weighs.
func (f *File) Price() (total float64, given bool) {
	for _, x := range f.Items() {
		if x.Price != nil {
			total, given = total+*x.Price, true
		}
	}
	return total, given
}

// worth checks that nothing is weighed or priced in two ways.
func (a *assembly) worth() {
	check := func(path, unit string, w Worth, weighs *units.Kilograms, costs *float64) {
		if w.Weighs != nil && weighs != nil {
			a.doc.Problem(path+".weighs", "give either 'weighs' or 'weighs per %s'", unit)
		}
		if w.Costs != nil && costs != nil {
			a.doc.Problem(path+".costs", "give either 'costs' or 'costs per %s'", unit)
		}
	}
	b := &a.file.Bank
	check("bank", "Ah", b.Worth, b.WeighsPerAh, b.CostsPerAh)
	for i := range a.file.Sources.Panels {
		p := &a.file.Sources.Panels[i]
		check(fmt.Sprintf("sources.panels[%d]", i), "W", p.Worth, p.WeighsPerW, p.CostsPerW)
	}
}
