package logbook_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"aplomb/internal/logbook"
	"aplomb/internal/practice"
	"aplomb/internal/store/storetest"
)

const (
	aTry     = `{"session":"s1","drill":"open-try","item":"i3","set":1,"rep":2,"entry":"kick","support":"open","surface":"floor","passed":true,"seconds":2.4,"timed":"stopwatch","end":"over","cold":false,"note":"light"}`
	aTally   = `{"session":"s1","drill":"open-try","item":"i3","set":2,"entry":"kick","support":"open","surface":"floor","tries":12,"caught":4,"best":3.1,"second_best":2,"timed":"counted","note":"n"}`
	aSession = `{"week":"mira/2026-W48/2","day":"wed","form":"tired","minutes":31.5,"effort":6,"pain_site":"wrist","pain_before":0,"pain":2,"numb":false,"swollen":false,"pain_next_morning":1,"note":"calm"}`
	someTold = `{"session":"s1","drill":"open-try","set":2,"keep":"eyes still","next":"slower kick"}`
	aMark    = `{"session":"s1","drill":"open-try","mark":"helped","cue":"tall"}`
	aDetour  = `{"week":"mira/2026-W48/2","day":"wed","session":0,"what":"swapped","drill":"open-try","for":"toe-float","reason":"no wall"}`
)

// Every kind of entry comes into the log as it was told, once, and what is sent
// again changes nothing, not even the trail.
func TestMergeKeepsEveryKind(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	entries := []logbook.Entry{s.entry("t1", "try", aTry), s.entry("c1", "tally", aTally), s.entry("s1", "session", aSession),
		s.entry("w1", "words", someTold), s.entry("m1", "mark", aMark), s.entry("d1", "detour", aDetour), s.entry("e1", "try", `{"drill":"toe-float"}`)}
	at := s.at(-60)
	want := practice.Log{
		Attempts: []practice.Attempt{{ID: "t1", Student: "mira", At: at, Session: "s1", Item: "i3", Drill: "open-try", Set: 1, Rep: 2, Entry: "kick", Support: "open",
			Surface: "floor", Passed: practice.Known(true), Seconds: practice.Known(2.4), Timed: "stopwatch", End: "over", Cold: practice.Known(false), Note: "light"},
			{ID: "e1", Student: "mira", At: at, Drill: "toe-float"}},
		Tallies: []practice.Tally{{ID: "c1", Student: "mira", At: at, Session: "s1", Item: "i3", Drill: "open-try", Set: 2, Entry: "kick", Support: "open",
			Surface: "floor", Tries: 12, Caught: practice.Known(4), Best: practice.Known(3.1), SecondBest: practice.Known(2.0), Timed: "counted", Note: "n"}},
		Sessions: []practice.Session{{ID: "s1", Student: "mira", At: at, Week: "2026-W48", Version: 2, Day: practice.Known(practice.Weekday(2)), Form: practice.FormTired,
			Minutes: practice.Known(31.5), Effort: practice.Known(6.0), PainSite: "wrist", PainBefore: practice.Known(0.0), Pain: practice.Known(2.0),
			PainMorning: practice.Known(1.0), Numb: practice.Known(false), Swollen: practice.Known(false), Note: "calm"}},
		Words: []practice.SetWords{{ID: "w1", Student: "mira", At: at, Session: "s1", Drill: "open-try", Set: 2, Keep: "eyes still", Next: "slower kick"}},
		Marks: []practice.DrillMark{{ID: "m1", Student: "mira", At: at, Drill: "open-try", Mark: practice.Helped, Cue: "tall"}},
		Detours: []practice.Detour{{ID: "d1", Student: "mira", At: at, Week: "2026-W48", Version: 2, Day: 2, What: practice.Swapped, Drill: "open-try",
			For: "toe-float", Reason: "no wall"}},
	}
	slices.SortStableFunc(want.Attempts, func(a, b practice.Attempt) int { return a.Set - b.Set }) // of one instant: in order of set
	var lines int
	for i := range 3 {
		answer := s.send(mira, entries...)
		if got := told(answer); len(got) != len(entries) || len(answer.Kept) != len(entries) {
			t.Fatalf("%q", got)
		}
		r := s.record("mira")
		r.Log.Weeks = nil
		if d := cmp.Diff(want, r.Log); d != "" {
			t.Error(d)
		}
		if len(r.Receipts) != len(entries) || r.Receipts[1] != (practice.Receipt{ID: "d1", Student: "mira", Phone: "k1", Kind: practice.DetourEntry, N: 1, At: at}) {
			t.Errorf("receipts: %+v", r.Receipts)
		}
		trail, err := s.store.Changes(t.Context(), ines, "mira")
		s.ok(err)
		if i > 0 && len(trail) != lines {
			t.Errorf("%d lines of the trail for what was there", len(trail)-lines)
		}
		lines = len(trail)
	}
}

