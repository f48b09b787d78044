package learner

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
)

func TestANightSettlesAPart(t *testing.T) {
	s := plain()
	s.fast[Line], s.slowF, s.quickF = .8, 1, 1
	s.done[Line] = 150
	s.Night(1)
	keep := math.Exp(-1 / (75 * 1.5))
	numtest.Close(t, "slow", s.slow[Line], -.8+.25*.8*keep, 1e-12)
	numtest.Close(t, "fast", s.fast[Line], .8*.75*math.Exp(-2), 1e-12)
	numtest.Close(t, "slow fatigue", s.slowF, math.Exp(-24./18), 1e-12)
	numtest.Close(t, "quick fatigue", s.quickF, 0, 0)
}

func TestWithoutPracticeAllFallsBack(t *testing.T) {
	s := plain()
	for k := range s.slow {
		s.slow[k] += 2
	}
	s.fast[Entry] = 1
	level := s.Level(Entry)
	for range 400 {
		s.Night(10)
		if now := s.Level(Entry); now > level || now < startMeans[Entry] {
			t.Fatalf("entry %g after %g", now, level)
		}
		level = s.Level(Entry)
	}
	for k, start := range startMeans {
		numtest.Close(t, names[k], s.Level(Component(k)), start, 1e-9)
	}
}

func TestWhatWasPractisedMoreIsForgottenSlower(t *testing.T) {
	s := plain()
	s.slow[Exit], s.slow[Line] = s.start[Exit]+1, s.start[Line]+1
	s.done[Line] = 300
	s.Night(75)
	numtest.Close(t, "unpractised", s.slow[Exit]-s.start[Exit], math.Exp(-1), 1e-10)
	numtest.Close(t, "overlearnt", s.slow[Line]-s.start[Line], math.Exp(-.5), 1e-10)
	s.slow[Wrists] = s.start[Wrists] + 1
	s.Night(120)
	numtest.Close(t, "capacity", s.slow[Wrists]-s.start[Wrists], math.Exp(-1), 1e-10)
}

func TestNightsAddUp(t *testing.T) {
	a, b := plain(), plain()
	a.fast[Balance], b.fast[Balance] = 1, 1
	a.Night(5)
	b.Night(2)
	b.Night(0)
	b.Night(3)
	numtest.Close(t, "level", a.Level(Balance), b.Level(Balance), 0)
	numtest.Close(t, "rested", b.rested[Wrists], longAgo+5, 0)
	panics(t, "backwards", func() { a.Night(-1) })
}
