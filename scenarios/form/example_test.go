package form_test

import (
	"errors"
	"fmt"
	"os"

	"ampwake/scenarios/form"
	"ampwake/sim/units"
)

// boat is all there is to write for a format: keys, ranges, defaults, words.
type boat struct {
	Name string `key:"name,required" doc:"of the boat"`
	Bank struct {
		Capacity units.AmpHours `key:"capacity,required" doc:"rated 20-hour capacity" min:"1 Ah" max:"10000 Ah"`
		Start    units.Fraction `key:"start" doc:"state of charge at departure" default:"100 %" max:"100 %"`
	} `key:"bank,required" doc:"the battery"`
	Lamps []lamp `key:"lamps,one" doc:"what shines"`
}

type lamp struct {
	Name  string      `key:"name" doc:"where it hangs"`
	Draws units.Watts `key:"draws,required,scalar" doc:"while it shines"`
}

const fleck = `name: Fleck
bank:
  capacity: 2 x 115 Ah
lamps:
  - {name: mast, draws: 2.5 W}
  - 5 W
`

func ExampleForm_Load() {
	var b boat
	_, err := form.Of[boat](nil).Load("fleck.yaml", []byte(fleck), nil, &b)
	fmt.Println(b.Name, b.Bank.Capacity, b.Bank.Start, b.Lamps[0].Draws, b.Lamps[1].Draws, err)
	// Output: Fleck 230 Ah 100 % 2.5 W 5 W <nil>
}

func ExampleProblems_Print() {
	src := `nane: Fleck
bank:
  capacity: 0 Ah
lamps: [{name: mast, draws: [2.5 W]}]
start: 50 %
`
	var b boat
	_, err := form.Of[boat](nil).Load("fleck.yaml", []byte(src), nil, &b)
	var all *form.Problems
	if errors.As(err, &all) {
		_ = all.Print(os.Stdout)
	}
	// Output:
	// fleck.yaml:1:1: unknown key "nane"
	//     nane: Fleck
	//     ^
	//   hint: did you mean "name"?
	// fleck.yaml:3:13: bank.capacity: "0 Ah" is out of range: it must be from 1 Ah to 10000 Ah
	//       capacity: 0 Ah
	//                 ^
	// fleck.yaml:4:29: lamps["mast"].draws: must be a power, like 85 W; this is a list
	//     lamps: [{name: mast, draws: [2.5 W]}]
	//                                 ^
	// fleck.yaml:5:1: unknown key "start"
	//     start: 50 %
	//     ^
	//   hint: "start" belongs under bank
}

func ExampleSets() {
	var b boat
	sets := form.Sets([]string{"bank.capacity=440 Ah", "lamps[mast].draws=1 W", "lamps[1]="})
	doc, err := form.Of[boat](nil).Load("fleck.yaml", []byte(fleck), sets, &b)
	fmt.Println(b.Bank.Capacity, len(b.Lamps), err)
	text, err := doc.Save()
	fmt.Print(string(text), err)
	// Output:
	// 440 Ah 1 <nil>
	// name: Fleck
	// bank:
	//   capacity: 440 Ah
	// lamps:
	//   - {name: mast, draws: 1 W}
	// <nil>
}

func ExampleDoc_Problem() {
	var b boat
	doc, _ := form.Of[boat](nil).Load("fleck.yaml", []byte(fleck), nil, &b)
	if b.Lamps[0].Draws > 2 {
		doc.Problem("lamps[0].draws", "no lamp aboard draws %v", b.Lamps[0].Draws).Hint = "take an LED"
	}
	fmt.Println(doc.Err())
	// Output: fleck.yaml:5:25: lamps["mast"].draws: no lamp aboard draws 2.5 W
}

func ExampleForm_Reference() {
	for _, k := range form.Of[boat](nil).Reference() {
		if k.Unit != "" {
			fmt.Printf("%s: %s; %s\n", k.Path, k.Words, k.Doc)
		}
	}
	// Output:
	// bank.capacity: a charge, like 2 x 115 Ah; rated 20-hour capacity
	// bank.start: a share, like 55 % or 0.55; state of charge at departure
	// lamps[].draws: a power, like 85 W; while it shines
}
