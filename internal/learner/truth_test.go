package learner

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/numtest"
)

func TestChanceIsCatchTimesHold(t *testing.T) {
	s := at(1.2)
	levels := s.levels(.6)
	caught, hold := s.catching(&levels, 0), s.holding(&levels, 0)
	numtest.Close(t, "a second", s.Chance(1, true), caught, 1e-15)
	numtest.Close(t, "less", s.Chance(0, true), caught, 1e-15)
	numtest.Close(t, "fifteen", s.Chance(15, true), caught*math.Exp(-hold.cumulative(14)), 1e-15)
	if s.Chance(15, false) <= s.Chance(15, true) {
		t.Error("warm is no better than cold")
	}
	for k, level := range levels {
		want := 1.2
		if Component(k) < Shoulders {
			want -= .6 // skills alone are cold
		}
		numtest.Close(t, names[k], level, want, 1e-15)
	}
	panics(t, "negative", func() { s.Chance(-1, true) })
	panics(t, "undefined", func() { s.Chance(math.NaN(), true) })
}

// The limiter found by really raising the student, one component at a time.
func TestTheLimiterIsWhatWouldHelpMost(t *testing.T) {
	for seed := range uint64(50) {
		s := New(Defaults(), seed)
		best, next := Component(0), Component(0)
		first, second := -1.0, -1.0
		for k := range Component(N) {
			s.slow[k] += .5
			q := s.Chance(15, true)
			s.slow[k] -= .5
			if q > first {
				best, next, first, second = k, best, q, first
			} else if q > second {
				next, second = k, q
			}
		}
		if a, b := s.Limiter(15); a != best || b != next {
			t.Errorf("student %d: %v and %v, want %v and %v", seed, a, b, best, next)
		}
	}
}

func TestAWeakLinkIsTheLimiter(t *testing.T) {
	for _, weak := range []Component{Entry, Line, Balance} {
		s := at(4)
		s.slow[weak] = -2
		if first, _ := s.Limiter(15); first != weak {
			t.Errorf("%v is far behind, and %v limits", weak, first)
		}
	}
}

func TestFearHoldsBack(t *testing.T) {
	s := at(2)
	calm := s.Chance(1, true)
	s.slow[Confidence] = -3
	if s.Chance(1, true) >= calm {
		t.Error("fear takes nothing")
	}
	p := Defaults()
	p.Gate, p.Nerve = 0, 0
	without := New(p, 3)
	before := without.Chance(15, true)
	without.slow[Confidence] = -3
	numtest.Close(t, "no gate, no nerve", without.Chance(15, true), before, 0)
}

// Whatever a student goes through, under figures anywhere in their ranges:
// levels stay finite, chances are chances, and longer is never likelier.
func TestAnyPracticeKeepsAStudentWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Defaults()
		for _, r := range Ranges() {
			p, _ = p.With(r.Name, rapid.Float64Range(r.Low, r.High).Draw(t, r.Name))
		}
		s := New(p, rapid.Uint64().Draw(t, "seed"))
		for range rapid.IntRange(1, 20).Draw(t, "sessions") {
			s.Begin(4)
			for range rapid.IntRange(0, 4).Draw(t, "sets") {
				s.Do(anySet(t))
			}
			if out := s.Finish(); out.Effort < 0 || out.Effort > 10 || out.Pain < 0 || out.Pain > 10 {
				t.Fatalf("outcome %+v", out)
			}
			s.Night(rapid.IntRange(0, 30).Draw(t, "nights"))
		}
		whole(t, s)
	})
}

func anySet(t *rapid.T) Exercise {
	k := Component(rapid.IntRange(0, N-1).Draw(t, "trains"))
	minutes := rapid.Float64Range(0, 30).Draw(t, "minutes")
	return Exercise{Trains: k, Capacity: k >= skills, Try: k == Entry, Difficulty: rapid.Float64Range(-8, 8).Draw(t, "difficulty"),
		Reps: rapid.IntRange(0, 40).Draw(t, "reps"), Seconds: rapid.Float64Range(0, 60).Draw(t, "seconds"),
		RestSeconds: rapid.Float64Range(0, 180).Draw(t, "rest"), Minutes: minutes, HandMinutes: minutes / 3}
}

func whole(t *rapid.T, s *Student) {
	for k := range Component(N) {
		if l := s.Level(k); math.IsNaN(l) || math.Abs(l) > 30 {
			t.Fatalf("%v stands at %g", k, l)
		}
	}
	last := 1.0
	for _, seconds := range []float64{1, 2, 5, 15, 60, 600} {
		cold, warm := s.Chance(seconds, true), s.Chance(seconds, false)
		if !(cold >= 0 && cold <= warm && warm <= 1 && cold <= last) {
			t.Fatalf("%g s: cold %g, warm %g, shorter %g", seconds, cold, warm, last)
		}
		last = cold
	}
}

func TestTheSameSeedIsTheSameStudent(t *testing.T) {
	live := func(seed uint64) (out [N + 1]float64) {
		s := New(Defaults(), seed)
		for range 20 {
			s.Begin(4)
			for _, r := range s.Do(Exercise{Try: true, Reps: 5, RestSeconds: 60}) {
				out[N] += r.Seconds
			}
			s.Do(Exercise{Trains: Balance, Reps: 20, Seconds: 5})
			s.Finish()
			s.Night(1)
		}
		for k := range Component(N) {
			out[k] = s.Level(k)
		}
		return out
	}
	if live(8) != live(8) {
		t.Error("one seed, two lives")
	}
	if live(8) == live(9) {
		t.Error("two seeds, one life")
	}
}

// The same deviates make the student under other figures, so that a sensitivity
// run compares like with like.
func TestFiguresDoNotReshuffleStudents(t *testing.T) {
	for _, r := range Ranges() {
		p, _ := Defaults().With(r.Name, r.High)
		a, b := New(Defaults(), 4), New(p, 4)
		if a.start != b.start || a.ceiling != b.ceiling || a.rng.Uint64() != b.rng.Uint64() {
			t.Errorf("%s makes another student", r.Name)
		}
	}
}
