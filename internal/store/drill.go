package store

import (
	"context"

	"aplomb/internal/practice"
)

var drills = &kind[practice.Drill]{
	noun: practice.DrillNoun, table: "drills", order: "n, id",
	id: func(v practice.Drill) string { return v.ID },
}

// Drills is the studio's own drills.
func (s *Store) Drills(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Drill], error) {
	return all(ctx, s, who, drills, "")
}

// PutDrill keeps a drill of the studio's own. Its drawing is not kept.
func (s *Store) PutDrill(ctx context.Context, who practice.Who, v practice.Drill, base int64) (int64, error) {
	return save(ctx, s, who, drills, v, base)
}

// RemoveDrill takes a drill out; what was logged of it stays.
func (s *Store) RemoveDrill(ctx context.Context, who practice.Who, id string) error {
	return s.change(ctx, who, func(t *tx) error { return remove(ctx, t, drills, id, "") })
}
