package store

import (
	"context"

	"aplomb/internal/practice"
)

var consents = &kind[practice.Consent]{
	noun: practice.ConsentNoun, table: "consents", order: "n, id",
	id:      func(v practice.Consent) string { return v.ID },
	student: func(v practice.Consent) string { return v.Student },
	columns: []string{"student"},
	values:  func(v practice.Consent) []any { return []any{v.Student} },
}

// Consents is every consent of a student, withdrawn ones too.
func (s *Store) Consents(ctx context.Context, who practice.Who, student string) ([]practice.Kept[practice.Consent], error) {
	return all(ctx, s, who, consents, "AND student = $2", student)
}

// PutConsent keeps a consent.
func (s *Store) PutConsent(ctx context.Context, who practice.Who, v practice.Consent, base int64) (int64, error) {
	return save(ctx, s, who, consents, v, base)
}

// Withdraw ends every consent of the purpose that holds. With forgetHealth the
// student's health notes go in the same transaction, with where it hurt and
// what the audit trail holds of both; stops, restrictions and the numbers of
// pain stay. It needs no key.
func (s *Store) Withdraw(ctx context.Context, who practice.Who, student string, from practice.Purpose, at practice.Instant, forgetHealth bool) error {
	return s.change(ctx, who, func(t *tx) error {
		if err := t.withdraw(ctx, student, from, at); err != nil || !forgetHealth {
			return err
		}
		return t.forgetHealth(ctx, student)
	})
}

func (t *tx) withdraw(ctx context.Context, student string, from practice.Purpose, at practice.Instant) error {
	given, err := list(ctx, t, consents, "AND student = $2", student)
	if err != nil {
		return err
	}
	for _, c := range given {
		if c.Value.For != from || !c.Value.Holds() {
			continue
		}
		c.Value.Withdrawn = &at
		if _, err := put(ctx, t, consents, c.Value, c.Rev); err != nil {
			return err
		}
	}
	return nil
}

// forgetHealth removes what a withdrawn consent allowed. That it went is one
// line of the trail for the notes, without contents.
func (t *tx) forgetHealth(ctx context.Context, student string) error {
	kept, err := list(ctx, t, notes, "AND student = $2", student)
	if err != nil {
		return err
	}
	gone := 0
	for _, n := range kept {
		if !n.Value.Private() {
			continue
		}
		gone++
		if _, err := t.ExecContext(ctx, "DELETE FROM notes WHERE studio = $1 AND id = $2", t.who.Studio, n.Value.ID); err != nil {
			return err
		}
	}
	for _, forget := range []string{
		"UPDATE sessions SET sealed = '' WHERE studio = $1 AND student = $2 AND sealed <> ''",
		`UPDATE changes SET was = '', became = '', sealed = '' WHERE studio = $1 AND student = $2 AND sealed <> '' AND noun IN ('note', 'session')`,
	} {
		if _, err := t.ExecContext(ctx, forget, t.who.Studio, student); err != nil {
			return err
		}
	}
	if gone == 0 {
		return nil
	}
	return t.record(ctx, practice.Change{Act: practice.Removed, Noun: practice.NoteNoun, Student: student, Rows: gone}, side{}, side{})
}
