package learner

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"

	"aplomb/internal/numtest"
)

var tubs = map[string]bathtub{
	"novice":      {low: .9, settling: 2, settleS: 1.5, wear: 3, wearS: 20},
	"able":        {low: .02, settling: 2, settleS: 1.5, wear: 3, wearS: 40},
	"worn arms":   {low: .01, settling: 1, settleS: 1.5, wear: 4, wearS: 8},
	"no settling": {low: .1, settling: 0, settleS: 1.5, wear: 2, wearS: 30},
}

// hazard is the formula that bathtub's comment gives, written out again.
func hazard(b bathtub, t float64) float64 {
	return b.low*(1+b.settling*math.Exp(-t/b.settleS)) + b.wear/b.wearS*math.Pow(t/b.wearS, b.wear-1)
}

func TestSurvivalIsTheHazardIntegrated(t *testing.T) {
	for name, b := range tubs {
		for _, s := range []float64{.1, 1, 4, 14, 40} {
			area := quad.Fixed(func(x float64) float64 { return hazard(b, x) }, 0, s, 80, nil, 0)
			numtest.Close(t, name+" by quadrature", b.cumulative(s), area, 1e-10)
			numtest.Close(t, name+" by difference", numtest.Derivative(b.cumulative, s), hazard(b, s), 1e-7)
			numtest.Close(t, name+" survival", b.survives(s), math.Exp(-area), 1e-10)
		}
		numtest.Close(t, name+" at the catch", b.survives(0), 1, 0)
		numtest.Close(t, name+" before it", b.survives(-1), 1, 0)
	}
}

// Kolmogorov-Smirnov: the largest gap between the drawn and the true
// distribution, times sqrt n, passes x with a chance of 2 exp(-2 x^2) where x is
// large: one in a thousand at 1.95. The seed is fixed.
func TestDrawsFollowTheirSurvival(t *testing.T) {
	const n = 20000
	for name, b := range tubs {
		rng := rand.New(rand.NewPCG(3, 4))
		drawn := make([]float64, n)
		for i := range drawn {
			drawn[i] = b.draw(rng.ExpFloat64(), rng.ExpFloat64(), rng.ExpFloat64())
		}
		slices.Sort(drawn)
		gap := 0.0
		for i, x := range drawn {
			below := 1 - b.survives(x)
			gap = max(gap, below-float64(i)/n, float64(i+1)/n-below)
		}
		if gap*math.Sqrt(n) > 1.95 {
			t.Errorf("%s: largest gap %.4f, allowed %.4f", name, gap, 1.95/math.Sqrt(n))
		}
	}
}
