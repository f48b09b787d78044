package practice

import "encoding/json"

// Noun is the kind of thing a change was made to.
type Noun string

// Nouns that are kept.
const (
	StudioNoun   Noun = "studio"
	PersonNoun   Noun = "person"
	GuardianNoun Noun = "guardian"
	CoverNoun    Noun = "cover"
	StudentNoun  Noun = "student"
	DrillNoun    Noun = "drill"
	WishNoun     Noun = "wish"
	WeekNoun     Noun = "week"
	AttemptNoun  Noun = "attempt"
	TallyNoun    Noun = "tally"
	SessionNoun  Noun = "session"
	ProbeNoun    Noun = "probe"
	MarkNoun     Noun = "mark"
	WordsNoun    Noun = "words"
	DetourNoun   Noun = "detour"
	NoteNoun     Noun = "note"
	ConsentNoun  Noun = "consent"
	DecisionNoun Noun = "decision"
)

// Nouns is every noun that is kept.
var Nouns = []Noun{StudioNoun, PersonNoun, GuardianNoun, CoverNoun, StudentNoun, DrillNoun, WishNoun, WeekNoun, AttemptNoun,
	TallyNoun, SessionNoun, ProbeNoun, MarkNoun, WordsNoun, DetourNoun, NoteNoun, ConsentNoun, DecisionNoun}

// Act is what was done.
type Act string

// Acts of the audit trail. Erased keeps that it happened, and nothing else.
const (
	Added    Act = "added"
	Changed  Act = "changed"
	Removed  Act = "removed"
	Imported Act = "imported"
	Erased   Act = "erased"
)

// Acts is the vocabulary of the audit trail.
var Acts = []Act{Added, Changed, Removed, Imported, Erased}

// Change is one line of the audit trail: who did what to whose record, when,
// and how it stood before and after. Rows of the log that arrive are one line a
// batch, with their number and no contents: each row carries its own time.
type Change struct {
	ID      string          `json:"id"`
	At      Instant         `json:"at"`
	By      string          `json:"by"`
	Role    Role            `json:"role"`
	Act     Act             `json:"act"`
	Noun    Noun            `json:"noun"`
	Student string          `json:"student,omitempty"` // whose record
	Key     string          `json:"key,omitempty"`     // of the thing changed
	Rows    int             `json:"rows,omitempty"`    // of a batch
	Before  json.RawMessage `json:"before,omitempty"`
	After   json.RawMessage `json:"after,omitempty"`
}

// Check lists what is wrong with the line itself.
func (c Change) Check() (fs []Fault) {
	if !ValidID(c.ID) {
		fs = append(fs, Fault{Code: BadID, Field: "id", Value: Short(c.ID)})
	}
	if c.Rows < 0 {
		fs = append(fs, outOfRange("rows", float64(c.Rows), "0 or more"))
	}
	for _, w := range []struct {
		field string
		err   error
		value string
	}{
		{"role", second(Word(Roles, string(c.Role))), string(c.Role)},
		{"act", second(Word(Acts, string(c.Act))), string(c.Act)},
		{"noun", second(Word(Nouns, string(c.Noun))), string(c.Noun)},
	} {
		if w.err != nil {
			fs = append(fs, FieldFault(w.field, w.value, UnknownWord, w.err))
		}
	}
	return fs
}

func second[T any](_ T, err error) error { return err }

// Kept is a value as the store has it, with the revision a change must name:
// who changes an older one is told so, and nothing is lost.
type Kept[T any] struct {
	Value T
	Rev   int64
}
