package planning

import (
	"cmp"
	"math"
	"slices"
)

// want is what practice of one component is worth in a week:
// need · (1 - exp(-minutes / scale)).
type want struct {
	need  float64
	scale float64 // minutes that take 63% of it; +Inf: nothing to practise it with
}

// gain is what so many minutes of each are worth.
func gain(wants []want, minutes []float64) (sum float64) {
	for k, w := range wants {
		if !math.IsInf(w.scale, 1) {
			sum += w.need * -math.Expm1(-minutes[k]/w.scale)
		}
	}
	return sum
}

// split shares minutes out so that the gain is greatest, and says what a minute
// more would add. In closed form: every component that has minutes gains alike
// from one more, need/scale·exp(-minutes/scale) = more, and one that has none
// would gain less; components join in the order of their first minute.
func split(wants []want, minutes float64) (shares []float64, more float64) {
	shares = make([]float64, len(wants))
	var order []int
	for k, w := range wants {
		if w.need > 0 && !math.IsInf(w.scale, 1) {
			order = append(order, k)
		}
	}
	first := func(k int) float64 { return math.Log(wants[k].need / wants[k].scale) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(first(b), first(a)) })
	scales, weighted, level := 0.0, 0.0, math.Inf(-1)
	for i, k := range order {
		scales += wants[k].scale
		weighted += wants[k].scale * first(k)
		level = (weighted - minutes) / scales
		if i+1 == len(order) || level >= first(order[i+1]) {
			break
		}
	}
	for _, k := range order {
		shares[k] = math.Max(0, wants[k].scale*(first(k)-level))
	}
	return shares, math.Exp(level)
}
