package roster

import (
	"context"

	"aplomb/internal/practice"
)

// Sessions are what a student told of sessions, in order of time; where it hurt
// only for whoever may see health.
func (r *Roster) Sessions(ctx context.Context, who practice.Who, student string) ([]practice.Session, error) {
	kept, a, err := r.open(ctx, who, practice.SeeStudent, student)
	if err != nil {
		return nil, err
	}
	sessions, err := r.store.Sessions(ctx, who, student)
	if err != nil {
		return nil, err
	}
	log := practice.Log{Sessions: sessions}
	log.Sort()
	if !a.may(practice.SeeHealth, kept.Value) {
		for i := range log.Sessions {
			log.Sessions[i].PainSite = ""
		}
	}
	return log.Sessions, nil
}
