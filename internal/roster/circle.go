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

// Cover lets a colleague stand in, from today or later. A coach arranges it for
// their own students, whoever runs the studio for anybody's; both have to coach
// here, and a single student has to be one of the coach who is away.
func (r *Roster) Cover(ctx context.Context, who practice.Who, c practice.Cover) error {
	own := who.Role == practice.Coach && c.For == who.ID
	if !own && !who.Role.May(practice.RunStudio, practice.Other) {
		return practice.Refused(practice.RunStudio)
	}
	c.ID = r.newID()
	fs := c.Check()
	if len(fs) == 0 {
		var err error
		if fs, err = r.covered(ctx, who, c); err != nil {
			return err
		}
	}
	if len(fs) > 0 {
		return practice.Faults(fs)
	}
	_, err := r.store.PutCover(ctx, who, c, 0)
	return err
}

// covered is what is wrong with a cover in this studio.
func (r *Roster) covered(ctx context.Context, who practice.Who, c practice.Cover) (fs []practice.Fault, err error) {
	a, err := r.around(ctx, who)
	if err != nil {
		return nil, err
	}
	if c.To < a.day {
		fs = append(fs, practice.Fault{Code: practice.OutOfRange, Field: "to", Value: c.To.String(), Want: a.day.String() + " or later"})
	}
	for _, id := range []struct{ field, id string }{{"for", c.For}, {"by", c.By}} {
		kept, err := r.store.Person(ctx, who, id.id)
		p := kept.Value
		switch {
		case practice.HasCode(err, practice.NotFound), err == nil && (!p.WorksOn(a.day) || p.Role == practice.Assistant):
			fs = append(fs, practice.Fault{Code: practice.UnknownID, Field: id.field, Value: practice.Short(id.id)})
		case err != nil:
			return nil, err
		}
	}
	if c.Student == "" {
		return fs, nil
	}
	kept, err := r.store.Student(ctx, who, c.Student)
	if practice.HasCode(err, practice.NotFound) || err == nil && kept.Value.Coach != c.For {
		return append(fs, practice.Fault{Code: practice.UnknownID, Field: "student", Value: practice.Short(c.Student)}), nil
	}
	return fs, err
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
