// Package logbook takes in what students' phones logged: entry by entry, in any
// order and any part, as often as a phone likes, each once.
//
// A phone counts the versions of each of its entries; the ledger remembers the
// highest that arrived, also of one that was taken back, and what is older or
// the same changes nothing.
package logbook

import (
	"context"
	"time"

	"aplomb/internal/practice"
)

// Store keeps the log and the ledger. Merge calls decide in a transaction that
// holds the student, and keeps all that decide says, or nothing.
type Store interface {
	Merge(ctx context.Context, who practice.Who, student string, ids []string, decide func(practice.Held) (practice.Batch, error)) error
}

// Logbook is the logs of the studios of one store.
type Logbook struct {
	store   Store
	builtin *practice.Library
	now     func() time.Time
}

// New is a logbook over a store. Builtin are the drills every studio has.
func New(store Store, builtin *practice.Library, now func() time.Time) *Logbook {
	return &Logbook{store, builtin, now}
}

// MaxEntries is the most entries of one Parcel.
const MaxEntries = 500

// Parcel is what a phone sends at once.
type Parcel struct {
	Phone   string           // the id it gave itself
	Now     practice.Instant // its wall clock as it sends
	Entries []Entry
}

// Answer says of every entry of a parcel what became of it: it is in Kept or in
// Refused. What is kept is on the disk.
type Answer struct {
	Kept    []Version
	Refused []Said
	// LeftOut are fields of entries that were kept without them.
	LeftOut []Said
	// Plan is a mark that is another whenever what the student may train may be
	// another.
	Plan string
}

// Version is one version of one entry.
type Version struct {
	ID string
	N  int
}

// Said is what there is to say of a version of an entry.
type Said struct {
	Version
	Fault practice.Fault
}

// Merge takes in a parcel of the student who asks; anybody else is refused. A
// parcel that is none, with too many entries or no phone, is a list of faults;
// an entry that is impossible is in the answer and keeps none of the others
// out.
func (l *Logbook) Merge(ctx context.Context, who practice.Who, p Parcel) (Answer, error) {
	if who.Role != practice.AsStudent || !who.Role.May(practice.LogPractice, practice.Self) {
		return Answer{}, practice.Refused(practice.LogPractice)
	}
	if fs := p.check(); len(fs) > 0 {
		return Answer{}, fs
	}
	read := make([]reading, len(p.Entries))
	var ids []string
	for i, e := range p.Entries {
		if read[i] = read1(e, who.ID); practice.ValidID(e.ID) {
			ids = append(ids, e.ID)
		}
	}
	var answer Answer
	err := l.store.Merge(ctx, who, who.ID, ids, func(held practice.Held) (practice.Batch, error) {
		m := newMerge(held, l, p)
		for _, r := range read {
			m.take(r)
		}
		answer = m.answer
		answer.Plan = m.plan()
		return m.batch(), nil
	})
	if err != nil {
		return Answer{}, err
	}
	return answer, nil
}

func (p Parcel) check() (fs practice.Faults) {
	if !practice.ValidID(p.Phone) {
		fs = append(fs, practice.Fault{Code: practice.BadID, Field: "phone", Value: practice.Short(p.Phone)})
	}
	if len(p.Entries) > MaxEntries {
		fs = append(fs, practice.Fault{Code: practice.OutOfRange, Field: "entries", Want: "at most 500 entries at once"})
	}
	return fs
}
