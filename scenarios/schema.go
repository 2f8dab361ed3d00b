package scenarios

import (
	"fmt"
	"strings"
)

// Schema returns the JSON Schema of a scenario file, for editors.
func Schema() []byte {
	return layout().Schema("ampwake scenario", "A passage, a boat and what its electricity must do.")
}

// Reference returns every key of a scenario file with its meaning, as text.
func Reference() string {
	var b strings.Builder
	for _, k := range layout().Reference() {
		fmt.Fprintf(&b, "%s\n    %s\n", k.Path, k.Doc)
		facts := k.Facts()
		if len(facts) > 0 {
			fmt.Fprintf(&b, "    (%s)\n", strings.Join(facts, "; "))
		}
	}
	return b.String()
}

// ItemNames returns the names of the items of each list whose items have names,
// by the path of the list: those that stand in brackets in an override. A file
// with mistakes yields what can be read of it.
func ItemNames(label string, src []byte) map[string][]string {
	var f File
	_, _ = layout().Load(label, src, nil, &f) // mistakes are told when it is sailed
	names := map[string][]string{"variants": f.variantNames()}
	add := func(list, name string) {
		if name != "" {
			names[list] = append(names[list], name)
		}
	}
	for i := range f.Loads {
		add("loads", f.Loads[i].Name)
	}
	for i := range f.Sources.Panels {
		add("sources.panels", f.Sources.Panels[i].Name)
	}
	for i := range f.Voyage.Route.Points {
		add("voyage.route", f.Voyage.Route.Points[i].Name)
	}
	for i := range f.Voyage.Zones {
		add("voyage.zones", f.Voyage.Zones[i].Name)
	}
	return names
}
