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
		var facts []string
		if k.Words != "" {
			facts = append(facts, k.Words)
		}
		switch {
		case k.Required:
			facts = append(facts, "required")
		case k.Default != "":
			facts = append(facts, strings.TrimSuffix("default "+k.Default+": "+k.Status, ": "))
		case k.Status != "":
			facts = append(facts, "if absent: "+k.Status)
		}
		if k.Range != "" {
			facts = append(facts, k.Range)
		}
		if k.Items != "" {
			facts = append(facts, k.Items)
		}
		if len(facts) > 0 {
			fmt.Fprintf(&b, "    (%s)\n", strings.Join(facts, "; "))
		}
	}
	return b.String()
}
