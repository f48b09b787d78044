package skill

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// panics fails unless f panics with the package's prefix.
func panics(t *testing.T, what string, f func()) {
	t.Helper()
	defer func() {
		t.Helper()
		if s, ok := recover().(string); !ok || !strings.HasPrefix(s, "skill: ") {
			t.Errorf("%s: no panic with the package's prefix", what)
		}
	}()
	f()
}

// truth is a student who obeys the headline model exactly.
type truth struct {
	x     [states]float64
	noise float64
	law   law
	rng   *rand.Rand
}

// newTruth draws a student from the prior and a member of the bank.
func newTruth(rng *rand.Rand) *truth {
	m := NewHeadline().bank[rng.IntN(bankSize)]
	root := m.p
	cholesky(root[:], states)
	s := &truth{m.m, m.noise, laws[m.law], rng}
	for j := range states {
		u := rng.NormFloat64()
		for i := j; i < states; i++ {
			s.x[i] += root[i*states+j] * u
		}
	}
	return s
}

func (s *truth) night() {
	s.x[catching] += s.x[driftCatching] + math.Sqrt(s.noise)*s.rng.NormFloat64()
	s.x[holding] += s.x[driftHolding] + math.Sqrt(holdNoise*s.noise)*s.rng.NormFloat64()
	s.x[driftCatching] = driftKept*s.x[driftCatching] + math.Sqrt(driftNoise)*s.rng.NormFloat64()
	s.x[driftHolding] = driftKept*s.x[driftHolding] + math.Sqrt(driftNoise/2)*s.rng.NormFloat64()
}

// try is the index-th try of a day that began cold, timed to half a second;
// every fourth is ended on purpose at 10 s.
func (s *truth) try(index int) Try {
	cold, tired := coldness(index, true), tiredness(index)
	t := Try{Index: index, Cold: true, Half: .5, Fell: true}
	t.Caught = s.rng.Float64() < sigmoid(s.x[catching]+cold*s.x[coldCatching]+tired*s.x[tiredCatching])
	beyond := s.law.seconds(s.x[holding]+cold*s.x[coldHolding]+tired*s.x[tiredHolding]+s.law.scale*logit(s.rng.Float64())) - 1
	if !t.Caught {
		return t
	}
	t.Seconds = max(1, math.Round(1+beyond))
	if index%4 == 0 && beyond > 9 {
		t.Seconds, t.Half, t.Fell = 10, 0, false
	}
	return t
}

// atLeast is the true chance of a cold hold of so many seconds.
func (s *truth) atLeast(seconds float64) float64 {
	y := s.law.link(seconds)
	return sigmoid(s.x[catching]+s.x[coldCatching]) * sigmoid((s.x[holding]+s.x[coldHolding]-y)/s.law.scale)
}

// seconds is the hold at which the law's variable is y: link the other way
// round, by bisection.
func (l law) seconds(y float64) float64 {
	lo, hi := 0.0, 1e6
	for range 200 {
		if mid := (lo + hi) / 2; math.Log(mid)+mid/l.wear < y {
			lo = mid
		} else {
			hi = mid
		}
	}
	return 1 + lo
}

// week runs seven days with four sessions of n tries.
func (s *truth) week(h *Headline, n int) {
	for day := range 7 {
		s.night()
		h.Advance(1)
		if day%2 == 0 {
			for i := range n {
				h.Try(s.try(i + 1))
			}
		}
	}
}
