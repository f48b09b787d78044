package folder

import "aplomb/internal/practice"

type mark = practice.DrillMark

var marks = table[mark]{
	file: "marks.csv",
	columns: []column[mark]{
		text("id", func(m *mark) *string { return &m.ID }).required(),
		shared("student", func(m *mark) *string { return &m.Student }).required(),
		instant("at", func(m *mark) *practice.Instant { return &m.At }).required(),
		shared("drill", func(m *mark) *string { return &m.Drill }).required(),
		word("mark", practice.Marks, func(m *mark) *practice.Mark { return &m.Mark }).required(),
		shared("cue", func(m *mark) *string { return &m.Cue }),
	},
	id:      func(m *mark) string { return m.ID },
	student: func(m *mark) string { return m.Student },
	to:      Sink.Mark,
	check:   func(m *mark) []practice.Fault { return m.Check() },
	refer: func(m *mark, k *known) []practice.Fault {
		return k.lookUp(reference{"student", m.Student, &k.students}, reference{"drill", m.Drill, &k.drills})
	},
}
