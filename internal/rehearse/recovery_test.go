package rehearse

import (
	"math"
	"testing"

	"aplomb/internal/assess"
	"aplomb/internal/learner"
	"aplomb/internal/library"
	"aplomb/internal/numtest"
)

// TestRecoveryIsCounted by hand: one drill told inside its interval, .3 off, one
// outside, .4 off, and one of which too little is known.
func TestRecoveryIsCounted(t *testing.T) {
	lib, _ := known(library.Builtin())
	w := newWorld(lib, learner.Defaults(), 1)
	told := func(i int, off, half float64) assess.DrillDifficulty {
		truth := w.exercises[i].Difficulty
		return assess.DrillDifficulty{Drill: lib.Drills[i].ID, Guess: truth + 1, Status: "enough",
			Told: assess.Told{Mean: truth + off, Lo: truth + off - half, Hi: truth + off + half}}
	}
	few := told(2, 9, 1)
	few.Status = "few"
	r := w.recovery(Study{Students: 5, Weeks: 6}, assess.Learned{Difficulties: []assess.DrillDifficulty{told(0, .3, .31), told(1, -.4, .39), few}})
	if r.Students != 5 || r.Weeks != 6 || r.Drills != 2 || r.Difficulties != wilson(1, 2, .95) {
		t.Errorf("%+v", r)
	}
	numtest.Close(t, "error", r.Error, math.Sqrt(.125), 1e-12)
	numtest.Close(t, "error of the guess", r.Guess, 1, 1e-12)
}

// TestRosterTellsItsDrills: what a small roster's logs say of difficulty is no
// worse than the guesses it began from.
func TestRosterTellsItsDrills(t *testing.T) {
	if testing.Short() {
		t.Skip("a roster of courses")
	}
	s := small(t, 24, 20, 1, "timetable")
	r, learned, err := s.Recover(workers(2, false), nothing)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d drills: rms error %.3f, of the guess %.3f; %.2f within their intervals", r.Drills, r.Error, r.Guess, r.Difficulties.P)
	if r.Drills < 10 || r.Error > r.Guess || len(learned.Milestones) != len(s.Library.Milestones) {
		t.Errorf("%+v", r)
	}
}

// TestLearnedAsksReplaceGuesses, of the milestone and test they were learned of,
// and leave the library that was given as it was.
func TestLearnedAsksReplaceGuesses(t *testing.T) {
	lib := library.Builtin()
	m := lib.Milestones[2]
	guess := m.Asks[1].Value
	probe, _ := lib.Probe(m.Asks[1].Test)
	const learned = 1.4 // logits
	got := withAsks(lib, []assess.MilestoneTold{{Seconds: m.Seconds, Asks: []assess.AskTold{{Test: m.Asks[1].Test, Told: assess.Told{Mean: learned}}, {Test: "no-such", Value: 99}}}})
	for i, m := range got.Milestones {
		for k, a := range m.Asks {
			want := lib.Milestones[i].Asks[k].Value
			if i == 2 && k == 1 {
				want = assess.ValueAt(probe, learned)
			}
			if a.Value != want || a.Test != lib.Milestones[i].Asks[k].Test {
				t.Errorf("%g s asks %s %g, want %g", m.Seconds, a.Test, a.Value, want)
			}
		}
	}
	if lib.Milestones[2].Asks[1].Value != guess {
		t.Error("the library given was changed")
	}
}

// TestAfterIsTheSameStudentsAgain: with nothing learned, nothing changes.
func TestAfterIsTheSameStudentsAgain(t *testing.T) {
	s := small(t, 3, 8, 4, "planner", "timetable")
	before, err := s.Run(workers(2, false), nothing)
	if err != nil {
		t.Fatal(err)
	}
	s.Students = 2
	after, err := s.After(before[0], s.Library, workers(2, false), nothing)
	if err != nil {
		t.Fatal(err)
	}
	if d := after.Against; after.Students != 2 || d.N != 2 || d.Mean != 0 || d.Lo != 0 || d.Hi != 0 {
		t.Errorf("%+v", after)
	}
}
