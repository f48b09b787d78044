// Package roster is who the students are and who may see whom: taking in,
// changing, stops, notes, consents, covers, and the whole of one person to hand
// out or to forget.
//
// Every use takes who asks, and decides by [practice.Role.May] whether that
// person may; a refusal is a [practice.Fault] with the code not-allowed.
package roster

import (
	"context"
	"time"

	"aplomb/internal/practice"
)

// Records keeps students and what belongs to them. An unknown id is a
// not-found fault; a base that is no longer the newest is a changed-since one.
type Records interface {
	Studio(ctx context.Context, who practice.Who) (practice.Kept[practice.Studio], error)
	Student(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Student], error)
	Students(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Student], error)
	PutStudent(ctx context.Context, who practice.Who, s practice.Student, base int64) (int64, error)
	Erase(ctx context.Context, who practice.Who, student string) (eraseKey string, err error)
}

// Circle keeps who works here, and who stands in for whom.
type Circle interface {
	Person(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Person], error)
	Covers(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Cover], error)
	PutCover(ctx context.Context, who practice.Who, c practice.Cover, base int64) (int64, error)
	RemoveCover(ctx context.Context, who practice.Who, id string) error
	Guardians(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Guardian], error)
	PutGuardian(ctx context.Context, who practice.Who, g practice.Guardian, base int64) (int64, error)
}

// Library keeps the studio's own drills.
type Library interface {
	Drills(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Drill], error)
	PutDrill(ctx context.Context, who practice.Who, d practice.Drill, base int64) (int64, error)
}

// Notes keeps what was written of students, and what they agreed to.
type Notes interface {
	Notes(ctx context.Context, who practice.Who, student string) ([]practice.Kept[practice.Note], error)
	PutNote(ctx context.Context, who practice.Who, n practice.Note, base int64) (int64, error)
	RemoveNote(ctx context.Context, who practice.Who, student, id string) error
	Consents(ctx context.Context, who practice.Who, student string) ([]practice.Kept[practice.Consent], error)
	PutConsent(ctx context.Context, who practice.Who, c practice.Consent, base int64) (int64, error)
	// Withdraw ends every consent of the purpose that holds. With forgetHealth
	// every health note of the student goes in the same transaction, with where
	// it hurt and the trail of both; stops, restrictions and numbers of pain
	// stay.
	Withdraw(ctx context.Context, who practice.Who, student string, from practice.Purpose, at practice.Instant, forgetHealth bool) error
	Latest(ctx context.Context, who practice.Who, student, before string, most int, private bool) ([]practice.Change, error)
	Erased(ctx context.Context, studio string) ([]practice.Change, error)
}

// Rows keeps rows of students' logs.
type Rows interface {
	AddLog(ctx context.Context, who practice.Who, student string, rows practice.Log) error
	Log(ctx context.Context, who practice.Who, student string) (practice.Log, error)
	Sessions(ctx context.Context, who practice.Who, student string) ([]practice.Session, error)
}

// Store is all a roster needs.
type Store interface {
	Records
	Circle
	Notes
	Rows
	Library
}

// Roster is the students of the studios of one store.
type Roster struct {
	store Store
	now   func() time.Time
	newID func() string
}

// New is a roster over a store. newID makes ids nobody has.
func New(store Store, now func() time.Time, newID func() string) *Roster {
	return &Roster{store, now, newID}
}

// around is what decides the tie of one person to the students of a studio.
type around struct {
	who       practice.Who
	studio    practice.Studio
	at        practice.Instant
	day       practice.Date
	covers    []practice.Cover
	guardians []practice.Guardian
}

func (r *Roster) around(ctx context.Context, who practice.Who) (*around, error) {
	studio, err := r.store.Studio(ctx, who)
	if err != nil {
		return nil, err
	}
	covers, err := r.store.Covers(ctx, who)
	if err != nil {
		return nil, err
	}
	guardians, err := r.store.Guardians(ctx, who)
	if err != nil {
		return nil, err
	}
	at := studio.Value.Zone.At(r.now())
	return &around{who: who, studio: studio.Value, at: at, day: at.Date(), covers: values(covers), guardians: values(guardians)}, nil
}

func values[T any](kept []practice.Kept[T]) []T {
	out := make([]T, len(kept))
	for i, k := range kept {
		out[i] = k.Value
	}
	return out
}

// tie is what the person has to do with the student today.
func (a *around) tie(s practice.Student) practice.Tie {
	return a.who.TieTo(s, a.day, a.studio.Shares, a.covers, a.guardians)
}

// longAgo is how many days back something may be kept that was done: a guess.
const longAgo = 3652

// on is when something of a day is kept as done, in the student's zone: now, or at
// noon of a day that was. A day to come is a fault, and one too long ago to be
// anything but a slip of the hand.
func (a *around) on(s practice.Student, day practice.Date) (practice.Instant, practice.Zone, []practice.Fault) {
	zone := s.Zone
	if !zone.Known() {
		zone = a.studio.Zone
	}
	switch today := zone.Date(a.at); {
	case day > today || day < today-longAgo:
		return a.at, zone, []practice.Fault{{Code: practice.OutOfRange, Field: "day", Value: day.String(), Want: "a day that has been, in the last ten years"}}
	case day == today:
		return a.at, zone, nil
	}
	return zone.Noon(day), zone, nil
}

// may says whether the person may do this to the student.
func (a *around) may(do practice.Right, s practice.Student) bool {
	return a.who.Role.May(do, a.tie(s))
}

// open fetches a student for a person who may do this. Who may not is refused
// alike whether the student is there or not.
func (r *Roster) open(ctx context.Context, who practice.Who, do practice.Right, id string) (practice.Kept[practice.Student], *around, error) {
	none := practice.Kept[practice.Student]{}
	a, err := r.around(ctx, who)
	if err != nil {
		return none, nil, err
	}
	kept, err := r.store.Student(ctx, who, id)
	if err != nil {
		if !who.Role.May(do, practice.Other) && practice.HasCode(err, practice.NotFound) {
			return none, nil, practice.Refused(do)
		}
		return none, nil, err
	}
	if !a.may(do, kept.Value) {
		return none, nil, practice.Refused(do)
	}
	return kept, a, nil
}

// atLarge refuses what is about no one student to whoever may not.
func atLarge(who practice.Who, do practice.Right) error {
	if !who.Role.May(do, practice.Other) {
		return practice.Refused(do)
	}
	return nil
}
