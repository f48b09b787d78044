package store

import (
	"context"

	"aplomb/internal/practice"
)

var guardians = &kind[practice.Guardian]{
	noun: practice.GuardianNoun, table: "guardians", order: "n, id",
	id: func(v practice.Guardian) string { return v.ID },
}

// Guardians is every guardian of the studio.
func (s *Store) Guardians(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Guardian], error) {
	return all(ctx, s, who, guardians, "")
}

// PutGuardian keeps a guardian.
func (s *Store) PutGuardian(ctx context.Context, who practice.Who, v practice.Guardian, base int64) (int64, error) {
	return save(ctx, s, who, guardians, v, base)
}

// RemoveGuardian takes a guardian out.
func (s *Store) RemoveGuardian(ctx context.Context, who practice.Who, id string) error {
	return s.change(ctx, who, func(t *tx) error { return remove(ctx, t, guardians, id, "") })
}
