package practice

import (
	"strings"
	"testing"
)

func TestSetWordsCheck(t *testing.T) {
	sound := func() SetWords {
		return SetWords{ID: "w", Student: "s", Drill: "d", Set: 2, Keep: strings.Repeat("é", MaxLine), Next: "slower"}
	}
	checks(t, sound, SetWords.Check, []spoil[SetWords]{
		{"no drill", func(w *SetWords) { w.Drill = "" }, "bad-id drill"},
		{"no session", func(w *SetWords) { w.Session = "a b" }, "bad-id session"},
		{"set 501", func(w *SetWords) { w.Set = 501 }, "out-of-range set"},
		{"nothing said", func(w *SetWords) { w.Keep, w.Next = "", "" }, "missing-field keep"},
		{"too long", func(w *SetWords) { w.Next = strings.Repeat("é", MaxLine+1) }, "out-of-range next"},
		{"two lines", func(w *SetWords) { w.Keep = "a\nb" }, "out-of-range keep"},
	})
}

func TestDetourCheck(t *testing.T) {
	sound := func() Detour {
		return Detour{ID: "x", Student: "s", Week: "2026-W48", Version: 2, Day: 1, What: Skipped, Reason: "late train"}
	}
	checks(t, sound, Detour.Check, []spoil[Detour]{
		{"a whole session moved", func(d *Detour) { d.What, d.To = Moved, Known(Weekday(0)) }, ""},
		{"a drill swapped", func(d *Detour) { d.What, d.Drill, d.For = Swapped, "a", "b" }, ""},
		{"a drill skipped", func(d *Detour) { d.Drill = "a" }, ""},
		{"no ids", func(d *Detour) { d.ID, d.Student, d.Drill = "", "", "?" }, "bad-id id; bad-id student; bad-id drill"},
		{"no week", func(d *Detour) { d.Week = "2026-W60" }, "bad-date week"},
		{"version -1", func(d *Detour) { d.Version = -1 }, "out-of-range version"},
		{"day 7", func(d *Detour) { d.Day = 7 }, "out-of-range day"},
		{"session 10", func(d *Detour) { d.Session = 10 }, "out-of-range session"},
		{"no kind", func(d *Detour) { d.What = "moved away" }, "unknown-word what"},
		{"moved nowhere", func(d *Detour) { d.What = Moved }, "missing-field to"},
		{"moved to day 9", func(d *Detour) { d.What, d.To = Moved, Known(Weekday(9)) }, "out-of-range to"},
		{"a drill moved", func(d *Detour) { d.What, d.To, d.Drill = Moved, Known(Weekday(3)), "a" }, "contradiction drill"},
		{"skipped to a day", func(d *Detour) { d.To = Known(Weekday(3)) }, "contradiction to"},
		{"skipped for another", func(d *Detour) { d.For = "b" }, "contradiction for"},
		{"swapped for nothing", func(d *Detour) { d.What = Swapped }, "missing-field for; missing-field drill"},
		{"a long reason", func(d *Detour) { d.Reason = strings.Repeat("x", 201) }, "out-of-range reason"},
	})
}

func TestReceiptCheck(t *testing.T) {
	sound := func() Receipt { return Receipt{ID: "e", Student: "s", Phone: "p", Kind: TryEntry, N: 1} }
	checks(t, sound, Receipt.Check, []spoil[Receipt]{
		{"no ids", func(r *Receipt) { r.ID, r.Student, r.Phone = "", " ", "a/b" }, "bad-id id; bad-id student; bad-id phone"},
		{"no kind", func(r *Receipt) { r.Kind = "attempt" }, "unknown-word kind"},
		{"a negative count", func(r *Receipt) { r.N = -1 }, "out-of-range n"},
		{"too often", func(r *Receipt) { r.N = MaxCount + 1 }, "out-of-range n"},
	})
	for _, k := range EntryKinds {
		if _, err := Word(Nouns, string(k.Noun())); err != nil {
			t.Errorf("%s is no noun: %v", k, err)
		}
	}
}

func TestSessionOfAPlan(t *testing.T) {
	sound := func() Session { return Session{ID: "s", Student: "a", Week: "2026-W48", Version: 3, Form: FormFive} }
	checks(t, sound, Session.Check, []spoil[Session]{
		{"version -1", func(s *Session) { s.Version = -1 }, "out-of-range version"},
		{"a version of no week", func(s *Session) { s.Week = "" }, "missing-field week"},
		{"day 8", func(s *Session) { s.Day = Known(Weekday(8)) }, "out-of-range day"},
		{"another form", func(s *Session) { s.Form = "long" }, "unknown-word form"},
	})
	if fs := (Attempt{ID: "a", Student: "s", Drill: "d", Item: "no id"}).Check(); faultsOf(fs) != "bad-id item" {
		t.Error(fs)
	}
}

func TestAlarms(t *testing.T) {
	wrist := Session{PainSite: "wrist", PainMorning: Known(1.0)}
	for _, c := range []struct {
		session Session
		minor   bool
		want    string
	}{
		{Session{}, true, ""},
		{Session{Pain: Known(5.0), PainBefore: Known(5.0), PainMorning: Known(5.0), Numb: Known(false)}, false, ""},
		{Session{Pain: Known(5.5)}, false, "pain"},
		{Session{PainBefore: Known(6.0)}, false, "pain"},
		{Session{PainMorning: Known(6.0)}, false, "morning"},
		{Session{Numb: Known(true)}, false, "numb"},
		{Session{Swollen: Known(true), Pain: Known(9.0)}, false, "pain swollen"},
		{wrist, false, ""},
		{wrist, true, "growing-wrist"},
		{Session{PainSite: "shoulder", PainMorning: Known(1.0)}, true, ""},
		{Session{PainSite: "wrist", PainMorning: Known(0.0)}, true, ""},
	} {
		if got := c.session.Alarms(c.minor).String(); got != c.want {
			t.Errorf("%+v, under age %v: %q, want %q", c.session, c.minor, got, c.want)
		}
	}
	for a := range Alarms(32) {
		if again, err := ParseAlarms(a.String()); again != a || err != nil {
			t.Errorf("%d came back as %d, %v", a, again, err)
		}
	}
	for _, bad := range []string{"sore", "swollen pain", "pain pain", " pain"} {
		if _, err := ParseAlarms(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

func TestWeekKey(t *testing.T) {
	w := Week{Student: "mira", ISOWeek: ISOWeek{2026, 48}, Version: 2}
	if student, week, version, err := ParseWeekKey(w.Key()); student != "mira" || week != w.ISOWeek || version != 2 || err != nil {
		t.Error(student, week, version, err)
	}
	for _, bad := range []string{"", "mira", "mira/2026-W48", "mira/2026-W60/1", "mira/2026-W48/0", "mira/2026-W48/02", "mira/2026-W48/x",
		"mira/2026-W48/10001", "m ra/2026-W48/1", "mira/2026-W48/1/1"} {
		if student, _, _, err := ParseWeekKey(bad); err == nil {
			t.Errorf("%q was read as of %q", bad, student)
		}
	}
}
