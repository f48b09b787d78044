package learner

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/numtest"
)

func TestChallengePeaksWhereItSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := plain()
		s.p.Alpha, s.p.Beta = rapid.Float64Range(.5, 6).Draw(t, "alpha"), rapid.Float64Range(.5, 3).Draw(t, "beta")
		s.most = peakOf(s.p.Alpha, s.p.Beta)
		top := s.p.Alpha / (s.p.Alpha + s.p.Beta)
		if c := s.challenge(top); math.Abs(c-1) > 1e-12 {
			t.Fatalf("at the peak %g", c)
		}
		if p := rapid.Float64Range(0, 1).Draw(t, "chance"); s.challenge(p) > 1+1e-12 || s.challenge(p) < s.p.Floor {
			t.Fatalf("at %g: %g", p, s.challenge(p))
		}
	})
}

func TestChallengeByHand(t *testing.T) {
	s := plain()
	for _, c := range []struct{ p, want float64 }{
		{0, .05}, {1, .05}, {2. / 3, 1},
		{.5, .05 + .95*.125/(4./27)}, {.85, .05 + .95*.85*.85*.15/(4./27)},
	} {
		numtest.Close(t, "challenge", s.challenge(c.p), c.want, 1e-12)
	}
}

// One rep by hand: share x gain x challenge x rate x tiredness x gap.
func TestOneRep(t *testing.T) {
	s := plain()
	s.slowF, s.rate, s.tiring = .5, 1.2, 1.5
	s.learn(Line, .5, 2, true)
	u := 2 * s.challenge(.5) * 1.10 * 1.2 * math.Exp(-.7*1.5*.5)
	numtest.Close(t, "fast", s.fast[Line], .014*.7*u*(7.5+.8), 1e-12)
	numtest.Close(t, "slow", s.slow[Line], -.8+.0035*.7*u*(7.5+.8), 1e-12)
	numtest.Close(t, "spilt", s.fast[Entry], .014*.06*u*(7.5+.5), 1e-12)
	numtest.Close(t, "counted", s.done[Line], 2*s.challenge(.5)*1.10*.7, 1e-12)
	numtest.Close(t, "capacities", s.slow[Endurance], .2, 0)
}

// Practice at one chance of success takes a fixed share off the gap, so learning
// is exponential in practice (Heathcote 2000).
func TestLearningIsExponentialInPractice(t *testing.T) {
	s := plain()
	s.p.FastGain, s.p.Own = 0, 1
	for range 500 {
		s.learn(Balance, 2./3, 1, false)
	}
	numtest.Close(t, "gap", 7.5-s.Level(Balance), (7.5+1.2)*math.Pow(1-.0035, 500), 1e-10)
}

func TestRepsOverwriteTheFastTraces(t *testing.T) {
	s := plain()
	s.fast[Exit], s.fast[Line] = 1, .4
	s.Stop()
	s.Do(Exercise{Trains: Line, Reps: 10, Seconds: 5})
	numtest.Close(t, "of another skill", s.fast[Exit], math.Pow(.985, 10), 1e-12)
	numtest.Close(t, "of its own", s.fast[Line], .4*math.Pow(.985, 10), 1e-12)
	s.Do(Exercise{Trains: Endurance, Capacity: true, Reps: 10, Seconds: 20})
	numtest.Close(t, "strength leaves them", s.fast[Exit], math.Pow(.985, 10), 1e-12)
}

func TestTiredRepsTeachLess(t *testing.T) {
	fresh, tired := plain(), plain()
	tired.slowF = 1
	fresh.learn(Line, .6, 1, false)
	tired.learn(Line, .6, 1, false)
	numtest.Close(t, "ratio", tired.fast[Line]/fresh.fast[Line], math.Exp(-.7), 1e-12)
}

func TestAStoppedStudentLearnsNothing(t *testing.T) {
	s := plain()
	s.Stop()
	s.Do(Exercise{Trains: Line, Reps: 50, Seconds: 5, Minutes: 20, HandMinutes: 10})
	s.Do(Exercise{Trains: Wrists, Capacity: true, Reps: 3, Minutes: 10})
	s.Finish()
	for k, start := range startMeans {
		numtest.Close(t, names[k], s.Level(Component(k)), start, 0)
	}
}
