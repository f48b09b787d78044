package store

import (
	"context"

	"aplomb/internal/practice"
)

// Verify reads everything of every studio, and opens what is sealed where the
// key is here; the database looks through its own pages first. What cannot be
// read as it was written is a store-broken or wrong-key fault.
func (s *Store) Verify(ctx context.Context) error {
	if err := s.fault(s.db.Verify(ctx)); err != nil {
		return err
	}
	studios, err := s.Studios(ctx)
	if err != nil {
		return err
	}
	for _, studio := range studios {
		if err := s.Snapshot(ctx, practice.Who{Studio: studio.ID}, (*Snapshot).verify); err != nil {
			return err
		}
	}
	return nil
}

func (v *Snapshot) verify() error {
	for _, list := range []func() error{
		func() error { _, err := v.People(); return err },
		func() error { _, err := v.Guardians(); return err },
		func() error { _, err := v.Covers(); return err },
		func() error { _, err := v.Drills(); return err },
		func() error { _, err := v.Wishes(); return err },
		func() error { return v.Trail(func(practice.Change) error { return nil }) },
	} {
		if err := list(); err != nil {
			return err
		}
	}
	students, err := v.Students()
	if err != nil {
		return err
	}
	for _, student := range students {
		if _, err := v.Record(student.ID); err != nil {
			return err
		}
	}
	return nil
}
