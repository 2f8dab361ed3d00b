package form

import (
	"fmt"
	"strings"
)

// fold makes two spellings of one key alike: case, and the choice between
// space, hyphen and underscore.
func fold(key string) string {
	return strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(strings.TrimSpace(key)))
}

// nearest returns the word closest to what was written and its distance, or
// "" when none is close enough to be meant.
func nearest(written string, words []string) (word string, distance int) {
	written = fold(written)
	n := len([]rune(written))
	if n == 0 || n > 64 {
		return "", 0
	}
	most := 3
	switch {
	case n <= 4:
		most = 1
	case n <= 8:
		most = 2
	}
	distance = most + 1
	for _, w := range words {
		if d := editDistance(written, fold(w)); d < distance && d < n {
			word, distance = w, d
		}
	}
	return word, distance
}

// editDistance counts the insertions, deletions, replacements and swaps of
// neighbours between two words (optimal string alignment: the restricted
// Damerau-Levenshtein distance, Damerau 1964).
func editDistance(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			row[j] = min(row[j-1]+1, last[j]+1, last[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}

// keyHint guesses what an unknown key should have been: a sibling spelled
// otherwise, a key of another place, or else it lists the keys known here.
// It returns the sibling, if that is the guess.
func (f *Form) keyHint(s *shape, key string) (hint string, meant *field) {
	names := s.names()
	word, distance := nearest(key, names)
	// A key that exists elsewhere was more likely misplaced than misspelled
	// by two letters.
	if word == "" || distance > 1 {
		if places := f.places[fold(key)]; len(places) == 1 {
			return fmt.Sprintf("%q belongs %s", key, places[0]), nil
		}
	}
	if word != "" {
		return fmt.Sprintf("did you mean %q?", word), s.keys[word]
	}
	if len(names) == 0 {
		return "", nil
	}
	return "known here: " + enumerate(names), nil
}
