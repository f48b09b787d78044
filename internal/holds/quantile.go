package holds

import "math"

// Quantile is the time by which a share Q of caught holds has ended in a fall.
type Quantile struct {
	Q       float64
	Seconds float64 // NaN where the curve does not get that low
	Lo, Hi  float64 // NaN where the bound does not get that low
	Level   float64
	Band    Band
	N       int
	Falls   int
}

// Quantile gives the q-quantile (.5 is the median) with its interval, which are
// the times at which the curve's own bounds pass 1-q (Brookmeyer & Crowley 1982,
// Biometrics 38:29). Where a curve is flat at 1-q exactly, the middle of the step
// is taken. All as in R's quantile of a survfit. q outside 0 to 1 panics.
func (c *Curve) Quantile(q float64) Quantile {
	checkOpen("quantile", q)
	return Quantile{
		Q: q, Level: c.Level, Band: c.Band, N: c.N, Falls: c.Falls,
		Seconds: c.crossing(q, func(p *Point) float64 { return p.Survival }),
		Lo:      c.crossing(q, func(p *Point) float64 { return p.Lo }),
		Hi:      c.crossing(q, func(p *Point) float64 { return p.Hi }),
	}
}

// crossing is the time at which 1 minus the value reaches q. The bounds need not
// be monotone; then, like R, it takes the step whose height is next to q, not the
// first one in time. Equal heights count once, at their first time.
func (c *Curve) crossing(q float64, value func(*Point) float64) float64 {
	const tol = 0x1p-26
	type step struct{ height, seconds float64 }
	none := step{math.Inf(1), math.NaN()}
	reach, clear, last := none, none, step{}
	seen := map[float64]bool{0: true}
	for i := range c.Points {
		s := step{1 - value(&c.Points[i]), c.Points[i].Seconds}
		if seen[s.height] {
			continue
		}
		seen[s.height] = true
		last = s
		if s.height+tol >= q && s.height < reach.height {
			reach = s
		}
		if s.height-tol >= q && s.height < clear.height {
			clear = s
		}
	}
	if math.Abs(q-last.height) < tol {
		clear.seconds = c.Points[len(c.Points)-1].Seconds
	}
	return (reach.seconds + clear.seconds) / 2
}
