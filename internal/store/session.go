package store

import (
	"context"
	"database/sql"

	"aplomb/internal/practice"
)

// painSite is the private column of a session, in the audit trail.
const painSite = "pain_site"

var sessions = &rowKind[practice.Session]{
	noun: practice.SessionNoun, table: "sessions",
	key:     func(v *practice.Session) rowKey { return rowKey{&v.ID, &v.Student, &v.At} },
	columns: []string{"week", "version", "day", "form", "minutes", "effort", "pain_before", "pain", "pain_morning", "numb", "swollen", "note"},
	values: func(v practice.Session) []any {
		return []any{v.Week, v.Version, dayOf(v.Day), string(v.Form), null(v.Minutes), null(v.Effort), null(v.PainBefore), null(v.Pain),
			null(v.PainMorning), bit(v.Numb), bit(v.Swollen), v.Note}
	},
	fields: func(v *practice.Session) ([]any, func()) {
		var day, numb, swollen sql.Null[int64]
		var minutes, effort, before, pain, morning sql.Null[float64]
		return []any{&v.Week, &v.Version, &day, (*string)(&v.Form), &minutes, &effort, &before, &pain, &morning, &numb, &swollen, &v.Note}, func() {
			v.Day, v.Numb, v.Swollen = weekday(day), yes(numb), yes(swollen)
			v.Minutes, v.Effort = maybe(minutes), maybe(effort)
			v.PainBefore, v.Pain, v.PainMorning = maybe(before), maybe(pain), maybe(morning)
		}
	},
	hidden: func(v *practice.Session) *string { return &v.PainSite },
}

// Sessions is what a student told of sessions, in the order it arrived; without
// the key they have no site of pain.
func (s *Store) Sessions(ctx context.Context, who practice.Who, student string) (out []practice.Session, err error) {
	err = s.view(ctx, who, func(t *tx) error {
		if _, err := find(ctx, t, students, student); err != nil {
			return err
		}
		out, _, err = rowsOfStudent(ctx, t, sessions, student)
		return err
	})
	return out, err
}
