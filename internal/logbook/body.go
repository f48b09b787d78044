package logbook

import (
	"strings"
	"unicode/utf8"

	"aplomb/internal/practice"
)

// body is the fields of one kind of entry; what is left out is unknown.
type body interface {
	// row is what it is in the log, with the faults of its words.
	row(id, student string) (row, []practice.Fault)
}

var bodies = map[practice.EntryKind]func() body{
	practice.TryEntry:     func() body { return new(tryBody) },
	practice.TallyEntry:   func() body { return new(tallyBody) },
	practice.SessionEntry: func() body { return new(sessionBody) },
	practice.WordsEntry:   func() body { return new(wordsBody) },
	practice.MarkEntry:    func() body { return new(markBody) },
	practice.DetourEntry:  func() body { return new(detourBody) },
}

// words reads the words of a body and notes the unknown ones.
type words struct{ faults []practice.Fault }

func word[W ~string](w *words, field string, vocabulary []W, s string) W {
	if s == "" {
		return ""
	}
	known, err := practice.Word(vocabulary, s)
	if err != nil {
		w.faults = append(w.faults, practice.FieldFault(field, s, practice.UnknownWord, err))
	}
	return known
}

// required notes a field without a value.
func (w *words) required(field, s string) {
	if s == "" {
		w.faults = append(w.faults, practice.Fault{Code: practice.MissingField, Field: field})
	}
}

// maxNote is the most letters of a note from a phone.
const maxNote = 2000

// text notes a text that is too long, or has a zero byte, which is no letter.
func (w *words) text(field, s string) {
	if utf8.RuneCountInString(s) > maxNote || strings.IndexByte(s, 0) >= 0 {
		w.faults = append(w.faults, practice.Fault{Code: practice.OutOfRange, Field: field, Value: practice.Short(s), Want: "at most 2000 letters"})
	}
}

func (w *words) weekday(field, s string) (m practice.Maybe[practice.Weekday]) {
	if s == "" {
		return m
	}
	if err := m.Value.UnmarshalText([]byte(s)); err != nil {
		w.faults = append(w.faults, practice.FieldFault(field, s, practice.UnknownWord, err))
		return m
	}
	m.Known = true
	return m
}

// week reads the name of a week handed over to the student.
func (w *words) week(s, student string) (week string, version int) {
	if s == "" {
		return "", 0
	}
	of, iso, version, err := practice.ParseWeekKey(s)
	switch {
	case err != nil:
		w.faults = append(w.faults, practice.Fault{Code: practice.BadID, Field: "week", Value: practice.Short(s), Err: err})
		return "", 0
	case of != student:
		w.faults = append(w.faults, practice.Fault{Code: practice.UnknownID, Field: "week", Value: practice.Short(s)})
		return "", 0
	}
	return iso.String(), version
}

// maybe is a value that may have been left out.
func maybe[T any](p *T) practice.Maybe[T] {
	if p == nil {
		return practice.Maybe[T]{}
	}
	return practice.Known(*p)
}