// Edits and undoing, in whatever order they come.
func TestVersions(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	sec := func(n float64) string { return fmt.Sprintf(`{"drill":"open-try","seconds":%g}`, n) }
	a, b, c := s.entry("a", "try", sec(1)), s.entry("b", "try", sec(1)), s.entry("c", "try", sec(1))
	s.send(mira, version(a, 3, sec(3)), version(a, 2, ""), version(b, 2, ""), b, c)
	s.send(mira, a, b, version(c, 2, ""), version(c, 1, sec(9)))
	s.send(mira, version(c, 4, sec(4)), version(c, 3, ""))
	var left []string
	for _, a := range s.record("mira").Log.Attempts {
		left = append(left, fmt.Sprint(a.ID, a.Seconds.Value))
	}
	if !slices.Equal(left, []string{"a3", "c4"}) {
		t.Errorf("left: %q", left)
	}
}

// An impossible entry is told with its field and keeps no other out.
func TestRefused(t *testing.T) {
	s := newStudio(t)
	mira, otto := s.admit(practice.Student{ID: "mira"}), s.admit(practice.Student{ID: "otto"})
	s.send(otto, s.entry("ottos", "try", aTry))
	s.ok(s.store.AddLog(t.Context(), ines, "mira", practice.Log{Attempts: []practice.Attempt{{ID: "coachs", Student: "mira", Drill: "open-try"}}}))
	s.send(mira, s.entry("here", "try", aTry))
	long := strings.Repeat("x", 2001)
	for _, c := range []struct{ kind, body, want string }{
		{"try", `{"drill":"open-try","seconds":-1}`, "out-of-range seconds"},
		{"try", `{"drill":"open-try","passed":false,"seconds":3}`, "contradiction passed"},
		{"try", `{"drill":"nobody-knows-it"}`, "unknown-id drill"},
		{"try", `{"drill":""}`, "bad-id drill"},
		{"try", `{}`, "bad-id drill"},
		{"try", `{"drill":"open-try","end":"fell"}`, "unknown-word end"},
		{"try", `{"drill":"open-try","seconds":"two"}`, "wrong-type seconds"},
		{"try", `{"drill":"open-try","set":1.5}`, "wrong-type set"},
		{"try", `{"drill":"open-try","second":2}`, "unknown-field second"},
		{"try", `{"drill":"open-try","note":"` + long + `"}`, "out-of-range note"},
		{"try", `{"drill":"open-try","note":"a\u0000"}`, "out-of-range note"},
		{"try", `[]`, "bad-json body"},
		{"try", `null`, "bad-json body"},
		{"try", `{"drill":`, "bad-json body"},
		{"tally", `{"drill":"open-try"}`, "out-of-range tries"},
		{"session", `{"week":"2026-W48"}`, "bad-id week"},
		{"session", `{"week":"otto/2026-W48/2"}`, "unknown-id week"},
		{"session", `{"effort":11}`, "out-of-range effort"},
		{"session", `{"day":"someday"}`, "unknown-word day"},
		{"words", `{"drill":"open-try"}`, "missing-field keep"},
		{"mark", `{"drill":"open-try"}`, "missing-field mark"},
		{"detour", `{"what":"skipped"}`, "missing-field week"},
		{"detour", `{"week":"mira/2026-W48/2","day":"wed","what":"moved"}`, "missing-field to"},
		{"dream", `{}`, "unknown-word kind"},
	} {
		got := told(s.send(mira, s.entry("x", c.kind, c.body), s.entry("here", "try", aTry)))
		if want := []string{"kept here 1", "refused x 1: " + c.want}; !slices.Equal(got, want) {
			t.Errorf("%s %s: %q, want %q", c.kind, c.body, got, want)
		}
	}
	for name, c := range map[string]struct {
		entry logbook.Entry
		want  string
	}{
		"no id":             {s.entry("a b", "try", aTry), "bad-id id"},
		"no count":          {version(s.entry("x", "try", aTry), 0, aTry), "out-of-range n"},
		"another student's": {s.entry("ottos", "try", aTry), "repeated-id id"},
		"the coach's":       {s.entry("coachs", "try", aTry), "repeated-id id"},
		"of another kind":   {version(s.entry("here", "tally", aTally), 2, aTally), "contradiction kind"},
		"no time":           {logbook.Entry{ID: "x", N: 1, Kind: "try", At: "today"}, "bad-instant at"},
		"years old":         {logbook.Entry{ID: "x", N: 1, Kind: "try", At: "1999-01-01T00:00:00Z", Gone: true}, "out-of-range at"},
	} {
		a := s.send(mira, c.entry)
		if len(a.Kept) > 0 || len(a.Refused) != 1 || string(a.Refused[0].Fault.Code)+" "+a.Refused[0].Fault.Field != c.want {
			t.Errorf("%s: %q, want %s", name, told(a), c.want)
		}
	}
	if r := s.record("mira"); len(r.Log.Attempts) != 2 || len(r.Receipts) != 1 || len(r.Student.Value.Stops) != 0 {
		t.Errorf("what is left: %+v", r)
	}
}

