package roster

import (
	"context"

	"aplomb/internal/practice"
)

// Consents are what was agreed to for the student, and what was withdrawn.
func (r *Roster) Consents(ctx context.Context, who practice.Who, student string) ([]practice.Kept[practice.Consent], error) {
	if _, _, err := r.open(ctx, who, practice.SeeStudent, student); err != nil {
		return nil, err
	}
	return r.store.Consents(ctx, who, student)
}

// Agree records that the person agrees. A student under the studio's age of
// consent cannot: a guardian has to. Agreeing twice is agreeing once.
func (r *Roster) Agree(ctx context.Context, who practice.Who, student string, to practice.Purpose) error {
	kept, a, err := r.open(ctx, who, practice.GiveConsent, student)
	if err != nil {
		return err
	}
	if who.Role == practice.AsStudent && !a.studio.Consents(kept.Value, a.day) {
		return practice.Fault{Code: practice.NotAllowed, Field: string(practice.GiveConsent), Value: student}
	}
	c := practice.Consent{ID: r.newID(), Student: student, For: to, At: a.at, By: who.ID, Role: who.Role}
	if fs := c.Check(); len(fs) > 0 {
		return practice.Faults(fs)
	}
	before, err := r.store.Consents(ctx, who, student)
	if err != nil {
		return err
	}
	for _, k := range before {
		if k.Value.For == to && k.Value.Holds() {
			return nil
		}
	}
	_, err = r.store.PutConsent(ctx, who, c, 0)
	return err
}

// Withdraw takes every consent of the purpose back, whoever gave it. What was
// kept by a consent to health notes goes with it; stops and restrictions stay.
func (r *Roster) Withdraw(ctx context.Context, who practice.Who, student string, from practice.Purpose) error {
	_, a, err := r.open(ctx, who, practice.GiveConsent, student)
	if err != nil {
		return err
	}
	return r.store.Withdraw(ctx, who, student, from, a.at, from == practice.ForHealth)
}
