package store

import (
	"context"

	"aplomb/internal/practice"
)

var studios = &kind[practice.Studio]{
	noun: practice.StudioNoun, table: "studios", order: "n, id",
	id: func(v practice.Studio) string { return v.ID },
}

// Studios is every studio in the database.
func (s *Store) Studios(ctx context.Context) (out []practice.Studio, err error) {
	err = s.view(ctx, practice.Who{}, func(t *tx) error {
		rows, err := t.QueryContext(ctx, studios.selects()+" ORDER BY studio")
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			one, err := studios.scan(s, "", rows)
			if err != nil {
				return err
			}
			out = append(out, one.Value)
		}
		return rows.Err()
	})
	return out, err
}

// Studio is the studio who is in.
func (s *Store) Studio(ctx context.Context, who practice.Who) (practice.Kept[practice.Studio], error) {
	return get(ctx, s, who, studios, who.Studio)
}

// PutStudio keeps the studio; base 0 makes a new one. Its id is that of who.
func (s *Store) PutStudio(ctx context.Context, who practice.Who, v practice.Studio, base int64) (int64, error) {
	who.Studio = v.ID
	return save(ctx, s, who, studios, v, base)
}
