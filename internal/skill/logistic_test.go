package skill

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

// likelihoods draws every form of likelihood the package uses.
func likelihoods() map[string]*rapid.Generator[loglik] {
	beyond := rapid.Float64Range(-2.3, 4.5)
	scale := rapid.SampledFrom([]float64{.45, .8, 1.3})
	return map[string]*rapid.Generator[loglik]{
		"binomial": rapid.Custom(func(t *rapid.T) loglik {
			n := rapid.IntRange(1, 40).Draw(t, "n")
			return binomial(float64(n), float64(rapid.IntRange(0, n).Draw(t, "k")))
		}),
		"exact": rapid.Custom(func(t *rapid.T) loglik {
			l := logistic{scale: scale.Draw(t, "scale")}
			y := beyond.Draw(t, "y")
			l.between(y, y)
			return l
		}),
		"interval": rapid.Custom(func(t *rapid.T) loglik {
			l := logistic{scale: scale.Draw(t, "scale")}
			lo := beyond.Draw(t, "lo")
			l.between(lo, lo+rapid.Float64Range(1e-3, 2).Draw(t, "width"))
			return l
		}),
		"censored": rapid.Custom(func(t *rapid.T) loglik {
			l := logistic{scale: scale.Draw(t, "scale")}
			l.try(laws[0], Try{Caught: true, Seconds: 1 + math.Exp(beyond.Draw(t, "y")), Index: 1})
			return l
		}),
		"best two": rapid.Custom(func(t *rapid.T) loglik {
			l := logistic{scale: scale.Draw(t, "scale")}
			best := rapid.Float64Range(1, 60).Draw(t, "best")
			second := rapid.Float64Range(1, best).Draw(t, "second")
			l.tally(laws[0], Tally{Tries: 20, Caught: rapid.IntRange(2, 20).Draw(t, "n"), Best: best, Second: second, Half: rapid.SampledFrom([]float64{0, .2, .5}).Draw(t, "half")})
			return l
		}),
		"normal": rapid.Custom(func(t *rapid.T) loglik {
			return normal{rapid.Float64Range(-3, 3).Draw(t, "y"), rapid.Float64Range(.01, 4).Draw(t, "v")}
		}),
		"score": rapid.Custom(func(t *rapid.T) loglik {
			b := rapid.SliceOfN(rapid.Float64Range(-3, 3), 1, 12).Draw(t, "b")
			return score{float64(rapid.IntRange(0, len(b)).Draw(t, "passed")), rapid.Float64Range(.5, 2).Draw(t, "slope"), b}
		}),
	}
}

func TestSlopesAreTheDerivativesOfTheValue(t *testing.T) {
	for name, gen := range likelihoods() {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				l, eta := gen.Draw(rt, "l"), rapid.Float64Range(-5, 5).Draw(rt, "eta")
				g, h := l.slope(eta)
				numtest.Close(t, "gradient", g, numtest.Derivative(l.value, eta), 1e-6)
				slope := func(x float64) float64 { g, _ := l.slope(x); return g }
				numtest.Close(t, "curvature", h, -numtest.Derivative(slope, eta), 1e-6)
				if h < 0 {
					rt.Fatal("not log-concave")
				}
			})
		})
	}
}

// The identities of the logistic law against its density and distribution
// function written out.
func TestIntervalIsADifferenceOfDistributionFunctions(t *testing.T) {
	cdf := func(x, eta, s float64) float64 { return 1 / (1 + math.Exp(-(x-eta)/s)) }
	l := logistic{scale: .7}
	l.between(.3, 1.1)
	numtest.Close(t, "interval", l.value(.4), math.Log(cdf(1.1, .4, .7)-cdf(.3, .4, .7)), 1e-13)
	exact := logistic{scale: .7}
	exact.between(.3, .3)
	density := numtest.Derivative(func(x float64) float64 { return cdf(x, .4, .7) }, .3)
	numtest.Close(t, "density", exact.value(.4), math.Log(density), 1e-9)
	narrow := logistic{scale: .7}
	narrow.between(.3, .3+1e-9)
	numtest.Close(t, "a narrow interval is the density times its width", narrow.value(.4)-math.Log(1e-9), exact.value(.4), 1e-6)
}

// Far in the tails the difference of distribution functions is 0 in floating
// point; the likelihood falls along a straight line of slope 1/scale instead.
func TestIntervalIsStableInTheTails(t *testing.T) {
	l := logistic{scale: .45}
	l.between(1, 1.2)
	for _, far := range []float64{50, 500} {
		numtest.Close(t, "above", l.value(far)-l.value(far+1), 1/.45, 1e-9)
		numtest.Close(t, "below", l.value(-far)-l.value(-far-1), 1/.45, 1e-9)
		g, h := l.slope(far)
		numtest.Close(t, "gradient", g, -1/.45, 1e-9)
		numtest.Close(t, "curvature", h, 0, 1e-9)
	}
}

// A rounded hold that may have ended at once is bounded above only.
func TestIntervalFromTheFirstSecond(t *testing.T) {
	l := logistic{scale: .7}
	l.try(laws[0], Try{Caught: true, Seconds: 1.5, Half: .5, Fell: true, Index: 1})
	numtest.Close(t, "P(T < 2)", l.value(.4), math.Log(1/(1+math.Exp(.4/.7))), 1e-14)
}

// The law of the best two of n against a sum over all orders: the joint density
// of order statistics integrates to 1 over t1 > t2, by a grid on the quantiles.
func TestBestTwoIsALaw(t *testing.T) {
	const n, eta, scale, cells = 6, .8, .7, 400
	var sum float64
	for i := range cells {
		u := (float64(i) + .5) / cells
		for j := range i + 1 {
			v := (float64(j) + .5) / cells
			w := 1. // each cell carries probability 1/cells² under two independent holds
			if i == j {
				w = .5
			}
			sum += w * math.Exp(bestTwo(n, eta+scale*logit(u), eta+scale*logit(v), eta, scale))
		}
	}
	numtest.Close(t, "sum", sum/(cells*cells), 1, 1e-3)
}

// bestTwo is the log density of the best two of n relative to two independent
// holds.
func bestTwo(n int, y1, y2, eta, scale float64) float64 {
	l := logistic{scale: scale}
	l.tally(laws[0], Tally{Tries: n, Caught: n, Best: 1 + math.Exp(y1), Second: 1 + math.Exp(y2)})
	alone := logistic{scale: scale}
	alone.between(y1, y1)
	alone.between(y2, y2)
	return math.Log(float64(n*(n-1))) + l.value(eta) - alone.value(eta)
}
