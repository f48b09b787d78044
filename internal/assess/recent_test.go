package assess

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"aplomb/internal/library"
	"aplomb/internal/numtest"
	"aplomb/internal/practice"
)

func TestOpenTriesAndHandWeeks(t *testing.T) {
	monday := practice.DateOf(2026, 6, 1)
	at := func(day practice.Date, minute int64) practice.Instant {
		return practice.Instant{UnixNano: day.Time().UnixNano() + (12*60+minute)*60e9}
	}
	log := &practice.Log{Attempts: []practice.Attempt{
		{ID: "1", Drill: practice.ColdTry, At: at(monday, 0), Seconds: practice.Known(3.0), End: practice.Over},
		{ID: "2", Drill: practice.OpenTry, At: at(monday, 1), Seconds: practice.Known(0.5), End: practice.Under},
		{ID: "3", Drill: practice.OpenTry, At: at(monday, 2), Seconds: practice.Known(6.0), End: practice.Lowered},
		{ID: "4", Drill: practice.OpenTry, At: at(monday, 3), Passed: practice.Known(true)},
		{ID: "5", Drill: practice.OpenTry, At: at(monday, 4), Seconds: practice.Known(0.5), End: practice.SpottedSave},
		{ID: "6", Drill: practice.OpenTry, At: at(monday+8, 0), Seconds: practice.Known(120.0), End: practice.Over},
	}}
	s := Subject{Student: practice.Student{ID: "s"}, Log: log, Library: library.Builtin(), AsOf: monday + 14}
	want := []OpenTry{{monday, 3, true, false, true}, {monday, .5, false, false, true}, {monday, 6, true, true, false}, {monday + 8, 120, true, false, true}}
	if diff := cmp.Diff(want, OpenTries(s, 21)); diff != "" {
		t.Error(diff)
	}
	if got := OpenTries(s, 7); len(got) != 1 {
		t.Errorf("a window of a week: %+v", got)
	}
	weeks := HandWeeks(s, 12)
	if len(weeks) != 2 || weeks[0].Week != monday.Week() || weeks[1].Week != (monday+7).Week() {
		t.Fatalf("%+v", weeks)
	}
	numtest.Close(t, "two minutes held", weeks[1].Minutes, 2, 0.051)
	if got := HandWeeks(s, 1); len(got) != 1 || got[0] != weeks[1] {
		t.Errorf("the last week alone: %+v", got)
	}
}
