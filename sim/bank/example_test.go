package bank_test

import (
	"fmt"

	"ampwake/sim/bank"
)

// A night and a morning on 230 Ah: 4 A until dawn, then 120 W.
func Example() {
	m, err := bank.New(bank.Default(bank.AGM, 230))
	if err != nil {
		fmt.Println(err)
		return
	}
	const sea = 24
	s := m.Start(0.80, sea)
	var spilled float64
	for step := range 18 * 6 {
		in := bank.Node{Current: 4, Temp: sea, Length: 1.0 / 6}
		if step >= 12*6 {
			in.Supply = 120
		}
		f := m.Step(&s, in)
		spilled += float64(f.Spilled) / 6
		if (step+1)%(6*6) == 0 {
			fmt.Printf("%2d h  %4.1f %%  %5.2f V\n", (step+1)/6, 100*float64(m.Charge(&s, sea)), float64(f.Volts))
		}
	}
	fmt.Printf("spilled %.0f Wh\n", spilled)
	// Output:
	//  6 h  70.0 %  12.35 V
	// 12 h  60.1 %  12.21 V
	// 18 h  72.4 %  13.32 V
	// spilled 0 Wh
}

// Can the radio transmit at 40 % and 5 °C? The published answer for a 200 Ah AGM
// bank and 6 m of 10 mm² is no: 11.86 V at the bank, 11.19 V at the radio.
func ExampleJudge() {
	s := bank.Default(bank.AGM, 200)
	s.Tanks.Over = 1 // count the state of charge on the rated capacity
	m, _ := bank.New(s)
	state := m.Start(0.40, 5)
	bus := m.Look(&state, bank.Node{Current: 25, Temp: 5})
	loop, _ := bank.Cable{Run: 6, Area: 10, Make: bank.Class5Plain, Temp: 5, Extra: 0.005}.Loop()
	radio := bus.Volts - bank.Drop(loop, 25)
	fmt.Printf("bank %.2f V, radio %.2f V: %v\n", float64(bus.Volts), float64(radio), bank.Judge(radio, 11.56))
	// Output: bank 11.86 V, radio 11.19 V: no
}

// The published GMDSS example: 41.44 Ah for one hour.
func ExampleGMDSS() {
	g := bank.GMDSS{Transmit: 38, Receive: 8.1, Other: 2.5}
	fmt.Printf("%.2f Ah\n", float64(g.Need(1, 1.4)))
	// Output: 41.44 Ah
}

// A data sheet's capacity table becomes the tanks of a bank.
func ExampleFitTanks() {
	table := []bank.Rate{{20, 40}, {10, 37.2}, {5, 34}, {1, 24}}
	tanks, worst, err := bank.FitTanks(table, 40)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := bank.Default(bank.AGM, 40)
	s.Tanks = tanks
	m, _ := bank.New(s)
	fmt.Printf("within %.1f %%: %.1f Ah over 3 h\n", 100*float64(worst), float64(m.Delivers(3, 25)))
	// Output: within 1.0 %: 30.4 Ah over 3 h
}
