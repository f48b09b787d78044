package desk

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// What a studio's logs say together is worked out once a week, from the
// students who practised last, so many at most: a guess at what memory and an
// hour's night can bear.
const (
	loreEvery  = 7
	loreLeast  = 4 // students with a log, under which nothing is learned together
	loreAtMost = 300
)

// Learned is what the logs of the studio say together, as of the day it was
// last worked out; a not-found fault where that was never.
func (d *Desk) Learned(ctx context.Context, who practice.Who) (l assess.Learned, err error) {
	kept, err := d.store.Lore(ctx, who)
	if err != nil {
		return l, err
	}
	if err := json.Unmarshal(kept.Doc, &l); err != nil {
		return l, practice.Fault{Code: practice.StoreBroken, Field: "lore", Err: err}
	}
	return l, nil
}

// Learn works it out where the last time is a week ago, and says whether it
// did.
func (d *Desk) Learn(ctx context.Context, studio string) (bool, error) {
	who := practice.Who{Studio: studio, ID: string(practice.AtTheDesk), Role: practice.AtTheDesk}
	kept, err := d.store.Studio(ctx, who)
	if err != nil {
		return false, err
	}
	day := kept.Value.Zone.At(d.now()).Date()
	last, err := d.store.Lore(ctx, who)
	if err != nil && !practice.HasCode(err, practice.NotFound) || err == nil && day < last.AsOf+loreEvery && day >= last.AsOf {
		return false, err
	}
	subjects, err := d.practising(ctx, who, kept.Value, day)
	if err != nil || len(subjects) < loreLeast {
		return false, err
	}
	standings := make([]assess.Standing, len(subjects))
	for i := range subjects {
		standings[i] = assess.Stand(subjects[i])
	}
	learned, err := assess.Learn(subjects, standings)
	if err != nil {
		return false, err
	}
	learned.AsOf = day
	doc, err := json.Marshal(unnamed(learned))
	if err != nil {
		return false, fmt.Errorf("desk: %w", err)
	}
	return true, d.store.PutLore(ctx, who, practice.Lore{AsOf: day, Doc: doc})
}

// practising are the students with a log who practised last.
func (d *Desk) practising(ctx context.Context, who practice.Who, studio practice.Studio, day practice.Date) ([]assess.Subject, error) {
	students, err := d.store.Students(ctx, who)
	if err != nil {
		return nil, err
	}
	looks, err := d.store.Looks(ctx, who)
	if err != nil {
		return nil, err
	}
	last := map[string]practice.Date{}
	for _, l := range looks {
		b, err := parse[Brief](l.Brief)
		if err != nil {
			return nil, err
		}
		if b.Last != nil {
			last[l.Student] = *b.Last
		}
	}
	students = slices.DeleteFunc(students, func(k practice.Kept[practice.Student]) bool { return last[k.Value.ID] == 0 })
	slices.SortStableFunc(students, func(a, b practice.Kept[practice.Student]) int { return cmp.Compare(last[b.Value.ID], last[a.Value.ID]) })
	out := make([]assess.Subject, 0, min(len(students), loreAtMost))
	for _, k := range students[:min(len(students), loreAtMost)] {
		s, err := d.Subject(ctx, who, studio, k.Value.ID, day)
		if err != nil {
			return nil, err
		}
		if len(out) > 0 {
			s.Library = out[0].Library // one for all
		}
		out = append(out, s)
	}
	return out, nil
}

// unnamed leaves out what is of one student: the lore names nobody, so that who
// is forgotten is forgotten here too.
func unnamed(l assess.Learned) assess.Learned {
	l.CannotTell = []assess.Open{}
	l.Effects = slices.Clone(l.Effects)
	for i := range l.Effects {
		l.Effects[i].Own = nil
	}
	return l
}
