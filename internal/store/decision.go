package store

import (
	"context"

	"aplomb/internal/practice"
)

var decisions = &kind[practice.Decision]{
	noun: practice.DecisionNoun, table: "decisions", order: "n, id",
	id:      func(v practice.Decision) string { return v.Student + "/" + v.Kind },
	student: func(v practice.Decision) string { return v.Student },
	columns: []string{"student"},
	values:  func(v practice.Decision) []any { return []any{v.Student} },
}

// Decisions is what coaches decided about notices, of every student.
func (s *Store) Decisions(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Decision], error) {
	return all(ctx, s, who, decisions, "")
}

// PutDecision keeps a decision in the place of any before it about the same
// kind of notice of the student.
func (s *Store) PutDecision(ctx context.Context, who practice.Who, v practice.Decision) error {
	return s.change(ctx, who, func(t *tx) error {
		was, err := find(ctx, t, decisions, decisions.id(v))
		if err != nil && !practice.HasCode(err, practice.NotFound) {
			return err
		}
		_, err = put(ctx, t, decisions, v, was.Rev)
		return err
	})
}

// RemoveDecision takes a decision back.
func (s *Store) RemoveDecision(ctx context.Context, who practice.Who, student, kind string) error {
	return s.change(ctx, who, func(t *tx) error {
		return remove(ctx, t, decisions, student+"/"+kind, student)
	})
}
