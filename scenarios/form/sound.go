package form

import "strings"

// Sound reports whether nothing is wrong with the value at a path or below it
// so far, so that a later check would not tell the same mistake twice or trip
// over it.
func (doc *Doc) Sound(path string) bool {
	if doc.root == nil {
		return false
	}
	at, rest := doc.find(path)
	full := join(at.path(), rest)
	for _, p := range doc.problems {
		// A missing or unknown key is printed with the mapping it concerns,
		// but its Path is its own.
		below, found := strings.CutPrefix(p.Path, full)
		if found && (full == "" || below == "" || below[0] == '.' || below[0] == '[') {
			return false
		}
	}
	return true
}

// Empty reports whether nothing could be read of the document at all.
func (doc *Doc) Empty() bool { return doc.root == nil }

// Nearest returns a hint that names the word closest to what was written, or ""
// when none is close enough to be meant.
func Nearest(written string, words []string) string {
	word, _ := nearest(written, words)
	if word == "" {
		return ""
	}
	return "did you mean " + quote(word) + "?"
}
