package rehearse

import (
	"slices"
	"testing"

	"aplomb/internal/learner"
	"aplomb/internal/numtest"
	"aplomb/internal/practice"
)

// TestLogsAreFitToKeep: every row of every policy's log is one that a studio's
// folder would take, with an id of its own, in order of time.
func TestLogsAreFitToKeep(t *testing.T) {
	for _, name := range slices.Concat(plain, planners) {
		c := student(t, name, 1, learner.Defaults(), 5)
		c.run(12)
		ids := map[string]bool{}
		keep := func(id, student string, faults []practice.Fault) {
			if ids[id] || student != c.student.ID || len(faults) > 0 {
				t.Errorf("%s: row %s of %s: %v", name, id, student, faults)
			}
			ids[id] = true
		}
		for _, a := range c.log.Attempts {
			keep(a.ID, a.Student, a.Check())
		}
		for _, a := range c.log.Tallies {
			keep(a.ID, a.Student, a.Check())
		}
		for _, s := range c.log.Sessions {
			keep(s.ID, s.Student, s.Check())
		}
		for _, p := range c.log.Probes {
			probe, _ := c.world.lib.Probe(p.Test)
			keep(p.ID, p.Student, append(p.Check(), probe.CheckResult(p)...))
		}
		if faults := c.student.Check(); len(ids) < 50 || len(faults) > 0 {
			t.Errorf("%s: %d rows; %v", name, len(ids), faults)
		}
		inOrder(t, name, &c.log)
	}
}

func inOrder(t *testing.T, name string, l *practice.Log) {
	t.Helper()
	a := slices.IsSortedFunc(l.Attempts, func(a, b practice.Attempt) int { return int(a.At.UnixNano - b.At.UnixNano) })
	b := slices.IsSortedFunc(l.Tallies, func(a, b practice.Tally) int { return int(a.At.UnixNano - b.At.UnixNano) })
	s := slices.IsSortedFunc(l.Sessions, func(a, b practice.Session) int { return int(a.At.UnixNano - b.At.UnixNano) })
	p := slices.IsSortedFunc(l.Probes, func(a, b practice.ProbeResult) int { return int(a.At.UnixNano - b.At.UnixNano) })
	if !a || !b || !s || !p {
		t.Errorf("%s: attempts, tallies, sessions, floor tests in order of time: %v %v %v %v", name, a, b, s, p)
	}
}

// TestDaysAreLoggedAsAPhoneWould: cold tries come first and one by one; a day
// has one session, after its rows, and a day without one has no rows.
func TestDaysAreLoggedAsAPhoneWould(t *testing.T) {
	colds := 0
	for _, name := range []string{"timetable", "maximal-only", "randomised"} {
		c := student(t, name, 2, learner.Defaults(), 5)
		c.run(16)
		ended := map[practice.Date]practice.Instant{}
		for _, s := range c.log.Sessions {
			if _, twice := ended[s.At.Date()]; twice {
				t.Errorf("%s: two sessions on %s", name, s.At.Date())
			}
			ended[s.At.Date()] = s.At
		}
		warm := map[practice.Date]bool{}
		for _, r := range rows(&c.log) {
			day := r.at.Date()
			if end, ok := ended[day]; !ok || end.Before(r.at) {
				t.Errorf("%s: %s on %s outside a session", name, r.drill, day)
			}
			if r.drill != practice.ColdTry {
				warm[day] = true
				continue
			}
			if colds++; warm[day] || !r.one {
				t.Errorf("%s: a cold try on %s after something else, or tallied", name, day)
			}
		}
	}
	if colds < 60 {
		t.Errorf("%d cold tries in all", colds)
	}
}

// TestEveryRepIsLogged: the log's tries and passes are those the student made.
func TestEveryRepIsLogged(t *testing.T) {
	for _, name := range []string{"timetable", "random", "planner"} {
		c := student(t, name, 3, learner.Defaults(), 5)
		c.run(10)
		tries, passes := make([]int, len(c.tries)), make([]int, len(c.tries))
		for _, r := range rows(&c.log) {
			tries[c.world.drill(r.drill)] += r.tries
			passes[c.world.drill(r.drill)] += r.passes
		}
		if !slices.Equal(tries, c.tries) || !slices.Equal(passes, c.passes) {
			t.Errorf("%s: logged %v\nmade %v", name, tries, c.tries)
		}
	}
}

func TestTalliesCountTheReps(t *testing.T) {
	held := func(s ...float64) (out []learner.Rep) {
		for _, v := range s {
			out = append(out, learner.Rep{Passed: v > 0, Caught: v > 0, Seconds: v})
		}
		return out
	}
	for _, c := range []struct {
		try                bool
		reps               []learner.Rep
		caught             int
		best, second       float64
		hasBest, hasSecond bool
	}{
		{true, held(3.27, 0, 9.81, 4.04), 3, 9.8, 4, true, true},
		{true, held(9.81, 9.89, 2), 3, 9.8, 9.8, true, true},
		{true, held(0, 1, 0), 1, 1, 0, true, false},
		{true, held(0, 0), 0, 0, 0, false, false},
		{false, held(5, 0, 5), 2, 0, 0, false, false},
	} {
		var s course
		s.logTally("a-drill", c.try, c.reps)
		got := s.log.Tallies[0]
		if got.Tries != len(c.reps) || got.Caught.Value != c.caught || got.Best.Known != c.hasBest || got.SecondBest.Known != c.hasSecond {
			t.Errorf("%+v became %+v", c.reps, got)
		}
		numtest.Close(t, "best", got.Best.Value, c.best, 1e-12)
		numtest.Close(t, "second", got.SecondBest.Value, c.second, 1e-12)
	}
}

// TestHandsRestAfterPain, with wrists that bear little.
func TestHandsRestAfterPain(t *testing.T) {
	params := learner.Defaults()
	params.BearMin = .5
	for _, name := range []string{"timetable", "maximal-only", "daily-short", "planner"} {
		c := student(t, name, 4, params, 5)
		c.run(12)
		if len(c.student.Stops) == 0 {
			t.Fatalf("%s: nothing ever hurt", name)
		}
		for _, r := range rows(&c.log) {
			for _, stop := range c.student.Stops {
				day := r.at.Date()
				if e := c.world.exercises[c.world.drill(r.drill)]; e.HandMinutes > 0 && day > stop.Since && stop.In(day) {
					t.Errorf("%s: %s on %s, hands resting from %s to %s", name, r.drill, day, stop.Since, stop.ClearedOn)
				}
			}
		}
	}
}

// TestMissedSessionsLeaveNothing: whoever misses half of the sessions has half
// of them logged, and only their minutes counted.
func TestMissedSessionsLeaveNothing(t *testing.T) {
	const weeks = 12
	for adherence, share := range map[float64][2]float64{1: {1, 1}, .5: {.3, .7}} {
		params := with(t, "adherence", adherence)
		params.AdherenceSD = 0
		c := student(t, "timetable", 5, params, 5)
		record := c.run(weeks)
		minutes := 0.0
		for _, s := range c.log.Sessions {
			minutes += s.Minutes.Value
		}
		numtest.Close(t, "minutes", record.Minutes, minutes, 1e-9)
		if done := float64(len(c.log.Sessions)) / (5 * weeks); done < share[0] || done > share[1] {
			t.Errorf("adherence %g: %g of the sessions logged", adherence, done)
		}
	}
}
