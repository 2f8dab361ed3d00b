package desk

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
)

// Each end of each scale, each choice, each switch and each thing that can be
// taken out or put in is accepted by the file format, in every built-in scenario
// and with every kind of source fitted. What else it breaks (a floor above the
// start, a goal without its load) may be said, but never that a control wrote
// nonsense.
func TestControlsWriteWhatTheFileTakes(t *testing.T) {
	s := New(Options{})
	for _, b := range scenarios.Builtin() {
		_, text, err := scenarios.Source(b.Name)
		require.NoError(t, err)
		for name, more := range map[string][]string{
			b.Name: nil,
			b.Name + ", all fitted": {
				"sources.hydro={rotor: {diameter: 0.28 m}}", "sources.engine={alternator: 60 A}", "weather.wind={speed: 12 kn, from: 60°}",
				"sources.wind={diameter: 1.1 m}", "boat={resistance: [[3 kn, 114 N], [6 kn, 723 N]]}", "voyage.pace[0].speed=by wind",
			},
		} {
			t.Run(name, func(t *testing.T) {
				try := func(what string, from []byte, sets ...string) {
					t.Helper()
					_, err := s.open(from, append(more[:len(more):len(more)], sets...)...)
					p, ok := errors.AsType[*form.Problems](err)
					if !ok {
						assert.NoError(t, err, "%s %v", what, sets)
						return
					}
					for _, one := range p.List {
						assert.Equal(t, form.Check, one.Kind, "%s %v: %v", what, sets, one)
					}
				}
				sc, err := s.open(text, more...)
				require.NoError(t, err)
				p := panelOf(sc)
				sliders := 0
				for _, g := range append(p.Kit, p.Leg...) {
					for _, x := range g.Controls {
						assert.NotEmpty(t, x.Doc, x.Path)
						switch x.Kind {
						case "range":
							sliders++
							assert.Less(t, x.Min, x.Max, x.Path)
							assert.NotEmpty(t, x.Unit, x.Path)
							unit := x.Unit
							if unit == "×" {
								unit = ""
							}
							for _, v := range []float64{x.Min, x.Max, x.Number} {
								try(g.Title, text, x.Path+"="+plain(v)+" "+unit)
							}
							if x.None != "" {
								try(g.Title, text, x.Path+"=")
							}
						case "choice":
							for _, o := range x.Options {
								try(g.Title, text, o.Sets...)
							}
						case "switch":
							try(g.Title, text, x.Sets[0])
							try(g.Title, text, x.Sets[1])
						case "text", "moment":
							if x.Text != "" { // an empty one takes the key out
								try(g.Title, text, x.Path+"="+x.Text)
							}
						}
					}
					if g.Remove != nil {
						try(g.Title, text, g.Remove...)
					}
					for _, a := range g.Adds {
						from := text
						if a.Insert != nil {
							from, err = a.Insert.into(text, s.open)
							require.NoError(t, err, a.Label)
						}
						_, err := s.open(from, append(more[:len(more):len(more)], a.Sets...)...)
						assert.NoError(t, err, a.Label)
					}
				}
				assert.Greater(t, sliders, 15)
			})
		}
	}
}

// What a text control shows is what the file takes and means.
func TestTextsReadBack(t *testing.T) {
	s := New(Options{})
	for _, b := range scenarios.Builtin() {
		_, text, err := scenarios.Source(b.Name)
		require.NoError(t, err)
		sc, err := s.open(text)
		require.NoError(t, err)
		for i := range sc.File.Loads {
			l := &sc.File.Loads[i]
			if len(l.When) == 0 {
				continue
			}
			again, err := s.open(text, `loads["`+l.Name+`"].when=`+whens(l.When))
			require.NoError(t, err, "%s: %s", l.Name, whens(l.When))
			assert.Equal(t, l.When, again.File.Loads[i].When)
		}
	}
}
