package store

import "aplomb/internal/practice"

var probes = &rowKind[practice.ProbeResult]{
	noun: practice.ProbeNoun, table: "probes",
	key:     func(v *practice.ProbeResult) rowKey { return rowKey{&v.ID, &v.Student, &v.At} },
	columns: []string{"component", "test", "value", "unit", "by_id"},
	values: func(v practice.ProbeResult) []any {
		return []any{string(v.Component), v.Test, v.Value, v.Unit, v.By}
	},
	fields: func(v *practice.ProbeResult) ([]any, func()) {
		return []any{(*string)(&v.Component), &v.Test, &v.Value, &v.Unit, &v.By}, func() {}
	},
}
