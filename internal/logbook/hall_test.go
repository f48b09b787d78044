package logbook_test

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"aplomb/internal/library"
	"aplomb/internal/logbook"
	"aplomb/internal/practice"
	"aplomb/internal/store"
	"aplomb/internal/store/sqlite"
	"aplomb/internal/store/storetest"
)

var ines = practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}

// studio is Millgate Hall on a real database, with a clock of its own. Its
// merges can be cut off.
type studio struct {
	t     testing.TB
	path  string
	seal  store.Sealer
	store *store.Store
	book  *logbook.Logbook
	now   atomic.Int64 // Unix nanoseconds
	cut   error        // of the next merge: everything is worked out, nothing is kept
}

func newStudio(t testing.TB) *studio {
	s := &studio{t: t, path: filepath.Join(t.TempDir(), "studio.db"), seal: storetest.TheKey}
	s.now.Store(time.Date(2026, 11, 25, 19, 14, 3, 0, time.UTC).UnixNano())
	s.open()
	t.Cleanup(func() { s.store.Close() })
	zone, err := practice.ParseZone("Europe/Berlin")
	s.ok(err)
	_, err = s.store.PutStudio(t.Context(), ines, practice.Studio{Format: 3, ID: "millgate", Name: "Millgate Hall", Zone: zone}, 0)
	s.ok(err)
	return s
}

func (s *studio) open() {
	var err error
	clock := func() time.Time { return time.Unix(0, s.now.Load()).UTC() }
	s.store, err = sqlite.Open(context.Background(), s.path, s.seal, clock, storetest.NewID)
	s.ok(err)
	s.book = logbook.New(s, library.Builtin(), clock)
}

// restart closes the database and opens it again, as a program that was stopped
// and started does.
func (s *studio) restart() {
	s.ok(s.store.Close())
	s.open()
}

// Merge implements logbook.Store.
func (s *studio) Merge(ctx context.Context, who practice.Who, student string, ids []string, decide func(practice.Held) (practice.Batch, error)) error {
	cut := s.cut
	if cut != nil {
		s.cut = nil
	}
	return s.store.Merge(ctx, who, student, ids, func(h practice.Held) (practice.Batch, error) {
		b, err := decide(h)
		if err == nil {
			err = cut
		}
		return b, err
	})
}

// admit takes in a student with a week and a consent to health notes.
func (s *studio) admit(student practice.Student) practice.Who {
	s.t.Helper()
	ctx := context.Background()
	if student.Name == "" {
		student.Name = student.ID
	}
	_, err := s.store.PutStudent(ctx, ines, student, 0)
	s.ok(err)
	_, err = s.store.PutWeek(ctx, ines, practice.Week{Student: student.ID, ISOWeek: practice.ISOWeek{Year: 2026, Week: 48}, Version: 2, Status: practice.HandedOver}, 0)
	s.ok(err)
	_, err = s.store.PutConsent(ctx, ines, practice.Consent{ID: "c-" + student.ID, Student: student.ID, For: practice.ForHealth, By: student.ID, Role: practice.AsStudent}, 0)
	s.ok(err)
	return practice.Who{Studio: "millgate", ID: student.ID, Role: practice.AsStudent}
}

func (s *studio) ok(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

func (s *studio) record(student string) store.Record {
	s.t.Helper()
	r, err := s.store.Record(context.Background(), ines, student)
	s.ok(err)
	return r
}

// at is the studio's time so many seconds on, as a phone in Berlin shows it.
func (s *studio) at(seconds int64) practice.Instant {
	return practice.Instant{UnixNano: s.now.Load() + seconds*1e9, Offset: 60}
}

// send merges entries from a phone whose clock is right.
func (s *studio) send(who practice.Who, entries ...logbook.Entry) logbook.Answer {
	s.t.Helper()
	a, err := s.book.Merge(context.Background(), who, logbook.Parcel{Phone: "k1", Now: s.at(0), Entries: entries})
	s.ok(err)
	return a
}

// entry is a first version of today; the body is JSON, none where it is gone.
func (s *studio) entry(id, kind, body string) logbook.Entry {
	return logbook.Entry{ID: id, N: 1, Kind: kind, At: s.at(-60).String(), Gone: body == "", Body: json.RawMessage(body)}
}

// version is a later version of an entry.
func version(e logbook.Entry, n int, body string) logbook.Entry {
	e.N, e.Gone, e.Body = n, body == "", json.RawMessage(body)
	return e
}

// told is what an answer says, in short.
func told(a logbook.Answer) (out []string) {
	for _, k := range a.Kept {
		out = append(out, fmt.Sprintf("kept %s %d", k.ID, k.N))
	}
	for _, r := range a.Refused {
		out = append(out, fmt.Sprintf("refused %s %d: %s %s", r.ID, r.N, r.Fault.Code, r.Fault.Field))
	}
	for _, r := range a.LeftOut {
		out = append(out, fmt.Sprintf("left out of %s %d: %s %s", r.ID, r.N, r.Fault.Code, r.Fault.Field))
	}
	return out
}
