package folder

import "aplomb/internal/practice"

type setWord = practice.SetWords

var setWords = table[setWord]{
	file: "words.csv",
	columns: []column[setWord]{
		text("id", func(w *setWord) *string { return &w.ID }).required(),
		shared("student", func(w *setWord) *string { return &w.Student }).required(),
		instant("at", func(w *setWord) *practice.Instant { return &w.At }).required(),
		shared("session", func(w *setWord) *string { return &w.Session }),
		shared("drill", func(w *setWord) *string { return &w.Drill }).required(),
		count("set", func(w *setWord) *int { return &w.Set }),
		text("keep", func(w *setWord) *string { return &w.Keep }),
		text("next", func(w *setWord) *string { return &w.Next }),
	},
	id:      func(w *setWord) string { return w.ID },
	student: func(w *setWord) string { return w.Student },
	to:      Sink.Words,
	check:   func(w *setWord) []practice.Fault { return w.Check() },
	refer: func(w *setWord, k *known) []practice.Fault {
		return k.lookUp(reference{"student", w.Student, &k.students}, reference{"drill", w.Drill, &k.drills})
	},
}
