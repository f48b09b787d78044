package skill

import (
	"math"
	"math/rand/v2"
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
	Level                      float64 // of WeeksLo to WeeksHi
	N                          int     // tries it rests on
	Method                     string
}

// Forecast estimates the weeks until the chance of a hold of the given seconds,
// first try of a cold day, first is target or more, by propagating the bank: 512
// states drawn from the mixture (the same drift, the same process noise, fixed
// seed, so the same log gives the same answer) are followed for two years and
// the 10, 50 and 90% quantiles of their first crossing reported. The quantile
// levels carry a sampling error of about .02.
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
	g := goal{y: logBeyond(seconds), target: target}
	var reached [Horizon + 1]int
	rng := rand.New(rand.NewPCG(1, 104))
	for i, n := range h.share(paths) {
		if n == 0 {
			continue
		}
		start := h.bank[i].outlook()
		for range n {
			if w := start.draw(rng).weeks(g, rng); w != Never {
				reached[w]++
			}
		}
	}
	f := Forecast{Level: forecastLevel, N: h.tries, Method: "first crossing of 512 paths drawn from a bank of nine filters"}
	f.quantiles(reached[:])
	return f, nil
}

func (f *Forecast) quantiles(reached []int) {
	f.WeeksLo, f.WeeksMid, f.WeeksHi = Never, Never, Never
	f.Now = float64(reached[0]) / paths
	for w, n := range reached {
		before := f.Within
		f.Within += float64(n) / paths
		for _, q := range []struct {
			level float64
			weeks *int
		}{{(1 - forecastLevel) / 2, &f.WeeksLo}, {.5, &f.WeeksMid}, {(1 + forecastLevel) / 2, &f.WeeksHi}} {
			if before < q.level && f.Within >= q.level {
				*q.weeks = w
			}
		}
	}
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
	o := outlook{noise: m.noise, scale: bankScale[m.scale]}
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

// goal is a chance of target or more of lasting beyond y.
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
