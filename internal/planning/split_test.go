package planning

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

// Two components with the same scale: minutes differ by scale·ln(need/need).
func TestSplitOfTwo(t *testing.T) {
	wants := []want{{need: .6, scale: 20}, {need: .2, scale: 20}}
	apart := 20 * math.Log(3)
	shares, more := split(wants, 60)
	numtest.CloseAll(t, "minutes", shares, []float64{30 + apart/2, 30 - apart/2}, 1e-9)
	numtest.Close(t, "a minute more", more, .6/20*math.Exp(-shares[0]/20), 1e-12)
	shares, more = split(wants, 5) // too few for the second
	numtest.CloseAll(t, "minutes", shares, []float64{5, 0}, 1e-9)
	numtest.Close(t, "a minute more", more, .6/20*math.Exp(-5./20), 1e-12)
}

func TestSplitWithNothingToPractise(t *testing.T) {
	shares, more := split([]want{{need: .6, scale: math.Inf(1)}, {need: 0, scale: 5}}, 30)
	if shares[0] != 0 || shares[1] != 0 || more != 0 {
		t.Errorf("%v, %v", shares, more)
	}
}

func drawWants(rt *rapid.T) []want {
	return rapid.SliceOfN(rapid.Custom(func(rt *rapid.T) want {
		return want{rapid.Float64Range(.05, 1).Draw(rt, "need"), rapid.Float64Range(2, 60).Draw(rt, "scale")}
	}), 1, 9).Draw(rt, "wants")
}

// No other split is worth more, every minute is used, and a minute more is worth
// what the difference says.
func TestSplitIsBest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		wants, minutes := drawWants(rt), rapid.Float64Range(1, 200).Draw(rt, "minutes")
		shares, more := split(wants, minutes)
		sum, best := 0., gain(wants, shares)
		for _, m := range shares {
			sum += m
		}
		if math.Abs(sum-minutes) > 1e-6 {
			rt.Fatalf("%v of %v minutes", sum, minutes)
		}
		other := rapid.SliceOfN(rapid.Float64Range(0, 1), len(wants), len(wants)).Draw(rt, "other")
		all := 1e-9
		for _, m := range other {
			all += m
		}
		for k := range other {
			other[k] *= minutes / all
		}
		if g := gain(wants, other); g > best+1e-9 {
			rt.Errorf("%v is worth %v, %v only %v", other, g, shares, best)
		}
		value := func(m float64) float64 { s, _ := split(wants, m); return gain(wants, s) }
		if d := numtest.Derivative(value, minutes); math.Abs(d-more) > 1e-5 {
			rt.Errorf("a minute more: %v, by differences %v", more, d)
		}
	})
}
