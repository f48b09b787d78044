package store

import (
	"database/sql"

	"aplomb/internal/practice"
)

var attempts = &rowKind[practice.Attempt]{
	noun: practice.AttemptNoun, table: "attempts",
	key: func(v *practice.Attempt) rowKey { return rowKey{&v.ID, &v.Student, &v.At} },
	columns: []string{"session", "item", "drill", "set_no", "rep", "entry", "support", "surface", "place", "passed", "seconds", "timed", "ended",
		"cold", "witness", "note"},
	values: func(v practice.Attempt) []any {
		return []any{v.Session, v.Item, v.Drill, v.Set, v.Rep, string(v.Entry), string(v.Support), string(v.Surface), v.Place, bit(v.Passed),
			null(v.Seconds), string(v.Timed), string(v.End), bit(v.Cold), string(v.Witness), v.Note}
	},
	fields: func(v *practice.Attempt) ([]any, func()) {
		var passed, cold sql.Null[int64]
		var seconds sql.Null[float64]
		return []any{&v.Session, &v.Item, &v.Drill, &v.Set, &v.Rep, (*string)(&v.Entry), (*string)(&v.Support), (*string)(&v.Surface), &v.Place, &passed,
				&seconds, (*string)(&v.Timed), (*string)(&v.End), &cold, (*string)(&v.Witness), &v.Note}, func() {
				v.Passed, v.Cold = yes(passed), yes(cold)
				v.Seconds = maybe(seconds)
			}
	},
}

func yes(n sql.Null[int64]) practice.Maybe[bool] {
	return practice.Maybe[bool]{Value: n.V == 1, Known: n.Valid}
}
