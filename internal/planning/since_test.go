package planning

import (
	"slices"
	"testing"

	"aplomb/internal/assess"
	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// A week that differs from the one before in everything: proven in it, more
// sessions planned than done, pain, tries counted by hand.
func TestSince(t *testing.T) {
	today := practice.DateOf(2026, 6, 7) // a Sunday
	at := func(days int, minute int64) practice.Instant {
		return practice.Instant{UnixNano: ((int64(today)+int64(days))*1440 + 600 + minute) * 60e9}
	}
	var log practice.Log
	hold := func(days int, minute int64, drill string, seconds float64) {
		log.Attempts = append(log.Attempts, practice.Attempt{ID: "a", Student: "orla", At: at(days, minute), Drill: drill, Timed: "app",
			Passed: practice.Known(seconds >= practice.CatchS), Seconds: practice.Known(seconds), End: practice.Under})
	}
	for d := -30; d < -7; d++ {
		hold(d, 0, practice.OpenTry, .5)
		hold(d, 1, practice.OpenTry, .4)
	}
	for _, d := range []int{-6, -4, -2, -1, 0} {
		hold(d, 0, practice.ColdTry, 6)
		hold(d, 1, practice.ColdTry, 7)
		for n := range int64(8) {
			hold(d, 2+n, practice.OpenTry, 6)
		}
		hold(d, 20, practice.OpenTry, .5)
	}
	log.Sessions = []practice.Session{{ID: "s", Student: "orla", At: at(-3, 0), Pain: practice.Known(2.0), PainMorning: practice.Known(4.0)},
		{ID: "old", Student: "orla", At: at(-9, 0), Pain: practice.Known(9.0)}}
	log.Weeks = []practice.Week{
		{Student: "orla", ISOWeek: today.Week(), Version: 1, Status: practice.HandedOver, Sessions: make([]practice.PlannedSession, 1)},
		{Student: "orla", ISOWeek: today.Week(), Version: 2, Status: practice.HandedOver, Sessions: []practice.PlannedSession{{Day: 0}, {Day: 2}, {Day: 6}}},
		{Student: "orla", ISOWeek: (today - 7).Week(), Version: 1, Status: practice.HandedOver, Sessions: []practice.PlannedSession{{Day: 6}}},
	}
	log.Sort()
	s := assess.Subject{Student: practice.Student{ID: "orla"}, Log: &log, Library: library.Builtin(), Milestones: practice.DefaultMilestonesS, AsOf: today}
	now := assess.Stand(s)
	now.Milestone.ReachedSeconds, now.LimiterKnown, now.Limiter = 1, true, "line"
	got := since(s, now)
	if got.From != today-6 || got.Done != 6 || got.Planned != 3 || got.Tries != 55 || got.Caught != 50 || !got.Pain.Known || got.Pain.Value != 4 {
		t.Errorf("%+v", got)
	}
	if c := of(got, 3); !c.Sure() || c.Is.P <= c.Was.P || got.Proven != 1 || got.Limiter != "line" || got.WasLimiter == "line" {
		t.Errorf("from no catch to holds of six seconds: %+v", got)
	}
	if of(got, 15).Sure() {
		t.Errorf("holds of six seconds say nothing of fifteen: %+v", of(got, 15))
	}
	if m := got.HandMinutes; m[1] <= m[0] || m[0] <= 0 {
		t.Errorf("minutes on the hands: %v", m)
	}
	s.AsOf = today - 8
	if still := since(s, assess.Stand(s)); of(still, 3).Sure() || still.Proven != 0 || len(still.Cold) == 0 || still.Planned != 0 {
		t.Errorf("one week like the other: %+v", still)
	}
}

func of(s Since, seconds float64) ChanceSince {
	i := slices.IndexFunc(s.Cold, func(c ChanceSince) bool { return c.Is.Seconds == seconds })
	return s.Cold[i]
}
