package practice

import (
	"slices"
	"strings"
)

// NoteKind is what a note is about.
type NoteKind string

// Kinds of note. The last four are health notes whatever their mark says: the
// story behind a stop, a restriction, a pain, an answer to the health screen.
const (
	PlainNote       NoteKind = "note"
	LessonNote      NoteKind = "lesson" // a one-to-one lesson, with its minutes
	StopNote        NoteKind = "stop"
	RestrictionNote NoteKind = "restriction"
	PainNote        NoteKind = "pain"
	ScreenNote      NoteKind = "screen"
)

// NoteKinds is the vocabulary of notes.
var NoteKinds = []NoteKind{PlainNote, LessonNote, StopNote, RestrictionNote, PainNote, ScreenNote}

// MaxNote is the most bytes the text of a note may take.
const MaxNote = 64 << 10

// Note is what somebody wrote of a student.
type Note struct {
	ID      string   `json:"id"`
	Student string   `json:"student"`
	At      Instant  `json:"at"`
	By      string   `json:"by"` // id of the person, the student or the guardian
	Kind    NoteKind `json:"kind"`
	Minutes float64  `json:"minutes,omitempty"` // of a lesson
	Health  bool     `json:"health,omitempty"`  // marked private
	Text    string   `json:"text"`
	Next    string   `json:"next,omitempty"` // of a lesson: what comes next
}

// Private says whether the note is a health note: sealed where it is kept,
// shown to the student's coaches alone.
func (n Note) Private() bool {
	return n.Health || n.Kind == StopNote || n.Kind == RestrictionNote || n.Kind == PainNote || n.Kind == ScreenNote
}

// Check lists what is wrong with the note itself.
func (n Note) Check() (fs []Fault) {
	for _, id := range []struct{ field, value string }{{"id", n.ID}, {"student", n.Student}, {"by", n.By}} {
		if !ValidID(id.value) {
			fs = append(fs, Fault{Code: BadID, Field: id.field, Value: Short(id.value)})
		}
	}
	if !slices.Contains(NoteKinds, n.Kind) {
		fs = append(fs, Fault{Code: UnknownWord, Field: "kind", Value: Short(string(n.Kind)), Want: joined(NoteKinds)})
	}
	if !(n.Minutes >= 0 && n.Minutes <= 600) {
		fs = append(fs, outOfRange("minutes", n.Minutes, "0 to 600 minutes"))
	}
	switch {
	case strings.TrimSpace(n.Text) == "" && n.Kind != LessonNote:
		fs = append(fs, Fault{Code: MissingField, Field: "text"})
	case len(n.Text) > MaxNote:
		fs = append(fs, Fault{Code: OutOfRange, Field: "text", Value: Short(n.Text), Want: "at most 64 KiB"})
	}
	switch {
	case n.Next != "" && (n.Kind != LessonNote || n.Private()):
		fs = append(fs, Fault{Code: Contradiction, Field: "next", Value: Short(n.Next), Want: "none: only a lesson that is not private has one"})
	case len(n.Next) > MaxNote:
		fs = append(fs, Fault{Code: OutOfRange, Field: "next", Value: Short(n.Next), Want: "at most 64 KiB"})
	}
	return fs
}

// Purpose is what a consent is for.
type Purpose string

// Purposes of consent.
const (
	ForHealth   Purpose = "health-notes"
	ForClips    Purpose = "clips"
	ForMessages Purpose = "messages"
)

// Purposes is the vocabulary of consents.
var Purposes = []Purpose{ForHealth, ForClips, ForMessages}

// Consent is a yes to keeping or using something, by the student or, where
// local law asks, a guardian. Withdrawn, what it allowed goes; a stop stays.
type Consent struct {
	ID        string   `json:"id"`
	Student   string   `json:"student"`
	For       Purpose  `json:"for"`
	At        Instant  `json:"at"`
	By        string   `json:"by"` // id of the student or the guardian
	Role      Role     `json:"role"`
	Withdrawn *Instant `json:"withdrawn,omitempty"`
}

// Holds says whether the consent was given and not withdrawn.
func (c Consent) Holds() bool { return c.Withdrawn == nil }

// Check lists what is wrong with the consent itself.
func (c Consent) Check() (fs []Fault) {
	for _, id := range []struct{ field, value string }{{"id", c.ID}, {"student", c.Student}, {"by", c.By}} {
		if !ValidID(id.value) {
			fs = append(fs, Fault{Code: BadID, Field: id.field, Value: Short(id.value)})
		}
	}
	if !slices.Contains(Purposes, c.For) {
		fs = append(fs, Fault{Code: UnknownWord, Field: "for", Value: Short(string(c.For)), Want: joined(Purposes)})
	}
	if c.Role != AsStudent && c.Role != AsGuardian {
		fs = append(fs, Fault{Code: Contradiction, Field: "role", Value: Short(string(c.Role)), Want: "student or guardian: nobody else can give it"})
	}
	if c.Role == AsStudent && c.By != c.Student {
		fs = append(fs, Fault{Code: Contradiction, Field: "by", Value: Short(c.By), Want: c.Student + ", the student"})
	}
	if c.Withdrawn != nil && c.Withdrawn.Before(c.At) {
		fs = append(fs, Fault{Code: Contradiction, Field: "withdrawn", Value: c.Withdrawn.String(), Want: "a time after " + c.At.String()})
	}
	return fs
}
