package skill

import (
	"math"
	"math/rand/v2"
	"slices"
)

const (
	// Horizon is how many weeks ahead a forecast looks.
	Horizon = 104
	// Never stands for more weeks than the horizon.
	Never = -1

	forecastLevel = .8
	paths         = 512
)

// Forecast is when a milestone may come, in weeks from now; Never where that
// lies beyond the horizon.
type Forecast struct {
	WeeksLo, WeeksMid, WeeksHi int
	Now                        float64 // chance that it is reached already
	Within                     float64 // chance that it is reached within the horizon
	Level                      float64 // of WeeksLo to WeeksHi, at the least
	Held                       float64 // chance of WeeksLo to WeeksHi: weeks are whole, so it is Level or more
	N                          int     // tries it rests on
	Method                     string
}

// Forecast estimates the weeks until the chance of a hold of the given seconds,
// first try of a cold day, first is target or more, by propagating the bank: 512
// states drawn from the mixture (the same drift, the same process noise, fixed
// seed, so the same log gives the same answer) are followed for two years; the
// median of their first crossing is reported with the shortest run of weeks that
// holds 80% of them. Shares carry a sampling error of about .02.
//
// Assumes that practice goes on as it did: drift is learnt from the log and
// fades by half in ten weeks. A first crossing is not yet a proven milestone.
// ErrNoTries before the first try: the prior alone is no forecast. Panics unless
// seconds are finite and not negative and 0 < target < 1.
func (h *Headline) Forecast(seconds, target float64) (Forecast, error) {
	check(seconds >= 0 && !math.IsInf(seconds, 1), "seconds are finite and not negative")
	check(target > 0 && target < 1, "a target chance lies between 0 and 1")
	if h.tries == 0 {
		return Forecast{}, ErrNoTries
	}
	var reached [Horizon + 1]int
	rng := rand.New(rand.NewPCG(1, 104))
	for i, n := range h.share(paths) {
		if n == 0 {
			continue
		}
		start := h.bank[i].outlook()
		g := goal{y: laws[h.bank[i].law].link(seconds), target: target}
		for range n {
			if w := start.draw(rng).weeks(g, rng); w != Never {
				reached[w]++
			}
		}
	}
	f := Forecast{Level: forecastLevel, N: h.tries, Method: "first crossing of 512 paths drawn from a bank of filters"}
	f.summarise(reached[:])
	return f, nil
}

// summarise reads how many paths reached the goal in which week: the median, and
// the fewest weeks in a row that hold the level, the earliest of equals; the
// last of them may be Never. Quantiles would hold far more than the level where
// most paths fall into a week or two.
func (f *Forecast) summarise(reached []int) {
	f.Now = float64(reached[0]) / paths
	never := paths
	f.WeeksMid = Never
	for w, n := range reached {
		never -= n
		if f.WeeksMid == Never && 2*(paths-never) >= paths {
			f.WeeksMid = w
		}
	}
	f.Within = 1 - float64(never)/paths
	enough := int(math.Ceil(forecastLevel * paths))
	lo, hi, held := shortest(append(slices.Clone(reached), never), enough)
	f.WeeksLo, f.WeeksHi, f.Held = week(lo), week(hi), float64(held)/paths
}

// week is the bin of a week; the last stands for Never.
func week(bin int) int {
	if bin > Horizon {
		return Never
	}
	return bin
}

// shortest is the first and last bin of the shortest run that holds enough, the
// earliest of equals, and what it holds.
func shortest(bins []int, enough int) (lo, hi, held int) {
	lo, hi = 0, len(bins)
	for from := range bins {
		sum := 0
		for to := from; to < len(bins) && to-from < hi-lo; to++ {
			if sum += bins[to]; sum >= enough {
				lo, hi, held = from, to, sum
			}
		}
	}
	return lo, hi, held
}

// share splits n draws over the bank by weight, in whole numbers.
func (h *Headline) share(n int) [bankSize]int {
	var out [bankSize]int
	var sum float64
	given := 0
	for i, w := range h.weights() {
		sum += w
		out[i] = int(math.Round(sum*float64(n))) - given
		given += out[i]
	}
	return out
}

// outlook is the law of (catching, holding) cold and their drifts in a member.
type outlook struct {
	mean         [4]float64
	root         [16]float64 // lower triangular, root·rootᵀ the covariance
	noise, scale float64
}

func (m *member) outlook() outlook {
	o := outlook{noise: m.noise, scale: laws[m.law].scale}
	rows := [4][2]int{{catching, coldCatching}, {holding, coldHolding}, {driftCatching, driftCatching}, {driftHolding, driftHolding}}
	share := [4]float64{1, 1, 0, 0} // of the second state in each row
	at := func(i, j int) float64 { return m.p[i*states+j] }
	for i, r := range rows {
		o.mean[i] = m.m[r[0]] + share[i]*m.m[r[1]]
		for j, s := range rows {
			o.root[i*4+j] = at(r[0], s[0]) + share[j]*at(r[0], s[1]) + share[i]*at(r[1], s[0]) + share[i]*share[j]*at(r[1], s[1])
		}
	}
	cholesky(o.root[:], 4)
	return o
}

// path is one possible student.
type path struct {
	c, h, driftC, driftH, noise, scale float64
}

func (o *outlook) draw(rng *rand.Rand) path {
	x := o.mean
	var u [4]float64
	for i := range u {
		u[i] = rng.NormFloat64()
		for j := range i + 1 {
			x[i] += o.root[i*4+j] * u[j]
		}
	}
	return path{x[0], x[1], x[2], x[3], o.noise, o.scale}
}

// goal is a chance of target or more of lasting beyond y, in the terms of a law.
type goal struct{ y, target float64 }

func (p *path) meets(g goal) bool {
	q := sigmoid(p.c)
	if q < g.target || math.IsInf(g.y, -1) {
		return q >= g.target
	}
	return q*sigmoid((p.h-g.y)/p.scale) >= g.target
}

// weeks is how long the path takes to a goal. A week is seven nights of
// [Headline.Advance] in one step; the noise of a drift enters at its end.
func (p path) weeks(g goal, rng *rand.Rand) int {
	kept := math.Pow(driftKept, 7)
	gain := (1 - kept) / (1 - driftKept)
	sdC, sdH := math.Sqrt(7*p.noise), math.Sqrt(7*holdNoise*p.noise)
	drift := math.Sqrt(driftNoise * (1 - kept*kept) / (1 - driftKept*driftKept))
	for w := range Horizon + 1 {
		if p.meets(g) {
			return w
		}
		p.c += gain*p.driftC + sdC*rng.NormFloat64()
		p.h += gain*p.driftH + sdH*rng.NormFloat64()
		p.driftC = kept*p.driftC + drift*rng.NormFloat64()
		p.driftH = kept*p.driftH + drift/math.Sqrt2*rng.NormFloat64()
	}
	return Never
}
