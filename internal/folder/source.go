package folder

import (
	"iter"

	"aplomb/internal/practice"
)

// Source is a studio to be written: what is no student's, then one student
// after the other, then the audit trail. An error ends the writing.
type Source interface {
	Head() (Head, error)
	Records() iter.Seq2[Record, error]
	Trail() iter.Seq2[practice.Change, error]
}

// Head is what a studio keeps that is no student's own.
type Head struct {
	Studio    practice.Studio // its format is not looked at
	People    []practice.Person
	Guardians []practice.Guardian
	Covers    []practice.Cover
	Own       []practice.Drill // the studio's own drills
	Wishes    []practice.Wish
	// LeftOut says, for a person to read, that the health notes are not in the
	// folder; empty where they are.
	LeftOut string
	// Guarded sets an apostrophe before every cell of a CSV file that a
	// spreadsheet would run: one that begins with = + - @, a tab or a CR. Such a
	// folder is for people to open; read again, the cells have the apostrophe.
	Guarded bool
}

// Record is everything kept of one student.
type Record struct {
	Student   practice.Student
	Log       practice.Log
	Notes     []practice.Note
	Consents  []practice.Consent
	Decisions []practice.Decision
	Receipts  []practice.Receipt // of the entries of the student's phones
}

// Head implements [Source].
func (s *Studio) Head() (Head, error) {
	return Head{Studio: s.Studio, People: s.People, Guardians: s.Guardians, Covers: s.Covers, Own: s.Own, Wishes: s.Wishes}, nil
}

// Records implements [Source], in the order of the students.
func (s *Studio) Records() iter.Seq2[Record, error] {
	return func(yield func(Record, error) bool) {
		for _, student := range s.Students {
			record := Record{Student: student, Notes: s.Notes[student.ID], Consents: s.Consents[student.ID], Decisions: s.Decisions[student.ID], Receipts: s.Receipts[student.ID]}
			if log := s.Logs[student.ID]; log != nil {
				record.Log = *log
			}
			if !yield(record, nil) {
				return
			}
		}
	}
}

// Trail implements [Source].
func (s *Studio) Trail() iter.Seq2[practice.Change, error] {
	return func(yield func(practice.Change, error) bool) {
		for _, c := range s.Changes {
			if !yield(c, nil) {
				return
			}
		}
	}
}
