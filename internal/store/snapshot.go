package store

import (
	"context"

	"aplomb/internal/practice"
)

// Snapshot is one state of a studio, to be read a student at a time.
type Snapshot struct {
	ctx context.Context
	t   *tx
}

// Snapshot lets fn read one state of the studio, whatever is written meanwhile.
// It is over when fn returns.
func (s *Store) Snapshot(ctx context.Context, who practice.Who, fn func(*Snapshot) error) error {
	return s.view(ctx, who, func(t *tx) error { return fn(&Snapshot{ctx, t}) })
}

// Studio is the studio itself.
func (v *Snapshot) Studio() (practice.Studio, error) {
	one, err := find(v.ctx, v.t, studios, v.t.who.Studio)
	return one.Value, v.t.s.fault(err)
}

// People is everybody who works or worked there.
func (v *Snapshot) People() ([]practice.Person, error) { return values(v, people) }

// Guardians is every guardian.
func (v *Snapshot) Guardians() ([]practice.Guardian, error) { return values(v, guardians) }

// Covers is every cover.
func (v *Snapshot) Covers() ([]practice.Cover, error) { return values(v, covers) }

// Drills is the studio's own drills.
func (v *Snapshot) Drills() ([]practice.Drill, error) { return values(v, drills) }

// Wishes is what the coaches want.
func (v *Snapshot) Wishes() ([]practice.Wish, error) { return values(v, wishes) }

// Students is every student; their sites of restrictions as in Student.
func (v *Snapshot) Students() ([]practice.Student, error) { return values(v, students) }

// Record is one student's full record.
func (v *Snapshot) Record(student string) (Record, error) {
	r, err := v.t.wholeRecord(v.ctx, student)
	return r, v.t.s.fault(err)
}

// Trail hands the whole audit trail to fn, as Store.Trail does.
func (v *Snapshot) Trail(fn func(practice.Change) error) error {
	return v.t.s.fault(v.t.changes(v.ctx, fn, ""))
}

// Sealed is how many private values are kept sealed: of restrictions, sessions,
// notes and the trail. Without the key an export lacks them.
func (v *Snapshot) Sealed() (n int, err error) {
	for _, table := range sealing {
		var more int
		row := v.t.QueryRowContext(v.ctx, "SELECT COUNT(*) FROM "+table.name+" WHERE studio = $1 AND sealed <> ''", v.t.who.Studio)
		if err := row.Scan(&more); err != nil {
			return 0, v.t.s.fault(err)
		}
		n += more
	}
	return n, nil
}

func values[T any](v *Snapshot, k *kind[T]) ([]T, error) {
	kept, err := list(v.ctx, v.t, k, "")
	out := make([]T, len(kept))
	for i, one := range kept {
		out[i] = one.Value
	}
	return out, v.t.s.fault(err)
}
