package sheet

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
)

// The shortest and the barest of voyages make a page all the same.
func TestEdges(t *testing.T) {
	cases := map[string]func() (*sim.Result, RunOptions){
		"an hour":   func() (*sim.Result, RunOptions) { return sail(t, "radio-cover", "voyage.for=1h") },
		"ten hours": func() (*sim.Result, RunOptions) { return sail(t, "radio-cover", "voyage.for=10h") },
		"empty bank": func() (*sim.Result, RunOptions) {
			return sail(t, "radio-cover", "bank.start=52 %", "bank.capacity=30Ah", "voyage.for=12d")
		},
		"bare": func() (*sim.Result, RunOptions) {
			r, opt := sail(t, "radio-cover", "voyage.for=2 d")
			r.Sources, r.Loads, r.Trace.Sources, r.Trace.Loads = nil, nil, nil, nil
			for i := range r.Days {
				r.Days[i].Sources, r.Days[i].Loads = nil, nil
			}
			r.Verdict = sim.Verdict{Holds: true}
			r.Misses, r.Decisions, r.Notes = nil, nil, nil
			return r, opt
		},
	}
	for name, voyage := range cases {
		t.Run(name, func(t *testing.T) {
			r, opt := voyage()
			s := Run(r, opt)
			if name == "bare" {
				require.Equal(t, Plain, s.Tone)
			}
			page := written(t, s)
			doc := parsed(t, page)
			require.NotContains(t, string(page), "NaN")
			require.NotContains(t, string(page), "Inf<")
			require.NotEmpty(t, doc.section(t, "Day by day").all("table"))
			b := openTab(t, fileOf(t, s), 1200, 900)
			require.True(t, ask[bool](b, "document.documentElement.classList.contains('showing')"))
			b.look("edge-" + name)
			b.quiet()
		})
	}
}
