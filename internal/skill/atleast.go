package skill

import "math"

// Interval is a probability with its doubt.
type Interval struct {
	P, Lo, Hi float64
	Level     float64 // share of such intervals meant to hold the true probability
	N         int     // tries it rests on; 0 is the prior alone
	Censored  int     // of their holds
	Method    string
}

const (
	bankMethod   = "quantiles of a bank of filters"
	paddedMethod = bankMethod + ", padded by .05"
)

// AtLeast estimates the chance that a try made now, fresh, is held for the given
// seconds or more: the first of a cold day, or warm. P is the mean over the
// bank's mixture and Lo, Hi its equal-tailed quantiles, by quadrature; in the
// first six weeks the interval is .05 wider on either side. Up to 1 s it is the
// chance of a catch. Panics unless seconds >= 0 and 0 < level < 1.
func (h *Headline) AtLeast(seconds float64, cold bool, level float64) Interval {
	check(seconds >= 0 && !math.IsInf(seconds, 1), "seconds are finite and not negative")
	check(level > 0 && level < 1, "a level lies between 0 and 1")
	x := h.mixture(cold, seconds)
	iv := Interval{P: x.mean(), Level: level, N: h.tries, Censored: h.censored, Method: bankMethod}
	iv.Lo, iv.Hi = x.quantile((1-level)/2, iv.P), x.quantile((1+level)/2, iv.P)
	if h.days < 7*padWeeks {
		iv.Lo, iv.Hi = math.Max(0, iv.Lo-pad), math.Min(1, iv.Hi+pad)
		iv.Method = paddedMethod
	}
	return iv
}

// chance is the law of p = sigmoid(c)·sigmoid((h - y)/scale) over a weighted
// bank of normal pairs (c, h).
type chance struct {
	pair [bankSize]pair
	n    int
}

// pair is one member's pair: c ~ N(c, sdC²), h given c = c + sdC·u is
// N(h + slope·u, sdH²).
type pair struct {
	weight, scale         float64
	c, sdC, h, slope, sdH float64
	y                     float64 // the seconds asked for, as the member's law has them; -Inf asks for a catch alone
}

// negligible is a member's weight under which it is left out.
const negligible = 1e-3

func (h *Headline) mixture(cold bool, seconds float64) chance {
	var x chance
	for i, w := range h.weights() {
		if w > negligible {
			x.pair[x.n] = h.bank[i].pair(coldness(1, cold))
			x.pair[x.n].weight, x.pair[x.n].y = w, laws[h.bank[i].law].link(seconds)
			x.n++
		}
	}
	return x
}

func (m *member) pair(cold float64) pair {
	at := func(i, j int) float64 { return m.p[i*states+j] }
	x := pair{
		scale: laws[m.law].scale,
		c:     m.m[catching] + cold*m.m[coldCatching],
		h:     m.m[holding] + cold*m.m[coldHolding],
		sdC:   math.Sqrt(at(catching, catching) + 2*cold*at(catching, coldCatching) + cold*cold*at(coldCatching, coldCatching)),
	}
	cov := at(catching, holding) + cold*(at(catching, coldHolding)+at(coldCatching, holding)) + cold*cold*at(coldCatching, coldHolding)
	x.slope = cov / x.sdC
	v := at(holding, holding) + 2*cold*at(holding, coldHolding) + cold*cold*at(coldHolding, coldHolding)
	x.sdH = math.Sqrt(math.Max(v-x.slope*x.slope, 1e-12))
	return x
}

// mean is E[p].
func (x *chance) mean() float64 {
	var sum, weights float64
	for _, q := range x.pair[:x.n] {
		weights += q.weight
		for i, u := range fine.at {
			w := q.weight * fine.weight[i] * sigmoid(q.c+q.sdC*u)
			if !math.IsInf(q.y, -1) {
				w *= meanSigmoid((q.h+q.slope*u-q.y)/q.scale, q.sdH/q.scale)
			}
			sum += w
		}
	}
	return sum / weights
}

// cdf is P(p <= r), 0 < r < 1: p <= r where h <= y + scale·logit(r/sigmoid(c)).
func (x *chance) cdf(r float64) float64 {
	var sum, weights float64
	for i := range x.pair[:x.n] {
		q := &x.pair[i]
		weights += q.weight
		sum += q.weight * q.cdf(r)
	}
	return sum / weights
}

// cdf integrates over c = c + sdC·u. Up to the u at which sigmoid(c) = r every
// hold will do; just beyond, the integrand falls steeply, so the nodes crowd
// there: u = from + (reach - from)·t², t on a midpoint grid.
func (q *pair) cdf(r float64) float64 {
	const reach, nodes = 5, 40
	edge := (logit(r) - q.c) / q.sdC
	sum := normalCDF(edge)
	if math.IsInf(q.y, -1) || edge >= reach {
		return sum
	}
	from := math.Max(edge, -reach)
	for i := range nodes {
		t := (float64(i) + .5) / nodes
		u := from + (reach-from)*t*t
		over := sigmoid(q.c+q.sdC*u) - r
		hold := 1.
		if over > 0 {
			hold = normalCDF((q.y + q.scale*math.Log(r/over) - q.h - q.slope*u) / q.sdH)
		}
		sum += hold * math.Exp(-u*u/2) * 2 * t * (reach - from) / (nodes * sqrt2Pi)
	}
	return sum
}

// quantile solves cdf(r) = level on the logit scale from a guess of r, by
// bracketing and the Illinois form of false position (Dowell & Jarratt 1971,
// BIT 11:168), until the level is met to 1e-6.
func (x *chance) quantile(level, guess float64) float64 {
	f := func(l float64) float64 { return x.cdf(sigmoid(l)) - level }
	lo := math.Max(-30, math.Min(30, logit(guess)))
	flo := f(lo)
	hi, fhi, width := lo, flo, 1.
	for flo > 0 && lo > -500 {
		hi, fhi = lo, flo
		lo -= width
		flo, width = f(lo), 2*width
	}
	for fhi < 0 && hi < 36 {
		lo, flo = hi, fhi
		hi += width
		fhi, width = f(hi), 2*width
	}
	if flo > 0 || fhi < 0 {
		return sigmoid(hi)
	}
	return sigmoid(illinois(f, lo, hi, flo, fhi))
}

// illinois finds the root of an increasing f between lo and hi.
func illinois(f func(float64) float64, lo, hi, flo, fhi float64) float64 {
	side, mid := 0, lo
	for range 100 {
		if fhi == flo {
			break
		}
		mid = (lo*fhi - hi*flo) / (fhi - flo)
		fm := f(mid)
		if math.Abs(fm) < 1e-6 {
			break
		}
		if fm > 0 {
			hi, fhi = mid, fm
			if side > 0 {
				flo /= 2
			}
			side = 1
		} else {
			lo, flo = mid, fm
			if side < 0 {
				fhi /= 2
			}
			side = -1
		}
	}
	return mid
}
