package store

import (
	"database/sql"

	"aplomb/internal/practice"
)

var detours = &rowKind[practice.Detour]{
	noun: practice.DetourNoun, table: "detours",
	key:     func(v *practice.Detour) rowKey { return rowKey{&v.ID, &v.Student, &v.At} },
	columns: []string{"week", "version", "day", "session_no", "what", "to_day", "drill", "for_drill", "reason"},
	values: func(v practice.Detour) []any {
		return []any{v.Week, v.Version, int(v.Day), v.Session, string(v.What), dayOf(v.To), v.Drill, v.For, v.Reason}
	},
	fields: func(v *practice.Detour) ([]any, func()) {
		var to sql.Null[int64]
		return []any{&v.Week, &v.Version, (*int)(&v.Day), &v.Session, (*string)(&v.What), &to, &v.Drill, &v.For, &v.Reason}, func() { v.To = weekday(to) }
	},
}
