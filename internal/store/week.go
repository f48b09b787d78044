package store

import (
	"context"

	"aplomb/internal/practice"
)

var weeks = &kind[practice.Week]{
	noun: practice.WeekNoun, table: "weeks", order: "student, monday, version",
	id:      weekKey,
	student: func(v practice.Week) string { return v.Student },
	columns: []string{"student", "monday", "version", "status"},
	values: func(v practice.Week) []any {
		return []any{v.Student, int64(v.ISOWeek.Monday()), v.Version, string(v.Status)}
	},
}

func weekKey(v practice.Week) string { return v.Key() }

// Weeks is every week of a student, in order of week and version.
func (s *Store) Weeks(ctx context.Context, who practice.Who, student string) ([]practice.Kept[practice.Week], error) {
	return all(ctx, s, who, weeks, "AND student = $2", student)
}

// HandedOver is the students who have a week of that date, in order.
func (s *Store) HandedOver(ctx context.Context, who practice.Who, week practice.ISOWeek) ([]string, error) {
	return several(ctx, s, who, func(scan func(...any) error) (student string, err error) {
		err = scan(&student)
		return student, err
	}, "SELECT DISTINCT student FROM weeks WHERE studio = $1 AND monday = $2 ORDER BY student", who.Studio, int64(week.Monday()))
}

// PutWeek keeps one version of a student's week, handed over or done; a draft
// is a contradiction fault.
func (s *Store) PutWeek(ctx context.Context, who practice.Who, v practice.Week, base int64) (int64, error) {
	if err := noDraft(v); err != nil {
		return 0, err
	}
	return save(ctx, s, who, weeks, v, base)
}

// noDraft refuses a week in draft: it is worked out anew, never kept.
func noDraft(v practice.Week) error {
	if v.Status != practice.Draft {
		return nil
	}
	return practice.Fault{Code: practice.Contradiction, Field: "status", Value: string(v.Status), Want: "handed-over or done"}
}

// RemoveWeek takes one version of a student's week out.
func (s *Store) RemoveWeek(ctx context.Context, who practice.Who, student string, week practice.ISOWeek, version int) error {
	key := weekKey(practice.Week{Student: student, ISOWeek: week, Version: version})
	return s.change(ctx, who, func(t *tx) error { return remove(ctx, t, weeks, key, student) })
}
