package planning

import (
	"context"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// Offered is what a student may do today.
type Offered struct {
	Standing assess.Standing
	Since    Since // what changed in the last seven days
	Library  *practice.Library
	Drills   map[string]bool // of the library, those nothing rules out
}

// Easier is the nearest easier drill than this one that the student may do:
// among those it is the next step up from, the hardest; false where there is
// none.
func (o *Offered) Easier(drill practice.Drill, easier map[string][]string) (best practice.Drill, ok bool) {
	for _, id := range easier[drill.ID] {
		d, known := o.Library.Drill(id)
		if known && o.Drills[id] && (!ok || d.Difficulty > best.Difficulty) {
			best, ok = d, true
		}
	}
	return best, ok
}

// Offered says what a student may do today, to anybody who may see the student.
func (b *Bench) Offered(ctx context.Context, who practice.Who, student string) (Offered, error) {
	if err := b.gate.May(ctx, who, practice.SeeStudent, student); err != nil {
		return Offered{}, err
	}
	today, studio, err := b.Today(ctx, who)
	if err != nil {
		return Offered{}, err
	}
	w, err := b.work(ctx, who, studio, student, today)
	if err != nil {
		return Offered{}, err
	}
	kept, err := b.store.Wishes(ctx, who)
	if err != nil {
		return Offered{}, err
	}
	wishes := make([]practice.Wish, len(kept))
	for i, k := range kept {
		wishes[i] = k.Value
	}
	in := forWeek(w, wishes, today.Week())
	out := Offered{Standing: w.standing, Since: w.since, Library: in.Library, Drills: map[string]bool{}}
	offers, _ := in.Offers()
	for _, o := range offers {
		out.Drills[in.Library.Drills[o.Index].ID] = true
	}
	return out, nil
}
