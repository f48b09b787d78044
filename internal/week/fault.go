package week

import (
	"fmt"
	"strings"

	"github.com/agnivade/levenshtein"
)

// A Fault is something wrong with a problem: where, what, and what to do.
type Fault struct {
	Line    int    // in the file, from 1; 0 where the problem did not come from a file
	Field   string // as drills[3].min_sets; empty for the file as a whole
	Problem string
	Remedy  string
}

// Error names the line, the field, the fault and its remedy.
func (f Fault) Error() string {
	var b strings.Builder
	if f.Line > 0 {
		fmt.Fprintf(&b, "line %d: ", f.Line)
	}
	if f.Field != "" {
		b.WriteString(f.Field + ": ")
	}
	return b.String() + f.Problem + "; " + f.Remedy
}

// Faults are all faults found in a problem, in file order.
type Faults []Fault

// Error gives one fault a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i := range f {
		lines[i] = f[i].Error()
	}
	return strings.Join(lines, "\n")
}

// nearest is the known word closest to the given one, in single-character
// edits; the first of several.
func nearest(word string, known []string) string {
	best, at := 0, ""
	for _, k := range known {
		if d := levenshtein.ComputeDistance(word, shorten(k)); at == "" || d < best {
			best, at = d, k
		}
	}
	return at
}

// longestWord is the most characters of a word that are shown or compared.
const longestWord = 64

func shorten(word string) string {
	if r := []rune(word); len(r) > longestWord {
		return string(r[:longestWord]) + "..."
	}
	return word
}

// didYouMean is the remedy for an unknown word.
func didYouMean(word string, known []string) string {
	if len(known) == 0 {
		return "remove it: none is defined"
	}
	return fmt.Sprintf("did you mean %q?", nearest(shorten(word), known))
}
