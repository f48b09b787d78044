package assess

import (
	"fmt"
	"testing"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// monday is the first day of the samples.
var monday = practice.DateOf(2026, 3, 2)

// at is an instant on a day after monday, minutes after 18:00 UTC.
func at(day, minute int) practice.Instant {
	return practice.Instant{UnixNano: (int64(monday)+int64(day))*86400e9 + (18*60+int64(minute))*60e9}
}

// row is a logged attempt; opts change it.
func row(day, minute int, drill string, opts ...func(*practice.Attempt)) practice.Attempt {
	a := practice.Attempt{ID: fmt.Sprintf("a%d-%d", day, minute), Student: "orla", At: at(day, minute), Drill: drill, Timed: "counted"}
	for _, o := range opts {
		o(&a)
	}
	return a
}

func held(seconds float64, end practice.End) func(*practice.Attempt) {
	return func(a *practice.Attempt) {
		a.Seconds, a.End = practice.Known(seconds), end
		if practice.FreeTry(a.Drill) {
			a.Passed = practice.Known(seconds >= practice.CatchS)
		}
	}
}

func passed(ok bool) func(*practice.Attempt) {
	return func(a *practice.Attempt) { a.Passed = practice.Known(ok) }
}

func subject(log *practice.Log, asOf practice.Date) Subject {
	log.Sort()
	return Subject{Student: practice.Student{ID: "orla", Name: "Orla"}, Log: log, Library: library.Builtin(),
		Milestones: practice.DefaultMilestonesS, AsOf: asOf}
}

func timelineOf(t *testing.T, log *practice.Log) []item {
	t.Helper()
	log.Sort()
	lib := library.Builtin()
	return timeline(lib, indexDrills(lib), log, monday+100, practice.Zone{}.Date)
}
