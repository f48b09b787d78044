package roster

import (
	"context"
	"time"

	"aplomb/internal/practice"
)

// NoteCold keeps one cold try of a day that a coach saw or has on film; its id
// and its time are set here: now or at noon, but before what else is in the
// student's log of that day, for it was cold.
func (r *Roster) NoteCold(ctx context.Context, who practice.Who, a practice.Attempt, day practice.Date) error {
	kept, around, err := r.open(ctx, who, practice.CoachStudent, a.Student)
	if err != nil {
		return err
	}
	at, zone, fs := around.on(kept.Value, day)
	a.ID, a.At = r.newID(), at
	log, err := r.store.Log(ctx, who, a.Student)
	if err != nil {
		return err
	}
	if first, ok := firstOf(log, zone, day); ok && !a.At.Before(first) {
		a.At = zone.At(first.Time().Add(-time.Minute))
	}
	fs = append(fs, a.Check()...)
	if a.Witness == "" {
		fs = append(fs, practice.Fault{Code: practice.MissingField, Field: "witness"})
	}
	if coldOf(log, zone, day) >= coldADay {
		fs = append(fs, practice.Fault{Code: practice.Contradiction, Field: "day", Value: day.String(), Want: "a day with fewer than two cold tries: a third is not cold any more"})
	}
	if len(fs) > 0 {
		return practice.Faults(fs)
	}
	return r.store.AddLog(ctx, who, a.Student, practice.Log{Attempts: []practice.Attempt{a}})
}

// coldADay is how many tries of a day can be cold.
const coldADay = 2

// coldOf is how many cold tries of a day are in the log.
func coldOf(log practice.Log, zone practice.Zone, day practice.Date) (n int) {
	for _, a := range log.Attempts {
		if a.Drill == practice.ColdTry && zone.Date(a.At) == day {
			n++
		}
	}
	return n
}

// firstOf is when the first thing of a day was done that is not a cold try.
func firstOf(log practice.Log, zone practice.Zone, day practice.Date) (first practice.Instant, ok bool) {
	see := func(at practice.Instant) {
		if zone.Date(at) == day && (!ok || at.Before(first)) {
			first, ok = at, true
		}
	}
	for _, a := range log.Attempts {
		if a.Drill != practice.ColdTry {
			see(a.At)
		}
	}
	for _, t := range log.Tallies {
		see(t.At)
	}
	return first, ok
}

// Witness notes of a try that is in the log that it was watched or filmed; empty
// takes that back.
func (r *Roster) Witness(ctx context.Context, who practice.Who, student, attempt string, as practice.Witness) error {
	if _, _, err := r.open(ctx, who, practice.CoachStudent, student); err != nil {
		return err
	}
	if as != "" && as != practice.Watched && as != practice.Filmed {
		return practice.Faults{{Code: practice.UnknownWord, Field: "witness", Value: practice.Short(string(as))}}
	}
	log, err := r.store.Log(ctx, who, student)
	if err != nil {
		return err
	}
	for _, a := range log.Attempts {
		if a.ID == attempt {
			a.Witness = as
			return r.store.AddLog(ctx, who, student, practice.Log{Attempts: []practice.Attempt{a}})
		}
	}
	return practice.Fault{Code: practice.NotFound, Field: "attempt", Value: practice.Short(attempt)}
}
