package logbook_test

import (
	"slices"
	"testing"
	"time"

	"aplomb/internal/practice"
)

// Each sign in a session stops hand load at the moment of merging.
func TestCareStops(t *testing.T) {
	young, grown := practice.DateOf(2011, 1, 1), practice.DateOf(1990, 1, 1)
	for _, c := range []struct {
		name  string
		body  string
		born  practice.Date
		stops bool
	}{
		{"pain 5", `{"pain":5,"pain_before":5,"pain_next_morning":5}`, grown, false},
		{"pain over 5", `{"pain":5.5}`, grown, true},
		{"pain before over 5", `{"pain_before":6}`, grown, true},
		{"pain next morning over 5", `{"pain_next_morning":6}`, grown, true},
		{"numb", `{"numb":true}`, grown, true},
		{"swollen", `{"swollen":true}`, grown, true},
		{"neither", `{"numb":false,"swollen":false,"pain":1}`, grown, false},
		{"a grown wrist next morning", `{"pain_site":"wrist","pain_next_morning":1}`, grown, false},
		{"a growing wrist next morning", `{"pain_site":"wrist","pain_next_morning":1}`, young, true},
		{"a growing wrist that settled", `{"pain_site":"wrist","pain":3,"pain_next_morning":0}`, young, false},
		{"another site of a growing one", `{"pain_site":"shoulder","pain_next_morning":1}`, young, false},
		{"what cannot be kept", `{"pain":8,"effort":99}`, grown, true},
	} {
		s := newStudio(t)
		mira := s.admit(practice.Student{ID: "mira", Born: &c.born})
		s.send(mira, s.entry("s1", "session", c.body))
		stops := s.record("mira").Student.Value.Stops
		today := practice.DateOf(2026, time.November, 25)
		if !c.stops && len(stops) > 0 || c.stops && (len(stops) != 1 || !slices.Equal(stops[0].No, []practice.Strain{practice.HandLoad}) || stops[0].Since != today || stops[0].ClearedOn != nil) {
			t.Errorf("%s: %+v", c.name, stops)
		}
	}
}

// The growing wrist stops although nobody agreed to keep where it hurts.
func TestCareWithoutConsent(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira", Guardian: "Maren"})
	s.ok(s.store.Withdraw(t.Context(), ines, "mira", practice.ForHealth, s.at(0), true))
	s.send(mira, s.entry("s1", "session", `{"pain_site":"wrist","pain_next_morning":2}`))
	if r := s.record("mira"); len(r.Student.Value.Stops) != 1 || r.Log.Sessions[0].PainSite != "" {
		t.Errorf("%+v", r)
	}
}

// A sign stops once: neither the same entry again, nor an edit, nor an older
// version brings back what the coach cleared; a new sign does, and a new
// session. Undoing does not clear.
func TestCareAndClearing(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	e := s.entry("s1", "session", `{"pain":7}`)
	open := func() (n int) {
		for _, stop := range s.record("mira").Student.Value.Stops {
			if stop.ClearedOn == nil {
				n++
			}
		}
		return n
	}
	clear := func() {
		t.Helper()
		kept, err := s.store.Student(t.Context(), ines, "mira")
		s.ok(err)
		today := kept.Value.Stops[0].Since
		for i := range kept.Value.Stops {
			kept.Value.Stops[i].ClearedOn, kept.Value.Stops[i].ClearedBy = &today, "clinician"
		}
		_, err = s.store.PutStudent(t.Context(), ines, kept.Value, kept.Rev)
		s.ok(err)
	}
	step := func(name string, want int, send func()) {
		t.Helper()
		send()
		if got := open(); got != want {
			t.Errorf("%s: %d stops hold, want %d", name, got, want)
		}
	}
	step("an edit that came first", 0, func() { s.send(mira, version(e, 2, `{"pain":3}`)) })
	step("the older version that hurt", 1, func() { s.send(mira, e) })
	step("undone", 1, func() { s.send(mira, version(e, 3, "")) })
	step("cleared", 0, clear)
	step("again", 0, func() { s.send(mira, e, version(e, 2, `{"pain":3}`), version(e, 4, `{"pain":8}`)) })
	step("a new sign of the same session", 1, func() { s.send(mira, version(e, 5, `{"pain":8,"swollen":true}`)) })
	step("another session while it holds", 1, func() { s.send(mira, s.entry("s2", "session", `{"numb":true}`)) })
	step("cleared again", 0, clear)
	step("another session", 1, func() { s.send(mira, s.entry("s3", "session", `{"numb":true}`)) })
}

// A stop of the first of several sessions, though the phone's clock was wrong;
// never from a day that is not yet.
func TestCareSince(t *testing.T) {
	s := newStudio(t)
	mira := s.admit(practice.Student{ID: "mira"})
	late, early := s.entry("b", "session", `{"pain":9}`), s.entry("a", "session", `{"pain":9}`)
	early.At = s.at(-2 * 86400).String()
	never := s.entry("c", "session", `{"pain":9}`)
	never.At = "1999-01-01T00:00:00Z"
	s.send(mira, late, early, never)
	if stops := s.record("mira").Student.Value.Stops; len(stops) != 1 || stops[0].Since != practice.DateOf(2026, time.November, 23) {
		t.Errorf("%+v", stops)
	}
}
