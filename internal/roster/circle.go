package roster

import (
	"context"

	"aplomb/internal/practice"
)

// Covers are who stands in for whom, for those who work in the studio.
func (r *Roster) Covers(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Cover], error) {
	if err := atLarge(who, practice.TeachClass); err != nil {
		return nil, err
	}
	return r.store.Covers(ctx, who)
}

// Cover lets a colleague stand in. A coach arranges it for their own students,
// whoever runs the studio for anybody's.
func (r *Roster) Cover(ctx context.Context, who practice.Who, c practice.Cover) error {
	own := who.Role == practice.Coach && c.For == who.ID
	if !own && !who.Role.May(practice.RunStudio, practice.Other) {
		return practice.Refused(practice.RunStudio)
	}
	c.ID = r.newID()
	if fs := c.Check(); len(fs) > 0 {
		return practice.Faults(fs)
	}
	if c.Student != "" {
		if _, err := r.store.Student(ctx, who, c.Student); err != nil {
			return err
		}
	}
	_, err := r.store.PutCover(ctx, who, c, 0)
	return err
}

// EndCover takes a cover away; so may who arranged it.
func (r *Roster) EndCover(ctx context.Context, who practice.Who, id string) error {
	covers, err := r.store.Covers(ctx, who)
	if err != nil {
		return err
	}
	for _, c := range covers {
		own := who.Role == practice.Coach && c.Value.For == who.ID
		if c.Value.ID == id && (own || who.Role.May(practice.RunStudio, practice.Other)) {
			return r.store.RemoveCover(ctx, who, id)
		}
	}
	return practice.Refused(practice.RunStudio)
}

// Guardians are those who answer for students the person coaches.
func (r *Roster) Guardians(ctx context.Context, who practice.Who, student string) ([]practice.Guardian, error) {
	_, a, err := r.open(ctx, who, practice.SeeStudent, student)
	if err != nil {
		return nil, err
	}
	var out []practice.Guardian
	for _, g := range a.guardians {
		for _, s := range g.Students {
			if s == student {
				out = append(out, g)
			}
		}
	}
	return out, nil
}

// PutGuardian keeps a guardian as changed since base, 0 for a new one, who is
// given an id where there is none yet. All of the guardian's students have to be
// students the person coaches.
func (r *Roster) PutGuardian(ctx context.Context, who practice.Who, g practice.Guardian, base int64) (int64, error) {
	if g.ID == "" && base == 0 {
		g.ID = r.newID()
	}
	if fs := g.Check(); len(fs) > 0 {
		return 0, practice.Faults(fs)
	}
	for _, id := range g.Students {
		if _, _, err := r.open(ctx, who, practice.CoachStudent, id); err != nil {
			return 0, err
		}
	}
	return r.store.PutGuardian(ctx, who, g, base)
}
