package store

import (
	"context"

	"aplomb/internal/practice"
)

// Begin keeps a new studio, its first owner and the owner's password: all three
// or none of them.
func (s *Store) Begin(ctx context.Context, who practice.Who, studio practice.Studio, owner practice.Person, pw practice.Password) error {
	who.Studio = studio.ID
	return s.change(ctx, who, func(t *tx) error {
		if _, err := put(ctx, t, studios, studio, 0); err != nil {
			return err
		}
		if _, err := put(ctx, t, people, owner, 0); err != nil {
			return err
		}
		return t.putPassword(ctx, pw)
	})
}
