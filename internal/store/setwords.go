package store

import "aplomb/internal/practice"

var setWords = &rowKind[practice.SetWords]{
	noun: practice.WordsNoun, table: "set_words",
	key:     func(v *practice.SetWords) rowKey { return rowKey{&v.ID, &v.Student, &v.At} },
	columns: []string{"session", "drill", "set_no", "keep", "try_next"},
	values:  func(v practice.SetWords) []any { return []any{v.Session, v.Drill, v.Set, v.Keep, v.Next} },
	fields: func(v *practice.SetWords) ([]any, func()) {
		return []any{&v.Session, &v.Drill, &v.Set, &v.Keep, &v.Next}, func() {}
	},
}
