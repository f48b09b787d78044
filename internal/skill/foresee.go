package skill

import "math"

// Result is one result a test may have and where it would leave a student.
type Result struct {
	Chance float64   // of this result among those looked at, adding up to 1
	Mean   []float64 // of every component, logit
	SD     []float64 // logit
	P      []float64 // chance of every component to limit
}

// Foresight is what a test of a component may show.
type Foresight struct {
	Results []Result
	// Lasts is after how many days the component would be as uncertain again as
	// it is now; +Inf where it does not wander.
	Lasts float64
}

// Test is a floor test: its component, and the sd of one result, logit.
type Test struct {
	Component int
	SD        float64
}

// foreseenPoints is how many of the [Limiter]'s points are moved by each result:
// few, since a plan is made from them every week.
const foreseenPoints = 512

// Foresee gives what each test may show: five results over the law foretold for
// it, N(mean, variance + SD²), and after each the components (the linear update
// of a joint normal) and the chances to limit (points re-weighted by the result,
// as in [Components.Telling]).
//
// Lasts is what the test takes from the variance of its component over what the
// component gains by wandering a day; practice in between, and what is logged of
// it, are left out. Assumes normal readings: a result at the end of what a test
// can show tells less than is foreseen here. Chances to limit come from 512
// points: within .06 in the tests, mostly .02. Errors and panics as for [Components.Telling].
func (c *Components) Foresee(asks []float64, tests []Test) ([]Foresight, error) {
	s, err := c.sample(asks)
	if err != nil {
		return nil, err
	}
	out := make([]Foresight, len(tests))
	for i, t := range tests {
		check(t.Component >= 0 && t.Component < c.k, "no such component")
		check(t.SD > 0 && !math.IsInf(t.SD, 1), "a test has a positive sd")
		out[i] = c.foresee(&s, asks, t)
	}
	return out, nil
}

func (c *Components) foresee(s *sample, asks []float64, t Test) Foresight {
	k, n, noise := t.Component, len(c.m), t.SD*t.SD
	v := c.p[k*n+k]
	f := Foresight{Results: make([]Result, len(five.at)), Lasts: math.Inf(1)}
	if q := c.noise[k]; q > 0 {
		f.Lasts = v * v / (v + noise) / q
	}
	sd, gain := make([]float64, c.k), make([]float64, c.k)
	for j := range sd {
		gain[j] = c.p[j*n+k] / (v + noise)
		sd[j] = math.Sqrt(math.Max(0, c.p[j*n+j]-gain[j]*c.p[j*n+k]))
	}
	for i, u := range five.at {
		away := math.Sqrt(v+noise) * u
		r := Result{Chance: five.weight[i], Mean: make([]float64, c.k), SD: sd, P: make([]float64, c.k)}
		for j := range r.Mean {
			r.Mean[j] = c.m[j] + gain[j]*away
		}
		s.limits(r.P, asks, k, gain, c.m[k]+away, t.SD)
		f.Results[i] = r
	}
	return f
}

// limits sets p to the chances to limit once a test of component k with this
// error has shown y: every point goes by gain·(y - what it would have shown).
func (s *sample) limits(p, asks []float64, k int, gain []float64, y, sd float64) {
	errors := normals(s.k + 1) // the last of each point: what the test adds
	for i := range foreseenPoints {
		theta := s.theta[i*s.k : (i+1)*s.k]
		off := y - theta[k] - sd*errors[i*(s.k+1)+s.k]
		least, shortest := 0, math.Inf(1)
		for j, x := range theta {
			if gap := x + gain[j]*off - asks[j]; gap < shortest {
				least, shortest = j, gap
			}
		}
		p[least] += 1. / foreseenPoints
	}
}