// Only the student, and only what is a parcel.
func TestWhoMayMerge(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	merge := func(who practice.Who, p logbook.Parcel) error {
		_, err := s.book.Merge(t.Context(), who, p)
		return err
	}
	parcel := logbook.Parcel{Phone: "k1", Now: s.at(0), Entries: []logbook.Entry{s.entry("a", "try", aTry)}}
	for _, role := range practice.Roles {
		who := practice.Who{Studio: "millgate", ID: "mira", Role: role}
		if err := merge(who, parcel); (err == nil) != (role == practice.AsStudent) || err != nil && !practice.HasCode(err, practice.NotAllowed) {
			t.Errorf("%s: %v", role, err)
		}
	}
	for _, bad := range []logbook.Parcel{{Phone: "a phone"}, {Phone: "k1", Entries: make([]logbook.Entry, logbook.MaxEntries+1)}} {
		if fs, ok := merge(mira, bad).(practice.Faults); !ok || len(fs) != 1 {
			t.Errorf("%d entries of %q were taken", len(bad.Entries), bad.Phone)
		}
	}
	if err := merge(practice.Who{Studio: "millgate", ID: "nobody", Role: practice.AsStudent}, parcel); !practice.HasCode(err, practice.NotFound) {
		t.Error(err)
	}
	other := parcel
	other.Phone = "k2"
	a, err := s.book.Merge(t.Context(), mira, other)
	if s.ok(err); len(a.Refused) != 1 || a.Refused[0].Fault.Field != "id" {
		t.Errorf("an entry of two phones: %q", told(a))
	}
}

// A wrong clock is put right by how far off it was at the first contact; the
// time the phone said is kept beside it.
func TestClocks(t *testing.T) {
	for name, c := range map[string]struct {
		said, phoneNow int64 // seconds from the studio's time as it arrives
		want, shift    int64
	}{
		"right":                        {-600, 0, -600, 0},
		"a minute fast":                {-600 + 60, 60, -540, 0},
		"two minutes fast":             {-600 + 120, 120, -600, -120},
		"seven hours slow":             {-600 - 25200, -25200, -600, 25200},
		"never set":                    {-600 - 1.7e9, -1.7e9, -600, 1.7e9},
		"fast then set":                {+86400, 0, 0, -86400},
		"fast then set, and a minute":  {+100, 0, 100, 0},
		"set forward between the two":  {-7200, 3600, -10800, -3600},
		"a day of the last year":       {-399 * 86400, 0, -399 * 86400, 0},
		"older than what can be right": {-401 * 86400, 0, 1, 0},
	} {
		s := newStudio(t)
		mira := s.admit(practice.Student{ID: "mira"})
		e := s.entry("a", "try", aTry)
		e.At = s.at(c.said).String()
		a, err := s.book.Merge(t.Context(), mira, logbook.Parcel{Phone: "k1", Now: s.at(c.phoneNow), Entries: []logbook.Entry{e}})
		s.ok(err)
		r := s.record("mira")
		if c.want == 1 {
			if len(a.Refused) != 1 || a.Refused[0].Fault.Field != "at" || len(r.Log.Attempts) > 0 {
				t.Errorf("%s: %q", name, told(a))
			}
			continue
		}
		if len(r.Log.Attempts) != 1 || r.Log.Attempts[0].At != s.at(c.want) || r.Receipts[0].At != s.at(c.said) || int64(r.Receipts[0].Shift) != c.shift {
			t.Errorf("%s: %q, %+v, %+v, want %s", name, told(a), r.Log.Attempts, r.Receipts, s.at(c.want))
		}
		// An edit a day later, over a clock that is right again, does not move it.
		s.now.Add(int64(24 * time.Hour))
		want := r.Log.Attempts[0].At
		_, err = s.book.Merge(t.Context(), mira, logbook.Parcel{Phone: "k1", Now: s.at(0), Entries: []logbook.Entry{version(e, 2, `{"drill":"open-try"}`)}})
		s.ok(err)
		if got := s.record("mira").Log.Attempts[0]; got.At != want || got.Note != "" {
			t.Errorf("%s: moved by an edit to %s, want %s", name, got.At, want)
		}
	}
}

