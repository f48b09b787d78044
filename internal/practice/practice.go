// Package practice holds the nouns of a hand-balancing studio: students,
// drills, tries, sessions, probes, weeks; their words, units and validation.
//
// Values carry seconds, minutes, metres, kilograms, degrees and probabilities
// from 0 to 1. Unknown is never zero: a value that may be missing is a [Maybe].
package practice

// Maybe is a value that may be unknown. Its zero value is unknown.
type Maybe[T any] struct {
	Value T
	Known bool
}

// Known wraps a value that is there.
func Known[T any](v T) Maybe[T] { return Maybe[T]{Value: v, Known: true} }

// Or is the value, or otherwise where it is unknown.
func (m Maybe[T]) Or(otherwise T) T {
	if m.Known {
		return m.Value
	}
	return otherwise
}

// ValidID says whether s may name a row: 1 to 64 of A-Z a-z 0-9 _ and -.
func ValidID(s string) bool {
	if len(s) == 0 || len(s) > 64 {
		return false
	}
	for i := range len(s) {
		c := s[i]
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-') {
			return false
		}
	}
	return true
}
