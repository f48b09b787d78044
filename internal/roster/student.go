package roster

import (
	"context"
	"slices"

	"aplomb/internal/practice"
)

// Students are those the person may see, in the store's order.
func (r *Roster) Students(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Student], error) {
	return r.those(ctx, who, practice.SeeStudent)
}

func (r *Roster) those(ctx context.Context, who practice.Who, do practice.Right) ([]practice.Kept[practice.Student], error) {
	a, err := r.around(ctx, who)
	if err != nil {
		return nil, err
	}
	all, err := r.store.Students(ctx, who)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(all, func(k practice.Kept[practice.Student]) bool { return !a.may(do, k.Value) }), nil
}

// Pupil is what somebody who helps in a class needs of a student: who it is,
// and what they may not do today, without why.
type Pupil struct {
	ID, Name string
	Minor    bool
	No       []practice.Strain
}

// Pupils are the students somebody who teaches a class may meet there.
func (r *Roster) Pupils(ctx context.Context, who practice.Who) ([]Pupil, error) {
	students, err := r.those(ctx, who, practice.TeachClass)
	if err != nil {
		return nil, err
	}
	a, err := r.around(ctx, who)
	if err != nil {
		return nil, err
	}
	var out []Pupil
	for _, k := range students {
		if s := k.Value; s.ArchivedOn == nil || a.day < *s.ArchivedOn {
			out = append(out, Pupil{s.ID, s.Name, s.Minor(a.day), s.Barred(a.day, a.day)})
		}
	}
	return out, nil
}

// Student is one the person may see.
func (r *Roster) Student(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Student], error) {
	kept, _, err := r.open(ctx, who, practice.SeeStudent, id)
	return kept, err
}

// TakeIn keeps a new student; one who has no id yet is given one. A coach's new
// student is the coach's own.
func (r *Roster) TakeIn(ctx context.Context, who practice.Who, s practice.Student) (practice.Kept[practice.Student], error) {
	none := practice.Kept[practice.Student]{}
	if err := atLarge(who, practice.AddStudent); err != nil {
		return none, err
	}
	if s.Coach == "" || !who.Role.May(practice.RunStudio, practice.Other) {
		s.Coach = who.ID
	}
	if s.ID == "" {
		s.ID = r.newID()
	}
	if fs := s.Check(); len(fs) > 0 {
		return none, practice.Faults(fs)
	}
	rev, err := r.store.PutStudent(ctx, who, s, 0)
	return practice.Kept[practice.Student]{Value: s, Rev: rev}, err
}

// Change keeps the student as changed since the revision base. Stops stay: one
// is ended by who cleared it and when, never by leaving it out.
func (r *Roster) Change(ctx context.Context, who practice.Who, s practice.Student, base int64) (int64, error) {
	before, a, err := r.open(ctx, who, practice.CoachStudent, s.ID)
	if err != nil {
		return 0, err
	}
	if s.Coach != before.Value.Coach && !who.Role.May(practice.RunStudio, practice.Other) {
		return 0, practice.Refused(practice.RunStudio)
	}
	if careChanged(before.Value, s) && !a.may(practice.WriteHealth, before.Value) {
		return 0, practice.Refused(practice.WriteHealth)
	}
	if fs := append(s.Check(), stopsStay(before.Value.Stops, s.Stops)...); len(fs) > 0 {
		return 0, practice.Faults(fs)
	}
	return r.store.PutStudent(ctx, who, s, base)
}

// careChanged says whether stops or restrictions are other than they were.
func careChanged(before, after practice.Student) bool {
	return !slices.EqualFunc(before.Stops, after.Stops, sameStop) ||
		!slices.EqualFunc(before.Restrictions, after.Restrictions, func(a, b practice.Restriction) bool {
			return a.Site == b.Site && a.Since == b.Since && slices.Equal(a.No, b.No) && sameDay(a.Until, b.Until)
		})
}

func sameStop(a, b practice.Stop) bool {
	return a.Since == b.Since && slices.Equal(a.No, b.No) && sameDay(a.ClearedOn, b.ClearedOn) && a.ClearedBy == b.ClearedBy
}

func sameDay(a, b *practice.Date) bool { return (a == nil) == (b == nil) && (a == nil || *a == *b) }

// stopsStay lists the stops that were lost, loosened or opened again.
func stopsStay(before, after []practice.Stop) (fs []practice.Fault) {
	for _, old := range before {
		stays := slices.ContainsFunc(after, func(s practice.Stop) bool {
			return s.Since == old.Since && slices.Equal(s.No, old.No) && (old.ClearedOn == nil || sameStop(old, s))
		})
		if !stays {
			fs = append(fs, practice.Fault{Code: practice.Contradiction, Field: "stops", Value: old.Since.String(),
				Want: "the stop as it was; it ends with the day a clinician cleared it and who that was"})
		}
	}
	return fs
}

// Erase forgets one student and returns the opaque key that a restored backup
// has to forget again.
func (r *Roster) Erase(ctx context.Context, who practice.Who, student string) (eraseKey string, err error) {
	if _, _, err := r.open(ctx, who, practice.ErasePerson, student); err != nil {
		return "", err
	}
	return r.store.Erase(ctx, who, student)
}
