package skill

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"aplomb/internal/numtest"
	"gonum.org/v1/gonum/mat"
)

// firstScales are those of the first model, from which the prior was refitted.
var firstScales = [3]float64{.45, .7, 1}

// oldAtLeast is P(T >= t) of a caught hold of a new student under the
// first model: ln T ~ Logistic(h, sigma), h ~ N(.5, 1), over the three sigmas.
func oldAtLeast(seconds float64) float64 {
	var sum float64
	for _, s := range firstScales {
		sum += meanSigmoid((.5-math.Log(seconds))/s, 1/s) / 3
	}
	return sum
}

// The derivation in the comment of prior: moments of Y = ln(max(T-1, .1)) given
// T >= 1, by the sum of its survival function.
func TestPriorIsTheFirstModelsRefitted(t *testing.T) {
	const dy, top = 1e-3, 14
	low := math.Log(floorBeyond)
	mean, second := low, low*low
	for y := low + dy/2; y < top; y += dy {
		s := oldAtLeast(1+math.Exp(y)) / oldAtLeast(1)
		mean += s * dy
		second += 2 * y * s * dy
	}
	var within float64
	for _, s := range firstScales {
		within += s * s * math.Pi * math.Pi / 9
	}
	variance := second - mean*mean
	t.Logf("Y: mean %.3f, variance %.3f, of which %.3f within students", mean, variance, within)
	numtest.Close(t, "mean of holding", priorHold, mean, .005)
	numtest.Close(t, "variance of holding", priorHoldVar, variance-within, .005)
	numtest.Close(t, "covariance", priorCov, .4*math.Sqrt(variance-within), .01)
	for _, seconds := range []float64{1.1, 1.5, 2, 3, 5, 10, 15, 30, 60} {
		var got float64
		for _, s := range firstScales {
			got += meanSigmoid((priorHold-laws[0].link(seconds))/s, math.Sqrt(priorHoldVar)/s) / 3
		}
		want := oldAtLeast(seconds) / oldAtLeast(1)
		t.Logf("P(T >= %4.1f | caught): %.3f, first model %.3f", seconds, got, want)
		numtest.Close(t, "chance given a catch", got, want, .02)
	}
}

func TestNewStudent(t *testing.T) {
	h := NewHeadline()
	t.Log("new student   cold                 warm")
	for _, seconds := range []float64{1, 5, 10, 15} {
		cold, warm := h.AtLeast(seconds, true, .8), h.AtLeast(seconds, false, .8)
		t.Logf("P(>= %2.0f s)   %.3f [%.3f, %.3f]   %.3f [%.3f, %.3f]", seconds, cold.P, cold.Lo, cold.Hi, warm.P, warm.Lo, warm.Hi)
		if cold.P >= warm.P || cold.Hi-cold.Lo < .15 || cold.N != 0 {
			t.Errorf("at %g s: cold %+v, warm %+v", seconds, cold, warm)
		}
	}
	numtest.Close(t, "a warm catch is even odds", h.AtLeast(1, false, .8).P, .5, 1e-9)
}

// Advance against x <- F x, P <- F P Fᵀ + Q with the matrices written out.
func TestAdvance(t *testing.T) {
	h := NewHeadline()
	f, q := mat.NewDense(states, states, nil), mat.NewDense(states, states, nil)
	for i := range states {
		f.Set(i, i, 1)
	}
	f.Set(catching, driftCatching, 1)
	f.Set(holding, driftHolding, 1)
	f.Set(driftCatching, driftCatching, .99)
	f.Set(driftHolding, driftHolding, .99)
	for i, v := range map[int]float64{catching: .007, holding: .0042, driftCatching: 4e-6, driftHolding: 2e-6} {
		q.Set(i, i, v)
	}
	for i := range 5 {
		h.Try(Try{Caught: true, Seconds: 4, Fell: true, Index: i + 1, Cold: true})
	}
	x := mat.NewVecDense(states, slices.Clone(h.bank[0].m[:]))
	p := mat.NewDense(states, states, slices.Clone(h.bank[0].p[:]))
	for range 30 {
		x.MulVec(f, x)
		p.Mul(f, p)
		p.Mul(p, f.T())
		p.Add(p, q)
	}
	h.Advance(30)
	numtest.CloseAll(t, "x", h.bank[0].m[:], x.RawVector().Data, 1e-12)
	numtest.CloseAll(t, "P", h.bank[0].p[:], p.RawMatrix().Data, 1e-12)
}

// A year of daily practice leaves every covariance symmetric and positive.
func TestCovarianceStaysPositive(t *testing.T) {
	h, s := NewHeadline(), newTruth(rand.New(rand.NewPCG(5, 5)))
	for range 52 {
		s.week(&h, 15)
	}
	for i := range h.bank {
		p := mat.NewSymDense(states, slices.Clone(h.bank[i].p[:]))
		var eig mat.EigenSym
		if !eig.Factorize(p, false) || eig.Values(nil)[0] <= 0 {
			t.Errorf("member %d: smallest eigenvalue %g", i, eig.Values(nil)[0])
		}
		for j := range states {
			for k := range j {
				if d := p.At(j, k) - h.bank[i].p[j*states+k]; math.Abs(d) > 1e-15 {
					t.Errorf("member %d: asymmetry %g", i, d)
				}
			}
		}
	}
}

func TestFoldingAllocatesNothing(t *testing.T) {
	h := NewHeadline()
	c := NewComponents(intake(9), SharedAbility, []Item{{0, 0, .4}, {1, 0, .4}})
	n := testing.AllocsPerRun(100, func() {
		h.Advance(1)
		h.Try(Try{Caught: true, Seconds: 4, Half: .5, Fell: true, Index: 1, Cold: true})
		h.Try(Try{Caught: true, Seconds: 4, Index: 2})
		h.Try(Try{Index: 3})
		h.Tally(Tally{Tries: 10, Caught: 6, Best: 8, Second: 7, Half: .2, First: 4})
		h.AtLeast(15, true, .8)
		_, _ = h.CloseWeek()
		c.Advance(1)
		c.Count(0, 10, 7, h.Tired(1))
		c.Count(1, 1, 0, 0)
		c.Measure(2, .3, .4)
		c.Success(1, 0)
	})
	if n != 0 {
		t.Errorf("%g allocations", n)
	}
}

// Students who obey the model: 80% intervals for the cold chance of 15 s cover
// 74 to 86% after the padded weeks, with little bias.
func TestCoverageOfTheHeadline(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 11))
	const students = 300
	var covered [7]int
	var bias, size float64
	for range students {
		h, s := NewHeadline(), newTruth(rng)
		for month := range covered {
			for range 4 {
				s.week(&h, 6)
			}
			iv, p := h.AtLeast(15, true, .8), s.atLeast(15)
			if p >= iv.Lo && p <= iv.Hi {
				covered[month]++
			}
			bias += (iv.P - p) / students / float64(len(covered))
			size += math.Abs(iv.P-p) / students / float64(len(covered))
		}
	}
	t.Logf("bias %+.3f, mean error %.3f", bias, size)
	total := 0
	for month, n := range covered {
		t.Logf("weeks %2d: %.0f%% covered (padded up to week %d)", 4*month+4, 100*float64(n)/students, padWeeks)
		if month >= 2 {
			total += n
		}
	}
	numtest.Close(t, "coverage", float64(total)/students/5, .8, .06)
	numtest.Close(t, "bias", bias, 0, .02)
}
