package practice

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// SetWords is what a student told of a set right after it, one line each: what
// to keep, what to try next.
type SetWords struct {
	ID      string
	Student string
	At      Instant
	Session string // the session log it belongs to, if known
	Drill   string
	Set     int // from 1, 0 unknown
	Keep    string
	Next    string
}

// MaxLine is the most letters of a line a student writes in between.
const MaxLine = 200

// Check lists what is impossible in the words themselves.
func (w SetWords) Check() (fs []Fault) {
	fs = append(checkRow(w.ID, w.Student, w.Drill), checkPlace(w.Session, "", w.Set)...)
	fs = append(append(fs, checkLine("keep", w.Keep)...), checkLine("next", w.Next)...)
	if w.Keep == "" && w.Next == "" {
		fs = append(fs, Fault{Code: MissingField, Field: "keep", Want: "a word in keep or in next"})
	}
	return fs
}

// checkLine is the fault of a text that is no short line.
func checkLine(field, text string) []Fault {
	if utf8.RuneCountInString(text) <= MaxLine && !strings.ContainsFunc(text, unicode.IsControl) {
		return nil
	}
	return []Fault{{Code: OutOfRange, Field: field, Value: Short(text), Want: "one line of at most 200 letters"}}
}
