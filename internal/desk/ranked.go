package desk

import (
	"cmp"
	"slices"

	"aplomb/internal/practice"
)

// silences says whether the decision keeps the notice off the desk that day.
func silences(d practice.Decision, n Notice, day practice.Date) bool {
	if d.Student != n.Student || d.Kind != string(n.Kind) {
		return false
	}
	switch d.Answer {
	case practice.AnswerDone:
		return d.About == n.About
	case practice.AnswerPostponed:
		return d.Until != nil && day < *d.Until
	}
	return d.Answer == practice.AnswerMuted && n.Kind.Mutable()
}

// Mutable says whether a kind may be muted for good: pain may not.
func (k Kind) Mutable() bool { return k != Refer && k != Hurts }

// Ranked is the notices of a desk.
type Ranked struct {
	Shown   []Notice
	Held    int // over the cap: told, not listed
	Settled int // decided on
}

// Cap is how many notices a desk lists a day beside those of pain, which are
// never held back.
const Cap = 12

// Rank puts the notices of many students in order, leaves out what the coach
// has decided on, and holds back what is over the cap. One student gives one
// line: the most pressing notice, and one more if it is as pressing as a
// backward step.
func Rank(notices []Notice, decisions []practice.Decision, day practice.Date, most int) Ranked {
	var r Ranked
	var open []Notice
	for _, n := range notices {
		if slices.ContainsFunc(decisions, func(d practice.Decision) bool { return silences(d, n, day) }) {
			r.Settled++
			continue
		}
		open = append(open, n)
	}
	slices.SortStableFunc(open, func(a, b Notice) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(b.weight(), a.weight()), cmp.Compare(a.Student, b.Student))
	})
	others, of := 0, map[string]int{}
	for _, n := range open {
		if n.Kind.Mutable() {
			pressing := n.rank() <= slices.Index(Kinds, Stalled)
			if others == most || of[n.Student] > 0 && !pressing || of[n.Student] > 1 {
				r.Held++
				continue
			}
			others++
		}
		of[n.Student]++
		r.Shown = append(r.Shown, n)
	}
	return r
}

// weight orders notices of one kind.
func (n Notice) weight() float64 {
	e := n.Evidence
	switch n.Kind {
	case Refer, Hurts:
		return e.Level
	case Quiet, Back:
		return float64(e.Days)
	case Backwards:
		return -e.P
	case Ready:
		return e.P
	}
	return e.Share
}
