package storetest

import (
	"errors"
	"slices"
	"strconv"
	"sync"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// byPhone is a student who sends what a phone has.
var byPhone = practice.Who{Studio: "millgate", ID: "mira", Role: practice.AsStudent}

func received(id string, kind practice.EntryKind, n int) practice.Receipt {
	return practice.Receipt{ID: id, Student: "mira", Phone: "k1", Kind: kind, N: n, At: at(1), Shift: -7200, Alarms: practice.Swelling}
}

// sent is a batch of one of every row, with its receipts.
func sent() practice.Batch {
	rows := day("mira")
	rows.Probes = nil
	b := practice.Batch{Rows: rows}
	for id, kind := range map[string]practice.EntryKind{"a1": practice.TryEntry, "a2": practice.TryEntry, "t1": practice.TallyEntry,
		"s1": practice.SessionEntry, "w1": practice.WordsEntry, "d1": practice.DetourEntry, "m1": practice.MarkEntry} {
		b.Receipts = append(b.Receipts, received(id, kind, 1))
	}
	return b
}

// merge keeps a batch and says what was held before it.
func merge(t testing.TB, s *store.Store, b practice.Batch) (held practice.Held) {
	t.Helper()
	var ids []string
	for _, r := range b.Receipts {
		ids = append(ids, r.ID)
	}
	ok(t, s.Merge(ctx, byPhone, "mira", ids, func(h practice.Held) (practice.Batch, error) {
		held = h
		return b, nil
	}))
	return held
}

// What a phone sent is kept with its receipts, is there when it is sent again,
// and goes when it is taken back; a stop comes with it.
func phone(t *testing.T, fresh Fresh) {
	s, open := hall(t, fresh)
	must(t)(s.PutWeek(ctx, millgate, practice.Week{Student: "mira", ISOWeek: practice.ISOWeek{Year: 2026, Week: 23}, Version: 2}, 0))
	must(t)(s.PutConsent(ctx, millgate, practice.Consent{ID: "c", Student: "mira", For: practice.ForHealth}, 0))
	h := merge(t, s, sent())
	same(t, "held at first", h, practice.Held{Student: h.Student, Studio: h.Studio, Sealing: true, Weeks: map[string]bool{"mira/2026-W23/2": true},
		Consents: []practice.Consent{{ID: "c", Student: "mira", For: practice.ForHealth}}})
	if h.Student.Value.ID != "mira" || h.Studio.ID != "millgate" {
		t.Errorf("held of %q in %q", h.Student.Value.ID, h.Studio.ID)
	}
	rows := day("mira")
	rows.Probes = nil
	same(t, "log", got[practice.Log](t)(s.Log(ctx, millgate, "mira")).Words, rows.Words)
	before := len(got[[]practice.Change](t)(s.Changes(ctx, millgate, "mira")))
	h = merge(t, s, sent())
	same(t, "tries held", h.Tries, map[string]practice.Attempt{"a1": rows.Attempts[0], "a2": rows.Attempts[1]})
	if len(h.Receipts) != 7 || h.Receipts["d1"] != received("d1", practice.DetourEntry, 1) || len(h.Taken) != 0 {
		t.Errorf("held: %+v", h)
	}
	if after := len(got[[]practice.Change](t)(s.Changes(ctx, millgate, "mira"))); after != before {
		t.Errorf("%d lines of the trail for nothing new", after-before)
	}

	stop := practice.Stop{No: []practice.Strain{practice.HandLoad}, Since: 20600}
	gone := practice.Batch{Stop: &stop, Gone: []practice.GoneRow{{Noun: practice.AttemptNoun, ID: "a2"}, {Noun: practice.WordsNoun, ID: "w1"}, {Noun: practice.DetourNoun, ID: "d1"}}}
	for _, id := range []string{"a2", "w1", "d1"} {
		r := received(id, practice.TryEntry, 2)
		r.Gone = true
		gone.Receipts = append(gone.Receipts, r)
	}
	merge(t, s, gone)
	r := got[store.Record](t)(open(TheKey).Record(ctx, millgate, "mira"))
	rows.Attempts, rows.Words, rows.Detours = rows.Attempts[:1], nil, nil
	rows.Weeks = r.Log.Weeks
	same(t, "what is left", r.Log, rows)
	if len(r.Receipts) != 7 || r.Receipts[1].N != 2 || !r.Receipts[1].Gone || r.Receipts[1].Kind != practice.TryEntry {
		t.Errorf("receipts: %+v", r.Receipts)
	}
	same(t, "stops", r.Student.Value.Stops, []practice.Stop{stop})
	same(t, "restrictions", r.Student.Value.Restrictions, mira().Restrictions)
}

// Ids that are somebody else's, or of rows no phone sent, are told; a batch
// that would touch them, or an error, leaves everything as it was.
func phoneRefused(t *testing.T, fresh Fresh) {
	s, open := hall(t, fresh)
	ok(t, s.AddLog(ctx, millgate, "oda", practice.Log{Attempts: []practice.Attempt{{ID: "coachs", Student: "oda", At: at(1)}}}))
	ok(t, s.Merge(ctx, byPhone, "oda", nil, func(practice.Held) (practice.Batch, error) {
		return practice.Batch{Receipts: []practice.Receipt{{ID: "odas", Student: "oda", Phone: "k", Kind: practice.MarkEntry, N: 1, Gone: true}}}, nil
	}))
	var many []string
	for i := range 3 * 100 {
		many = append(many, "x"+strconv.Itoa(i))
	}
	var held practice.Held
	late := errors.New("late")
	err := s.Merge(ctx, byPhone, "mira", append(many, "coachs", "odas"), func(h practice.Held) (practice.Batch, error) {
		held = h
		return sent(), late
	})
	if !errors.Is(err, late) {
		t.Error(err)
	}
	same(t, "taken", held.Taken, map[string]bool{"coachs": true})
	if held.Receipts["odas"].Student != "oda" {
		t.Errorf("the receipt of another: %+v", held.Receipts)
	}
	one := func(b practice.Batch) error {
		return s.Merge(ctx, byPhone, "mira", nil, func(practice.Held) (practice.Batch, error) { return b, nil })
	}
	refused(t, one(practice.Batch{Receipts: []practice.Receipt{received("odas", practice.MarkEntry, 2)}}), practice.ExistsAlready)
	refused(t, one(practice.Batch{Receipts: []practice.Receipt{{ID: "new", Student: "oda"}}}), practice.ExistsAlready)
	refused(t, one(practice.Batch{Rows: practice.Log{Attempts: []practice.Attempt{{ID: "coachs", Student: "mira"}}}}), practice.ExistsAlready)
	refused(t, one(practice.Batch{Rows: practice.Log{Words: []practice.SetWords{{ID: "x", Student: "oda"}}}}), practice.Contradiction)
	refused(t, one(practice.Batch{Rows: sent().Rows, Gone: []practice.GoneRow{{Noun: practice.AttemptNoun, ID: "none"}}}), practice.NotFound)
	refused(t, s.Merge(ctx, byPhone, "nobody", nil, nil), practice.NotFound)
	shut := open(nil)
	err = shut.Merge(ctx, byPhone, "mira", nil, func(h practice.Held) (practice.Batch, error) {
		if h.Sealing {
			t.Error("it says that it seals")
		}
		return sent(), nil
	})
	refused(t, err, practice.NoKey)
	same(t, "the log", got[practice.Log](t)(s.Log(ctx, millgate, "mira")), practice.Log{})
	if r := got[store.Record](t)(s.Record(ctx, millgate, "mira")); len(r.Receipts) != 0 {
		t.Errorf("receipts of what was not kept: %+v", r.Receipts)
	}
}

// Two phones of one student at once: each sees what the other left, none is
// lost.
func twoPhones(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	const turns = 20
	var all sync.WaitGroup
	for range 2 {
		all.Go(func() {
			for range turns {
				err := s.Merge(ctx, byPhone, "mira", []string{"shared"}, func(h practice.Held) (practice.Batch, error) {
					n := h.Receipts["shared"].N + 1
					row := practice.Attempt{ID: "shared", Student: "mira", At: at(1), Rep: n}
					return practice.Batch{Receipts: []practice.Receipt{received("shared", practice.TryEntry, n)}, Rows: practice.Log{Attempts: []practice.Attempt{row}}}, nil
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	r := got[store.Record](t)(s.Record(ctx, millgate, "mira"))
	at := slices.IndexFunc(r.Receipts, func(r practice.Receipt) bool { return r.N == 2*turns })
	if at < 0 || len(r.Log.Attempts) != 1 || r.Log.Attempts[0].Rep != 2*turns {
		t.Errorf("%+v, %+v", r.Receipts, r.Log.Attempts)
	}
}
