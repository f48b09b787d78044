package store

import (
	"database/sql"

	"aplomb/internal/practice"
)

var tallies = &rowKind[practice.Tally]{
	noun: practice.TallyNoun, table: "tallies",
	key: func(v *practice.Tally) rowKey { return rowKey{&v.ID, &v.Student, &v.At} },
	columns: []string{"session", "item", "drill", "set_no", "entry", "support", "surface", "place", "tries", "caught", "best", "second_best", "timed",
		"note"},
	values: func(v practice.Tally) []any {
		caught := sql.Null[int64]{V: int64(v.Caught.Value), Valid: v.Caught.Known}
		return []any{v.Session, v.Item, v.Drill, v.Set, string(v.Entry), string(v.Support), string(v.Surface), v.Place, v.Tries, caught,
			null(v.Best), null(v.SecondBest), string(v.Timed), v.Note}
	},
	fields: func(v *practice.Tally) ([]any, func()) {
		var caught sql.Null[int64]
		var best, second sql.Null[float64]
		return []any{&v.Session, &v.Item, &v.Drill, &v.Set, (*string)(&v.Entry), (*string)(&v.Support), (*string)(&v.Surface), &v.Place, &v.Tries, &caught,
				&best, &second, (*string)(&v.Timed), &v.Note}, func() {
				v.Caught = practice.Maybe[int]{Value: int(caught.V), Known: caught.Valid}
				v.Best, v.SecondBest = maybe(best), maybe(second)
			}
	},
}
