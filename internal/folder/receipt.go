package folder

import "aplomb/internal/practice"

type receipt = practice.Receipt

var receipts = table[receipt]{
	file: "receipts.csv",
	columns: []column[receipt]{
		text("id", func(r *receipt) *string { return &r.ID }).required(),
		shared("student", func(r *receipt) *string { return &r.Student }).required(),
		shared("phone", func(r *receipt) *string { return &r.Phone }).required(),
		word("kind", practice.EntryKinds, func(r *receipt) *practice.EntryKind { return &r.Kind }).required(),
		whole("n", func(r *receipt) *int { return &r.N }).required(),
		yes("gone", func(r *receipt) *bool { return &r.Gone }),
		instant("at", func(r *receipt) *practice.Instant { return &r.At }).required(),
		whole("shift_seconds", func(r *receipt) *int { return &r.Shift }),
		alarms("alarms", func(r *receipt) *practice.Alarms { return &r.Alarms }),
	},
	id:      func(r *receipt) string { return r.ID },
	student: func(r *receipt) string { return r.Student },
	to:      Sink.Receipt,
	check:   func(r *receipt) []practice.Fault { return r.Check() },
	refer: func(r *receipt, k *known) []practice.Fault {
		return k.lookUp(reference{"student", r.Student, &k.students})
	},
}

// alarms is the words of signs with a blank between them.
func alarms[T any](name string, at func(*T) *practice.Alarms) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			a, err := practice.ParseAlarms(cell)
			if err != nil {
				f := practice.FieldFault(name, cell, practice.UnknownWord, err)
				return &f
			}
			*at(row) = a
			return nil
		},
		write: func(row *T) string { return at(row).String() },
	}
}
