package store

import (
	"context"

	"aplomb/internal/practice"
)

// Lore is what the logs of the studio say together; a not-found fault where
// nothing was worked out yet.
func (s *Store) Lore(ctx context.Context, who practice.Who) (practice.Lore, error) {
	return single(ctx, s, who, "lore", func(scan func(...any) error) (l practice.Lore, err error) {
		err = scan(&l.AsOf, &l.Doc)
		return l, err
	}, "SELECT as_of, doc FROM lore WHERE studio = $1", who.Studio)
}

// PutLore keeps it in the place of the one before. It is no change of anybody's
// record.
func (s *Store) PutLore(ctx context.Context, who practice.Who, l practice.Lore) error {
	return s.exec(ctx, who, `INSERT INTO lore (studio, as_of, doc) VALUES ($1, $2, $3)
		ON CONFLICT (studio) DO UPDATE SET as_of = excluded.as_of, doc = excluded.doc`, who.Studio, int64(l.AsOf), string(l.Doc))
}
