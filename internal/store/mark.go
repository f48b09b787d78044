package store

import "aplomb/internal/practice"

var marks = &rowKind[practice.DrillMark]{
	noun: practice.MarkNoun, table: "marks",
	key:     func(v *practice.DrillMark) rowKey { return rowKey{&v.ID, &v.Student, &v.At} },
	columns: []string{"drill", "mark", "cue"},
	values:  func(v practice.DrillMark) []any { return []any{v.Drill, string(v.Mark), v.Cue} },
	fields: func(v *practice.DrillMark) ([]any, func()) {
		return []any{&v.Drill, (*string)(&v.Mark), &v.Cue}, func() {}
	},
}
