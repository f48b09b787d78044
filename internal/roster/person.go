package roster

import (
	"context"

	"aplomb/internal/practice"
)

// May says whether the person may do this to the student, as a fault where not.
func (r *Roster) May(ctx context.Context, who practice.Who, do practice.Right, student string) error {
	_, _, err := r.open(ctx, who, do, student)
	return err
}

// Trail is up to most lines of the audit trail, the newest first: of one
// student's record, or with none named of the whole studio; older than the line
// called before, where one is named. What is private is in it for whoever may
// see health notes.
func (r *Roster) Trail(ctx context.Context, who practice.Who, student, before string, most int) ([]practice.Change, error) {
	if student == "" {
		if err := atLarge(who, practice.SeeAuditTrail); err != nil {
			return nil, err
		}
		return r.store.Latest(ctx, who, "", before, most, who.Role.May(practice.SeeHealth, practice.Other))
	}
	kept, a, err := r.open(ctx, who, practice.SeeAuditTrail, student)
	if err != nil {
		return nil, err
	}
	return r.store.Latest(ctx, who, student, before, most, a.may(practice.SeeHealth, kept.Value))
}

// Erased is when students of the studio were erased, by a key that means
// nothing else, for whoever may erase one.
func (r *Roster) Erased(ctx context.Context, who practice.Who) ([]practice.Change, error) {
	if err := atLarge(who, practice.ErasePerson); err != nil {
		return nil, err
	}
	return r.store.Erased(ctx, who.Studio)
}
