package learner

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/numtest"
)

func TestTheWeakestLinkIsSoft(t *testing.T) {
	levels := [N]float64{-1, 0, .5, 2, 1, -.5, 3, .2, -2}
	mean := 0.0
	for k, w := range holdShares {
		mean += w * levels[k]
	}
	numtest.Close(t, "theta to 0", weakest(&levels, &holdShares, 1e-7), mean, 1e-6)
	numtest.Close(t, "theta large", weakest(&levels, &holdShares, 5000), -2, 1e-3)
	sum := 0.0
	for k, w := range holdShares {
		sum += w * math.Exp(-levels[k])
	}
	numtest.Close(t, "theta 1", weakest(&levels, &holdShares, 1), -math.Log(sum), 1e-12)
	levels[Entry] = -1e6 // counts nothing in holding
	numtest.Close(t, "without a share", weakest(&levels, &holdShares, 1), -math.Log(sum), 1e-12)
}

func TestTheWeakestLinkLiesBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var levels [N]float64
		least, mean := math.Inf(1), 0.0
		for k, w := range holdShares {
			levels[k] = rapid.Float64Range(-10, 10).Draw(t, "level")
			mean += w * levels[k]
			if w > 0 {
				least = min(least, levels[k])
			}
		}
		a := weakest(&levels, &holdShares, rapid.Float64Range(.01, 50).Draw(t, "theta"))
		if a < least-1e-9 || a > mean+1e-9 {
			t.Fatalf("%g is not between %g and %g", a, least, mean)
		}
	})
}

// With all levels alike the weakest link is that level, so catching and the
// hazard have a closed form.
func TestCatchingAndHoldingByHand(t *testing.T) {
	s := at(1.5)
	s.p.Gate = 0
	levels := s.levels(0)
	numtest.Close(t, "catching", s.catching(&levels, .4), sigmoid(1.5+1-.5*.4), 1e-12)
	b := s.holding(&levels, .4)
	numtest.Close(t, "low", b.low, .15*math.Exp(-1.5+.5*.4), 1e-12)
	numtest.Close(t, "arms", b.wearS, 25*math.Exp(.45*1.5)*math.Exp(-.4*.4), 1e-12)
	s.p.Gate = 1
	numtest.Close(t, "fear", s.entering(&levels), 1.5-math.Log(1+math.Exp(-1.5)), 1e-12)
	numtest.Close(t, "softplus", softplus(800), 800, 0)
}

// Cold tries come out as Chance says: the sampler and the integral agree.
func TestTriesComeOutAsTheirChance(t *testing.T) {
	const n = 20000
	s := at(2.2)
	reached := map[float64]int{}
	marks := []float64{1, 2, 5, 15, 30}
	for range n {
		s.Begin(4)
		s.slowF = 0
		r := s.Do(Exercise{Try: true, Reps: 1})[0]
		if r.Caught != (r.Seconds >= 1) || r.Passed != r.Caught || r.End == Lowered {
			t.Fatalf("try %+v", r)
		}
		for _, m := range marks {
			if r.Seconds >= m {
				reached[m]++
			}
		}
	}
	s.slowF = 0
	for _, m := range marks {
		nearShare(t, "reached", reached[m], n, s.Chance(m, true))
	}
}

func TestAGoalEndsATry(t *testing.T) {
	s, lowered := at(4), 0
	const n = 5000
	for range n {
		s.Begin(4)
		s.slowF = 0
		r := s.Do(Exercise{Try: true, Reps: 1, Goal: 8})[0]
		if r.Seconds > 8 || (r.End == Lowered) != (r.Seconds == 8) {
			t.Fatalf("try %+v", r)
		}
		if r.End == Lowered {
			lowered++
		}
	}
	s.slowF = 0
	nearShare(t, "lowered", lowered, n, s.Chance(8, true))
}

func TestFallsGoTheWayOfTheWeakness(t *testing.T) {
	count := func(entry, balance float64, caught bool) (out [5]int) {
		s := at(1)
		s.p.Gate = 0
		s.slow[Entry], s.slow[Balance] = entry, balance
		levels := s.levels(0)
		for range 10000 {
			out[s.fall(&levels, caught)]++
		}
		return out
	}
	weakEntry, weakBalance, before := count(-1, 3, true), count(3, -1, true), count(1, 1, false)
	if weakEntry[Under] < 2*weakEntry[Over] || weakBalance[Over] < 2*weakBalance[Under] || before[Under] < before[Over] {
		t.Errorf("entry weak %v, balance weak %v, not caught %v", weakEntry, weakBalance, before)
	}
	nearShare(t, "over, entry weak", weakEntry[Over], 10000, .8*sigmoid(-2))
	nearShare(t, "to the side", weakEntry[Side], 10000, .12)
	nearShare(t, "stepped", before[Stepped], 10000, .08)
}

// Balance is learnt only while balancing: who never catches learns to enter.
func TestUncaughtTriesTeachNoBalance(t *testing.T) {
	s := plain()
	s.p.Own = 1
	for k := range s.slow {
		s.slow[k] = -50
	}
	s.Do(Exercise{Try: true, Reps: 30, RestSeconds: 60})
	if s.Level(Balance) != -50 || s.Level(Line) != -50 || !(s.Level(Entry) > -50) {
		t.Errorf("balance %g, line %g, entry %g", s.Level(Balance), s.Level(Line), s.Level(Entry))
	}
}

func TestWhatATryTeaches(t *testing.T) {
	s := plain()
	s.p.Own = 1
	levels := s.levels(0)
	s.lesson(&levels, .3, .5, false, false)
	clean := sigmoid(-.2 - .5*.5)
	numtest.Close(t, "entry", s.done[Entry], s.challenge(.3), 1e-12)
	numtest.Close(t, "confidence", s.done[Confidence], .2*clean*s.challenge(.3+.7*clean), 1e-12)
	s.balanced(.6, 2)
	numtest.Close(t, "balance", s.done[Balance], .4*s.challenge(.6), 1e-12)
	s.balanced(.6, 20)
	numtest.Close(t, "balance, long", s.done[Balance], 1.4*s.challenge(.6), 1e-12)
}

// A caught try teaches line, tension and balance by its seconds, at the
// challenge of balancing for five.
func TestCaughtTriesTeachWhileBalancing(t *testing.T) {
	s := at(2)
	s.p.Own, s.p.TryLesson = 1, 0
	for range 50 {
		s.Begin(4)
		s.slowF, s.done = 0, [skills]float64{}
		levels := s.levels(s.lacking(0))
		five := s.Chance(5, true) / s.Chance(1, true)
		chance := s.catching(&levels, 0)
		r := s.Do(Exercise{Try: true, Reps: 1})[0]
		want := math.Min(1, r.Seconds/5) * s.challenge(five)
		numtest.CloseAll(t, "taught", s.done[:], []float64{s.challenge(chance), 0, 0, want, want, want}, 1e-12)
	}
}
