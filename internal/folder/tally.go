package folder

import "aplomb/internal/practice"

type tally = practice.Tally

var tallies = table[tally]{
	file: "tallies.csv",
	columns: []column[tally]{
		text("id", func(t *tally) *string { return &t.ID }).required(),
		shared("student", func(t *tally) *string { return &t.Student }).required(),
		instant("at", func(t *tally) *practice.Instant { return &t.At }).required(),
		shared("session", func(t *tally) *string { return &t.Session }),
		shared("item", func(t *tally) *string { return &t.Item }),
		shared("drill", func(t *tally) *string { return &t.Drill }).required(),
		count("set", func(t *tally) *int { return &t.Set }),
		word("entry", practice.Entries, func(t *tally) *practice.Entry { return &t.Entry }),
		word("support", practice.Supports, func(t *tally) *practice.Support { return &t.Support }),
		word("surface", practice.Surfaces, func(t *tally) *practice.Surface { return &t.Surface }),
		shared("place", func(t *tally) *string { return &t.Place }),
		count("tries", func(t *tally) *int { return &t.Tries }).required(),
		maybeCount("caught", func(t *tally) *practice.Maybe[int] { return &t.Caught }),
		maybeNumber("best", func(t *tally) *practice.Maybe[float64] { return &t.Best }),
		maybeNumber("second_best", func(t *tally) *practice.Maybe[float64] { return &t.SecondBest }),
		word("timed", practice.Timings, func(t *tally) *practice.Timing { return &t.Timed }),
		text("note", func(t *tally) *string { return &t.Note }),
	},
	id:      func(t *tally) string { return t.ID },
	student: func(t *tally) string { return t.Student },
	to:      Sink.Tally,
	check:   func(t *tally) []practice.Fault { return t.Check() },
	refer: func(t *tally, k *known) []practice.Fault {
		return k.lookUp(reference{"student", t.Student, &k.students}, reference{"drill", t.Drill, &k.drills})
	},
}
