package scenarios_test

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"strings"
	"testing"
	"time"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
	"ampwake/sim"
)

// FuzzRead: no text and no override makes the reader panic or hang. What is
// wrong is told as problems; what is right can be sailed, at least for a day.
func FuzzRead(f *testing.F) {
	for _, info := range scenarios.Builtin() {
		f.Add(source(f, info.Name), "bank.capacity=2 x 100 Ah")
	}
	small := scenario(f)
	for _, set := range []string{
		"", "=", "bank.start=0 %", "loads.lamp.draws=", "faults=[\"lamp: left on at 1 A, day 2\"]", "voyage.route={gpx: x.gpx}", "weather.record=x.csv",
		"voyage.pace[0].speed=by wind", "weather=climate", "sources.wind={}", "model.step=30 s", "loads[0].name=\"\"", "goals.keep=[lamp]", "voyage.zones=[{name: z}]",
		"loads[0].station=Boston US", "loads[0].receive=2 A", "weather.spells=[{kind: calm, for: 7 d, begins: north of 5°N}]",
	} {
		f.Add([]byte(small), set)
	}
	deny := func(string) (io.ReadCloser, error) { return nil, fs.ErrNotExist }
	f.Fuzz(func(t *testing.T, src []byte, set string) {
		if len(src) > 1<<14 || len(set) > 1<<10 {
			t.Skip("too long to be worth it")
		}
		begun := time.Now()
		var sets []string
		if set != "" {
			sets = strings.SplitN(set, "\n", 4)
		}
		s, err := scenarios.ReadSealed(deny, "fuzz.yaml", bytes.Clone(src), sets...)
		if took := time.Since(begun); took > 20*time.Second {
			t.Fatalf("reading took %v", took)
		}
		var all *form.Problems
		switch {
		case err == nil:
		case !errors.As(err, &all) || len(all.List) == 0:
			t.Fatalf("no problems told: %v", err)
		default:
			for _, p := range all.List {
				if p.Message == "" {
					t.Fatalf("a problem without words: %+v", p)
				}
			}
			return
		}
		_ = s.Summary()
		v := *s.Voyage()
		if v.Limit == 0 || v.Limit > 24 {
			v.Limit = 24
		}
		v.Grid = max(v.Grid, 10*time.Minute)
		res, err := v.Sail(t.Context(), sim.Options{Lean: true})
		if err != nil {
			t.Fatal(err)
		}
		closed(t, res)
	})
}
