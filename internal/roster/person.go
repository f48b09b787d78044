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

// Trail is the audit trail of one student's record.
func (r *Roster) Trail(ctx context.Context, who practice.Who, student string) ([]practice.Change, error) {
	if _, _, err := r.open(ctx, who, practice.SeeAuditTrail, student); err != nil {
		return nil, err
	}
	return r.store.Changes(ctx, who, student)
}
