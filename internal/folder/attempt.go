package folder

import (
	"io"
	"iter"

	"aplomb/internal/practice"
)

type attempt = practice.Attempt

var attempts = table[attempt]{
	file: "attempts.csv",
	columns: []column[attempt]{
		text("id", func(a *attempt) *string { return &a.ID }).required(),
		shared("student", func(a *attempt) *string { return &a.Student }).required(),
		instant("at", func(a *attempt) *practice.Instant { return &a.At }).required(),
		shared("session", func(a *attempt) *string { return &a.Session }),
		shared("item", func(a *attempt) *string { return &a.Item }),
		shared("drill", func(a *attempt) *string { return &a.Drill }).required(),
		count("set", func(a *attempt) *int { return &a.Set }),
		count("rep", func(a *attempt) *int { return &a.Rep }),
		word("entry", practice.Entries, func(a *attempt) *practice.Entry { return &a.Entry }),
		word("support", practice.Supports, func(a *attempt) *practice.Support { return &a.Support }),
		word("surface", practice.Surfaces, func(a *attempt) *practice.Surface { return &a.Surface }),
		shared("place", func(a *attempt) *string { return &a.Place }),
		flag("passed", func(a *attempt) *practice.Maybe[bool] { return &a.Passed }),
		maybeNumber("seconds", func(a *attempt) *practice.Maybe[float64] { return &a.Seconds }),
		word("timed", practice.Timings, func(a *attempt) *practice.Timing { return &a.Timed }),
		word("end", practice.Ends, func(a *attempt) *practice.End { return &a.End }),
		flag("cold", func(a *attempt) *practice.Maybe[bool] { return &a.Cold }),
		word("witness", practice.Witnesses, func(a *attempt) *practice.Witness { return &a.Witness }),
		text("note", func(a *attempt) *string { return &a.Note }),
	},
	id:      func(a *attempt) string { return a.ID },
	student: func(a *attempt) string { return a.Student },
	to:      Sink.Attempt,
	check:   func(a *attempt) []practice.Fault { return a.Check() },
	refer: func(a *attempt, k *known) []practice.Fault {
		return k.lookUp(reference{"student", a.Student, &k.students}, reference{"drill", a.Drill, &k.drills})
	},
}

// Attempts yields the sound rows of an attempts.csv used alone, in the order
// they stand, and appends a fault for whatever is wrong to faults. Students
// and drills are not looked up. The name is for the faults only.
func Attempts(file io.Reader, name string, faults *practice.Faults) iter.Seq[practice.Attempt] {
	return func(yield func(practice.Attempt) bool) {
		l := &list{file: name}
		defer func() { *faults = append(*faults, l.faults...) }()
		for a := range attempts.rows(file, nil, l) {
			if !yield(a) {
				return
			}
		}
	}
}
