package storetest

import (
	"testing"

	"aplomb/internal/practice"
)

func at(minute int64) practice.Instant {
	return practice.Instant{UnixNano: 1_780_000_000_000_000_000 + minute*60e9, Offset: 60}
}

// day is one of every row of the log.
func day(student string) practice.Log {
	return practice.Log{
		Attempts: []practice.Attempt{
			{ID: "a1", Student: student, At: at(1), Drill: practice.OpenTry, Item: "i2", Set: 1, Rep: 1, Passed: practice.Known(true), Seconds: practice.Known(2.35)},
			{ID: "a2", Student: student, At: at(1), Drill: practice.OpenTry, Set: 1, Rep: 2, Passed: practice.Known(false), Cold: practice.Known(false), Witness: practice.Filmed},
		},
		Tallies: []practice.Tally{{ID: "t1", Student: student, At: at(2), Drill: practice.OpenTry, Tries: 12, Caught: practice.Known(0), Best: practice.Known(0.4)}},
		Sessions: []practice.Session{{ID: "s1", Student: student, At: at(3), Effort: practice.Known(6.0), Pain: practice.Known(2.0), PainSite: "left wrist",
			Week: "2026-W23", Version: 2, Day: practice.Known(practice.Weekday(0)), Form: practice.FormFive, Numb: practice.Known(false), Swollen: practice.Known(true)}},
		Probes: []practice.ProbeResult{{ID: "p1", Student: student, At: at(4), Component: "line", Test: "wall-line", Value: 12.5, Unit: "cm", By: "ines"}},
		Words:  []practice.SetWords{{ID: "w1", Student: student, At: at(6), Session: "s1", Drill: "frog", Set: 2, Keep: "calm feet", Next: "slower"}},
		Detours: []practice.Detour{{ID: "d1", Student: student, At: at(7), Week: "2026-W23", Version: 2, Day: 1, Session: 1, What: practice.Moved,
			To: practice.Known(practice.Weekday(0)), Reason: "train"}},
		Marks: []practice.DrillMark{{ID: "m1", Student: student, At: at(5), Drill: "frog", Mark: "helped"}},
	}
}

// Rows that come again are nothing new; another content is a change; another
// student's id is refused with the whole batch.
func logRows(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	for range 2 {
		ok(t, s.AddLog(ctx, millgate, "mira", day("mira")))
	}
	same(t, "log", got[practice.Log](t)(s.Log(ctx, millgate, "mira")), day("mira"))
	trail := got[[]practice.Change](t)(s.Changes(ctx, millgate, "mira"))
	if len(trail) != 8 { // the student, and a line for each noun
		t.Errorf("%d lines of the trail, want 8: %v", len(trail), trail)
	}

	later := day("mira")
	later.Attempts[0].Seconds = practice.Known(3.0)
	later.Tallies[0].Note, later.Sessions[0].PainSite, later.Probes[0].Value, later.Marks[0].Cue = "late", "right wrist", 11, "press"
	later.Words[0].Next, later.Detours[0].To = "", practice.Maybe[practice.Weekday]{}
	ok(t, s.AddLog(ctx, millgate, "mira", later))
	same(t, "changed log", got[practice.Log](t)(s.Log(ctx, millgate, "mira")), later)
	trail = got[[]practice.Change](t)(s.Changes(ctx, millgate, "mira"))[8:]
	if len(trail) != 7 || trail[0].Act != practice.Changed || trail[0].Key != "a1" {
		t.Fatalf("trail of the change: %v", trail)
	}
	same(t, "before", string(trail[0].Before), `{"at":"2026-05-28T21:27:40+01:00","drill":"open-try","id":"a1","item":"i2","passed":1,"rep":1,"seconds":2.35,"set_no":1,"student":"mira"}`)

	mixed := practice.Log{Attempts: []practice.Attempt{{ID: "o1", Student: "oda", At: at(9)}, {ID: "a2", Student: "oda", At: at(9)}}}
	refused(t, s.AddLog(ctx, millgate, "oda", mixed), practice.ExistsAlready)
	if n := len(got[practice.Log](t)(s.Log(ctx, millgate, "oda")).Attempts); n != 0 {
		t.Errorf("%d rows of a refused batch were kept", n)
	}
	for noun, id := range map[practice.Noun]string{practice.AttemptNoun: "a1", practice.TallyNoun: "t1", practice.SessionNoun: "s1", practice.ProbeNoun: "p1", practice.MarkNoun: "m1",
		practice.WordsNoun: "w1", practice.DetourNoun: "d1"} {
		refused(t, s.RemoveRow(ctx, millgate, "oda", noun, id), practice.NotFound)
		ok(t, s.RemoveRow(ctx, millgate, "mira", noun, id))
		refused(t, s.RemoveRow(ctx, millgate, "mira", noun, id), practice.NotFound)
	}
	same(t, "what is left", got[practice.Log](t)(s.Log(ctx, millgate, "mira")), practice.Log{Attempts: later.Attempts[1:]})
}

func refusals(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	refused(t, s.AddLog(ctx, millgate, "nobody", day("nobody")), practice.NotFound)
	refused(t, s.AddLog(ctx, millgate, "oda", day("mira")), practice.Contradiction)
	refused(t, s.RemoveRow(ctx, millgate, "mira", practice.AttemptNoun, "none"), practice.NotFound)
	for _, text := range []string{"a\x00b", "a\xffb"} {
		refused(t, s.AddLog(ctx, millgate, "mira", practice.Log{Attempts: []practice.Attempt{{ID: "x", Student: "mira", Note: text}}}), practice.NotUTF8)
	}
	_, err := s.PutNote(ctx, millgate, practice.Note{ID: "x", Student: "mira", Text: "a\xffb"}, 0)
	refused(t, err, practice.NotUTF8)
	must(t)(s.PutNote(ctx, millgate, practice.Note{ID: "zero", Student: "mira", Text: "a\x00b \\ufffd �"}, 0))
	same(t, "text", got[[]practice.Kept[practice.Note]](t)(s.Notes(ctx, millgate, "mira"))[0].Value.Text, "a\x00b \\ufffd �")
	_, err = s.PutNote(ctx, millgate, practice.Note{ID: "zero", Student: "oda", Text: "x"}, 0)
	refused(t, err, practice.ExistsAlready)
	_, err = s.PutNote(ctx, millgate, practice.Note{ID: "y", Student: "nobody", Text: "x"}, 0)
	refused(t, err, practice.UnknownID)
	_, err = s.Record(ctx, millgate, "nobody")
	refused(t, err, practice.NotFound)
	defer func() {
		if recover() == nil {
			t.Error("weeks in a log did not panic")
		}
	}()
	s.AddLog(ctx, millgate, "mira", practice.Log{Weeks: []practice.Week{{}}})
}
