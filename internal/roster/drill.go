package roster

import (
	"context"

	"aplomb/internal/practice"
)

// OwnDrills are the studio's own drills with their revisions, for who runs it.
func (r *Roster) OwnDrills(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Drill], error) {
	if err := atLarge(who, practice.RunStudio); err != nil {
		return nil, err
	}
	return r.store.Drills(ctx, who)
}

// KeepDrill keeps a drill of the studio's own, a new one at base 0. Whether it
// fits the library is the caller's to check.
func (r *Roster) KeepDrill(ctx context.Context, who practice.Who, d practice.Drill, base int64) error {
	if err := atLarge(who, practice.RunStudio); err != nil {
		return err
	}
	if fs := d.Check(); len(fs) > 0 {
		return practice.Faults(fs)
	}
	_, err := r.store.PutDrill(ctx, who, d, base)
	return err
}
