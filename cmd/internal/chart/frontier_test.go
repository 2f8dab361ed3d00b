package chart

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// frontierOf is n kits, the odds rising with size and falling back now and then.
func frontierOf(n int) FrontierInput {
	in := FrontierInput{Title: "Sizing", Facts: []string{"ENOUGH so much.", "Holds in many."}, Caption: "ampwake 0.1", Axis: "weight of the kit, kg", Wanted: 0.95}
	for i := range n {
		p := min(1, float64(i+1)/float64(n)+0.1*float64(i%3))
		in.Kits = append(in.Kits, FrontierKit{
			X: 40 + 7*float64((i*5)%n), P: p, Low: max(0, p-0.05), High: min(1, p+0.04),
			Name: fmt.Sprintf("%d Ah, no deck panel", 100+20*i), Early: i%2 == 1, Front: i%3 == 0, Best: i == n/2, Rival: i == n/2-1,
		})
	}
	return in
}

// frontiers are the pictures of the gallery.
func frontiers() map[string]laidOut {
	same := frontierOf(4)
	for i := range same.Kits {
		same.Kits[i].X = 0
	}
	long := frontierOf(5)
	for i := range long.Kits {
		long.Kits[i].Name = "bank 100 Ah, no panel on the rail at the stern, hydro limit 15 A, alternator 60 A, fuel 25 L"
	}
	return map[string]laidOut{
		"frontier": NewFrontier(frontierOf(12)), "frontier of one": NewFrontier(frontierOf(1)), "frontier of many": NewFrontier(frontierOf(60)),
		"frontier of the same": NewFrontier(same), "frontier, long names": NewFrontier(long),
	}
}

func TestFrontierModel(t *testing.T) {
	in := frontierOf(12)
	in.Kits = []FrontierKit{
		{X: 30, P: 0.5, Name: "c"}, {X: 10, P: 0.2, Name: "a"}, {X: 20, P: 0.1, Name: "b"}, {X: 40, P: 0.5, Name: "d"}, {X: 50, P: 1.5, Low: 0.9, High: 2, Name: "e"},
	}
	f := NewFrontier(in)
	require.Equal(t, 95.0, f.Wanted)
	var names string
	for _, k := range f.Kits {
		names += k.Name
	}
	require.Equal(t, "abcde", names, "the smallest first")
	require.Equal(t, 100.0, f.Kits[4].P, "held")
	require.Equal(t, [][2]float64{{10, 0}, {10, 20}, {30, 20}, {30, 50}, {50, 50}, {50, 100}, {f.X1, 100}}, f.Front, "never down")
	require.Less(t, f.X0, 10.0)
	require.Greater(t, f.X1, 50.0)
	require.Panics(t, func() { NewFrontier(FrontierInput{}) })
}

// The answer is named, whatever else there is room for.
func TestFrontierNamesTheAnswer(t *testing.T) {
	for _, n := range []int{1, 4, 12, 60} {
		in := frontierOf(n)
		s := NewFrontier(in).layout(NewFrontier(in).Size())
		found := false
		for _, w := range s.words {
			found = found || w.text == in.Kits[n/2].Name
		}
		require.True(t, found, "of %d", n)
	}
}