// Fractions of a second stay: tries keep the order the phone had them in.
func TestFractionsStay(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	e := s.entry("a", "try", aTry)
	e.At = "2026-11-25T19:58:41.25+01:00"
	now, err := practice.ParseInstant("2026-11-25T19:58:42.9+01:00")
	s.ok(err)
	_, err = s.book.Merge(t.Context(), mira, logbook.Parcel{Phone: "k1", Now: now, Entries: []logbook.Entry{e}})
	s.ok(err)
	if at := s.record("mira").Log.Attempts[0].At.String(); at != "2026-11-25T20:14:01.25+01:00" { // 15 min 20.1 s later
		t.Error(at)
	}
}

// What a coach saw stays with a try as long as it is told as it was.
func TestWitness(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	e := s.entry("a", "try", `{"drill":"cold-try","seconds":9,"end":"lowered"}`)
	s.send(mira, e)
	seen := s.record("mira").Log.Attempts[0]
	seen.Witness, seen.Place = practice.Watched, "hall"
	s.ok(s.store.AddLog(t.Context(), ines, "mira", practice.Log{Attempts: []practice.Attempt{seen}}))
	for _, c := range []struct {
		n    int
		body string
		want practice.Witness
	}{
		{1, `{"drill":"cold-try","seconds":90}`, practice.Watched}, // came again: nothing
		{2, `{"drill":"cold-try","seconds":9,"end":"lowered","note":"at last"}`, practice.Watched},
		{3, `{"drill":"cold-try","seconds":19,"end":"lowered","note":"at last"}`, ""},
	} {
		s.send(mira, version(e, c.n, c.body))
		if got := s.record("mira").Log.Attempts[0]; got.Witness != c.want || got.Place != "hall" {
			t.Errorf("version %d: %+v", c.n, got)
		}
	}
}

// Where it hurts is kept only by a consent and with the key; the numbers always
// are, and the week only where there is one.
func TestLeftOut(t *testing.T) {
	for name, c := range map[string]struct {
		spoil      func(*studio)
		body, want string
	}{
		"as it should be": {func(*studio) {}, aSession, ""},
		"no consent": {func(s *studio) {
			s.ok(s.store.Withdraw(context.Background(), ines, "mira", practice.ForHealth, s.at(0), true))
		}, aSession, "left out of s1 1: no-consent pain_site"},
		"no key":  {func(s *studio) { s.seal = nil; s.restart() }, aSession, "left out of s1 1: no-key pain_site"},
		"no week": {func(*studio) {}, strings.Replace(aSession, "W48/2", "W48/3", 1), "left out of s1 1: unknown-id week"},
	} {
		s := newStudio(t)
		mira := s.admit(practice.Student{ID: "mira"})
		c.spoil(s)
		a := told(s.send(mira, s.entry("s1", "session", c.body)))
		if got := strings.Join(a[1:], ""); a[0] != "kept s1 1" || got != c.want {
			t.Errorf("%s: %q", name, a)
		}
		s.seal = storetest.TheKey
		s.restart()
		got := s.record("mira").Log.Sessions[0]
		if site, week := got.PainSite, got.Week; got.Pain.Value != 2 || (site == "") != strings.Contains(c.want, "site") || (week == "") != strings.Contains(c.want, "week") {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// A studio's own drills are known.
func TestOwnDrill(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	_, err := s.store.PutDrill(t.Context(), ines, practice.Drill{ID: "hall-drill", Name: "Hall drill"}, 0)
	s.ok(err)
	if a := s.send(mira, s.entry("a", "try", `{"drill":"hall-drill"}`)); len(a.Kept) != 1 {
		t.Error(told(a))
	}
}

// The mark of the plan is another after a new week and after a stop, and else
// the same.
func TestPlanMark(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	marks := []string{s.send(mira).Plan, s.send(mira, s.entry("a", "try", aTry)).Plan}
	_, err := s.store.PutWeek(t.Context(), ines, practice.Week{Student: "mira", ISOWeek: practice.ISOWeek{Year: 2026, Week: 49}, Version: 1, Status: practice.HandedOver}, 0)
	s.ok(err)
	marks = append(marks, s.send(mira).Plan, s.send(mira, s.entry("s", "session", `{"numb":true}`)).Plan, s.send(mira).Plan)
	if marks[0] != marks[1] || marks[1] == marks[2] || marks[2] == marks[3] || marks[3] != marks[4] || marks[0] == "" {
		t.Errorf("%q", marks)
	}
}
