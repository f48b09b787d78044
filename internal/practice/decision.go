package practice

import "slices"

// Answer is what a coach decided about a notice.
type Answer string

// Answers.
const (
	AnswerDone      Answer = "done"      // dealt with: gone until the next occasion
	AnswerPostponed Answer = "postponed" // gone until a day
	AnswerMuted     Answer = "muted"     // this kind, of this student, until it is unmuted; with a reason
)

// Answers is the vocabulary of decisions.
var Answers = []Answer{AnswerDone, AnswerPostponed, AnswerMuted}

// Decision is what a coach decided about one kind of notice of a student; the
// latest one stands.
type Decision struct {
	Student string  `json:"student"`
	Kind    string  `json:"kind"`
	About   string  `json:"about"` // the occasion it was made on
	Answer  Answer  `json:"answer"`
	Until   *Date   `json:"until,omitempty"`  // of a postponed one: the first day it may show again
	Reason  string  `json:"reason,omitempty"` // of a muted one
	By      string  `json:"by"`
	At      Instant `json:"at"`
}

// Check lists what is wrong with the decision itself.
func (d Decision) Check() (fs []Fault) {
	for _, id := range []struct{ field, value string }{{"student", d.Student}, {"kind", d.Kind}, {"by", d.By}} {
		if !ValidID(id.value) {
			fs = append(fs, Fault{Code: BadID, Field: id.field, Value: Short(id.value)})
		}
	}
	if !slices.Contains(Answers, d.Answer) {
		fs = append(fs, Fault{Code: UnknownWord, Field: "answer", Value: Short(string(d.Answer)), Want: joined(Answers)})
	}
	if d.Answer == AnswerPostponed && d.Until == nil {
		fs = append(fs, Fault{Code: MissingField, Field: "until", Want: "the first day it may show again"})
	}
	if d.Answer == AnswerMuted && d.Reason == "" {
		fs = append(fs, Fault{Code: MissingField, Field: "reason", Want: "why it is not to show again"})
	}
	return fs
}

// Look is what was worked out of one student on a day, kept so that a page need
// not do it again. It can be thrown away at any time.
type Look struct {
	Student string
	AsOf    Date
	Seen    int64  // the last line of the audit trail it knows of
	Brief   []byte // JSON: what a list of everybody shows of it
	Doc     []byte // JSON: the whole
}

// Lore is what the logs of a studio say together, as of a day. It names no
// student, and can be thrown away at any time.
type Lore struct {
	AsOf Date
	Doc  []byte // JSON
}
