package learner

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
)

func TestTheChanceToPassADrill(t *testing.T) {
	s := at(1)
	e := Exercise{Trains: Line, Difficulty: .4}
	numtest.Close(t, "cold", s.passing(e, false), sigmoid(1-.4-.6), 1e-12)
	s.rep = 8
	numtest.Close(t, "warmer", s.passing(e, false), sigmoid(1-.4-.6*math.Exp(-2)), 1e-12)
	s.rep, s.quickF, s.slowF = 1000, .3, .5
	numtest.Close(t, "tired", s.passing(e, false), sigmoid(1-.4-.5*.8), 1e-12)
	numtest.Close(t, "after a change", s.passing(e, true), sigmoid(1-.4-.5*.8-.15), 1e-12)
	s.rep = 0
	numtest.Close(t, "a capacity is never cold", s.passing(Exercise{Trains: Wrists}, false), sigmoid(1-.5*.8), 1e-12)
}

func TestDrillsArePassedAtTheirChance(t *testing.T) {
	s, passed := at(0), 0
	const n = 20000
	for range n {
		s.Begin(0)
		s.slowF = 0
		r := s.Do(Exercise{Trains: Tension, Difficulty: -1, Reps: 1, Seconds: 20})[0]
		if r.Passed {
			passed++
		}
		if r.Passed != (r.Seconds == 20) || r.Seconds < 0 || r.Caught {
			t.Fatalf("rep %+v", r)
		}
	}
	nearShare(t, "passed", passed, n, sigmoid(1-.6))
}

// A change of task is felt by the rep that follows it, and by that rep alone.
func TestOnlyTheFirstRepAfterAChangeIsAChange(t *testing.T) {
	line, harder := Exercise{Trains: Line, Reps: 1}, Exercise{Trains: Line, Difficulty: 1, Reps: 1}
	easyTry, hardTry := Exercise{Try: true, Difficulty: 1}, Exercise{Try: true, Difficulty: 1.3}
	if !line.sameTask(line) || line.sameTask(harder) || line.sameTask(easyTry) || !easyTry.sameTask(hardTry) {
		t.Error("what is one task")
	}
	s := plain()
	s.p.Floor, s.p.Contrast, s.p.Own = 1, .3, 1 // every rep counts one, or 1.3
	for _, e := range []Exercise{line, harder, harder} {
		e.Reps, e.Seconds = 5, 5
		s.Do(e)
	}
	numtest.Close(t, "fifteen reps, one after a change", s.done[Line], 15.3, 1e-12)
	s.Begin(4)
	s.Do(line)
	numtest.Close(t, "a session begins with no change", s.done[Line], 15.3+.5, 1e-12)
}

func TestRepsAreNumberedThroughTheSession(t *testing.T) {
	s := plain()
	s.Begin(4)
	s.Do(Exercise{Trains: Line, Reps: 3})
	for i, r := range s.Do(Exercise{Try: true, Reps: 2}) {
		if r.Index != 3+i {
			t.Errorf("rep %d has index %d", 3+i, r.Index)
		}
	}
	s.Begin(4)
	if r := s.Do(Exercise{Trains: Line, Reps: 1}); r[0].Index != 0 {
		t.Errorf("a new session begins at %d", r[0].Index)
	}
}

func TestFatigueOfASet(t *testing.T) {
	s := at(50) // drills are passed for sure
	s.Do(Exercise{Trains: Line, Reps: 2, Seconds: 10, RestSeconds: 50})
	k := math.Exp(-1. / 4)
	numtest.Close(t, "quick", s.quickF, (.05*k+.05)*k, 1e-12)
	numtest.Close(t, "slow", s.slowF, .02, 1e-12)
	s = at(-50) // tries are never caught
	s.Do(Exercise{Try: true, Reps: 1, RestSeconds: 60})
	numtest.Close(t, "a try", s.slowF, .025, 1e-12)
}

func TestFatigueLowersAndARestedDayBringsBack(t *testing.T) {
	s := at(2)
	fresh := s.Chance(15, true)
	s.Begin(4)
	s.Do(Exercise{Try: true, Reps: 60, RestSeconds: 60})
	s.Finish()
	tired := s.Chance(15, true)
	s.Night(1)
	next := s.Chance(15, true)
	s.Night(6)
	if !(tired < next && next < fresh && fresh-s.Chance(15, true) < .001 && fresh-tired > .1) {
		t.Errorf("fresh %.3f, tired %.3f, next day %.3f, a week on %.3f", fresh, tired, next, s.Chance(15, true))
	}
}

func TestExitsOnPurposeGiveConfidence(t *testing.T) {
	with, without := plain(), plain()
	with.p.Own, without.p.Own, without.p.TryLesson = 1, 1, 0
	for _, s := range []*Student{with, without} {
		s.Do(Exercise{Trains: Exit, Difficulty: -5, Reps: 20, Seconds: 5})
	}
	if with.Level(Confidence) <= -.4 || without.Level(Confidence) != -.4 {
		t.Errorf("confidence %.4f and %.4f", with.Level(Confidence), without.Level(Confidence))
	}
}

func TestExercisesThatCannotBeDone(t *testing.T) {
	for name, e := range map[string]Exercise{
		"no component":      {Trains: N},
		"a dosed skill":     {Trains: Line, Capacity: true},
		"negative reps":     {Reps: -1},
		"negative time":     {RestSeconds: -1},
		"goal at the catch": {Try: true, Goal: .5},
		"no difficulty":     {Difficulty: math.NaN()},
		"undefined time":    {Seconds: math.NaN()},
	} {
		panics(t, name, func() { plain().Do(e) })
	}
	panics(t, "negative prep", func() { plain().Begin(-1) })
}

func TestASetIsOneAllocation(t *testing.T) {
	s := plain()
	got := testing.AllocsPerRun(100, func() { s.Do(Exercise{Try: true, Reps: 10, RestSeconds: 30}) })
	if got > 1 {
		t.Errorf("%g allocations a set", got)
	}
}
