package learner

import "math"

// bathtub is a law of the seconds t a hold lasts beyond the catch. Its hazard
//
//	low (1 + settling exp(-t/settleS)) + (wear/wearS) (t/wearS)^(wear-1)
//
// settles, stays low, and rises as the arms give in.
type bathtub struct {
	low, settling, settleS float64
	wear, wearS            float64
}

// cumulative is the integral of the hazard from the catch to t seconds.
func (b bathtub) cumulative(t float64) float64 {
	return b.low*(t+b.settling*b.settleS*-math.Expm1(-t/b.settleS)) + math.Pow(t/b.wearS, b.wear)
}

// survives is the chance to last t seconds beyond the catch.
func (b bathtub) survives(t float64) float64 { return math.Exp(-b.cumulative(math.Max(0, t))) }

// draw is the first of three causes of a fall, each with one term of the hazard:
// settling, which may never strike, chance, and worn arms. The arguments are
// standard exponential deviates.
func (b bathtub) draw(settle, chance, worn float64) float64 {
	t := math.Min(chance/b.low, b.wearS*math.Pow(worn, 1/b.wear))
	if left := 1 - settle/(b.low*b.settling*b.settleS); left > 0 {
		t = math.Min(t, -b.settleS*math.Log(left))
	}
	return t
}
