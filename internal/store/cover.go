package store

import (
	"context"

	"aplomb/internal/practice"
)

var covers = &kind[practice.Cover]{
	noun: practice.CoverNoun, table: "covers", order: "n, id",
	id: func(v practice.Cover) string { return v.ID },
}

// Covers is every cover of the studio, past ones too.
func (s *Store) Covers(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Cover], error) {
	return all(ctx, s, who, covers, "")
}

// PutCover keeps a cover.
func (s *Store) PutCover(ctx context.Context, who practice.Who, v practice.Cover, base int64) (int64, error) {
	return save(ctx, s, who, covers, v, base)
}

// RemoveCover takes a cover out.
func (s *Store) RemoveCover(ctx context.Context, who practice.Who, id string) error {
	return s.change(ctx, who, func(t *tx) error { return remove(ctx, t, covers, id, "") })
}
