// Package form reads one YAML document into Go structs, strictly, and tells
// every mistake at once with its line, its column and a way out.
//
// The struct definitions are the only place where the format is written down:
// reader, overrides by path, defaults, ranges, JSON Schema and reference text
// all follow from them.
//
//	type Bank struct {
//		Chemistry Chemistry      `key:"chemistry" doc:"kind of cells" default:"agm"`
//		Capacity  units.AmpHours `key:"capacity,required" doc:"rated 20-hour capacity" min:"1 Ah" max:"10000 Ah"`
//		Start     units.Fraction `key:"start" doc:"state of charge at departure" default:"100 %" min:"0 %" max:"100 %"`
//		CutOff    *units.Volts   `key:"cut-off" doc:"all loads stop under it"`
//	}
//
// # Tags
//
//   - key:"name,option,…" names the key; it may hold spaces. Fields without
//     this tag are left alone, except embedded structs, whose fields join in.
//   - doc: a line for people. default: used when the key is absent. status:
//     where the default comes from, or what is taken without one.
//     example: a specimen for messages, schema and reference.
//   - min, max: an inclusive range; above, below: an exclusive one. Written in
//     the type's own text ("1 Ah") or as a bare number of its base unit. On a
//     list or a map they hold for each value.
//   - items:"2..40", "2..", "..40" or "12": how many items a list may have.
//
// Options of the key tag:
//
//   - required: the key must be there, and a required text must not be empty.
//   - one: a list may be written as its only item, without the dash.
//   - scalar: the struct holding this field may be written as a plain value,
//     which is read into this field ("cloud: 0.4").
//   - list: likewise for a list ("when: [dusk to dawn, 10:00 to 10:30]").
//   - row: the struct may be written as a list of its row fields in their
//     order ("[3 kn, 1 A]"); trailing optional ones may be left out.
//
// A scalar, list or row field may have an empty name: key:",scalar". Then that
// short form is the only way to write it.
//
// # Types
//
// A field may be any encoding.TextUnmarshaler, a string, bool, integer,
// float64 (finite, no unit), a struct, a slice or array of these, a map from
// string to these, and a pointer to any of them (nil when the key is absent).
// A type with a method Choices() []string takes only those texts. What stands
// in the file is read as written, never as YAML would understand it: "no" in a
// text stays "no", and 1_000, 0x10, .inf and .nan are refused as numbers.
//
// # Paths
//
// Problems, overrides and look-ups share one way to name a place:
//
//	bank.capacity
//	sources.hydro.lift below
//	loads[2].when                 the third item: items count from 0
//	loads[HF radio].receive       the item whose name is "HF radio"
//	loads["VHF 25.5 W"].receive   in quotes, when the name is odd
//	loads.HF radio.receive        the same without brackets
//
// Where a list may be written as its only item, or holds just one, the index
// may be left out.
//
// # Overrides
//
// "path=value" sets a value before reading. A value that starts with [ or {,
// or stands in quotes, is YAML; all else is taken literally, so that no # or :
// needs care. "path=" removes the key or the list item, so the default comes
// back; for an empty text write path="". Keys known to the structs but absent
// in the file are created; list items are not. Overrides apply in order, and
// change only the place they name even where the file uses anchors and merges.
//
// # Limits
//
// A file may have 1 MiB, 32 levels of nesting and one document in UTF-8
// without control characters. Anchors, aliases and merge keys work as long as
// they do not unfold to more than 10,000 values. Tags (!!str) are refused.
package form
