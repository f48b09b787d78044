package skill

import (
	"errors"
	"math"
	"slices"
	"sync"
)

// ErrNothingAsked is returned where a milestone asks nothing of any component.
var ErrNothingAsked = errors.New("skill: the milestone asks nothing of any component")

const (
	// Known is the least chance at which a limiter counts as known.
	Known = .5

	points = 2048
)

// Limiter is which component holds a student back from a milestone.
type Limiter struct {
	P      []float64 // chance that a component limits, one each, adding up to 1
	Most   int       // the likeliest
	Known  bool      // whether that one reaches [Known]
	N      []int     // observations of each component
	Method string
}

// Limiter estimates P(component k limits) = P(k = argmin theta_k - asks_k) under
// the joint normal of the components; asks[k] is what the milestone asks of
// component k, logit, -Inf where it asks nothing. Integrated over 2048 points of
// a fixed quasi-random sequence: errors are about .01 or less.
//
// It ranks deficits against a table that is itself a guess, and it cannot see a
// component nobody tested: such a one keeps its prior's share, so the answer is
// often "not known yet", and [Components.Telling] says which probe would tell
// most. ErrNothingAsked when every ask is -Inf; panics on an undefined ask or a
// wrong number of asks.
func (c *Components) Limiter(asks []float64) (Limiter, error) {
	s, err := c.sample(asks)
	if err != nil {
		return Limiter{}, err
	}
	l := Limiter{P: make([]float64, c.k), N: slices.Clone(c.seen), Method: "2048 quasi-random points of the joint normal"}
	for _, k := range s.least {
		l.P[k] += 1. / points
	}
	for k, p := range l.P {
		if p > l.P[l.Most] {
			l.Most = k
		}
	}
	l.Known = l.P[l.Most] >= Known
	return l, nil
}

// Tell is what probing a component would tell about the limiter.
type Tell struct {
	Component int
	Bits      float64 // by how much the entropy of the limiter would fall on average
}

// Telling ranks the probes, best first, by the mutual information of the limiter
// and the probe's result: entropy now less its mean after the result, over the
// law foretold for that result (Lindley 1956, Ann Math Stat 27:986). probeSD[k]
// is the sd of component k's probe as in [Components.Measure], +Inf where there
// is none. Components without a probe, or that the milestone asks nothing of and
// that tell nothing, come with 0 bits. Errors and panics as for
// [Components.Limiter]; panics too on an sd of 0 or less.
func (c *Components) Telling(asks, probeSD []float64) ([]Tell, error) {
	check(len(probeSD) == c.k, "one probe sd a component")
	s, err := c.sample(asks)
	if err != nil {
		return nil, err
	}
	out := make([]Tell, c.k)
	for k, sd := range probeSD {
		check(sd > 0, "a probe has a positive sd")
		out[k].Component = k
		if !math.IsInf(sd, 1) {
			out[k].Bits = s.told(k, c.m[k], c.p[k*len(c.m)+k], sd*sd)
		}
	}
	slices.SortStableFunc(out, func(a, b Tell) int {
		switch {
		case a.Bits > b.Bits:
			return -1
		case a.Bits < b.Bits:
			return 1
		}
		return 0
	})
	return out, nil
}

// sample is a set of equally likely abilities and the component that limits in
// each.
type sample struct {
	theta []float64 // points·K
	least []int
	k     int
}

func (c *Components) sample(asks []float64) (sample, error) {
	n := c.k
	check(len(asks) == n, "one ask a component")
	any := false
	for _, r := range asks {
		check(!math.IsNaN(r) && !math.IsInf(r, 1), "an ask is a number or -Inf")
		any = any || !math.IsInf(r, -1)
	}
	if !any {
		return sample{}, ErrNothingAsked
	}
	root := make([]float64, 0, n*n)
	for i := range n {
		root = append(root, c.p[i*2*n:i*2*n+n]...)
	}
	cholesky(root, n)
	s := sample{theta: make([]float64, points*n), least: make([]int, points), k: n}
	u := normals(n)
	for i := range points {
		at := i * n
		s.least[i] = place(s.theta[at:at+n], c.m[:n], root, u[at:at+n], asks)
	}
	return s, nil
}

// normals are the points of the fixed sequence as n standard normals each. They
// are the same for everybody, and kept.
func normals(n int) []float64 {
	if kept, ok := normalsOf.Load(n); ok {
		return kept.([]float64)
	}
	steps, u := irrational(n), make([]float64, points*n)
	for i := range u {
		_, f := math.Modf((float64(i/n) + .5) * steps[i%n])
		u[i] = math.Sqrt2 * math.Erfinv(2*f-1)
	}
	normalsOf.Store(n, u)
	return u
}

var normalsOf sync.Map // n to its points

// place sets theta = m + root·u and gives the component that falls shortest of
// what is asked.
func place(theta, m, root, u, asks []float64) int {
	n, least, shortest := len(m), 0, math.Inf(1)
	for k := range n {
		x := m[k]
		for j := range k + 1 {
			x += root[k*n+j] * u[j]
		}
		theta[k] = x
		if gap := x - asks[k]; gap < shortest {
			least, shortest = k, gap
		}
	}
	return least
}

// told is the mutual information, in bits, of the limiter and a normal
// measurement of component k: the points are re-weighted by each of nine results.
func (s *sample) told(k int, mean, v, noise float64) float64 {
	p := make([]float64, s.k)
	for _, j := range s.least {
		p[j]++
	}
	bits := entropy(p)
	for i, u := range coarse.at {
		y := mean + math.Sqrt(v+noise)*u
		clear(p)
		for j, least := range s.least {
			d := y - s.theta[j*s.k+k]
			p[least] += math.Exp(-d * d / (2 * noise))
		}
		bits -= coarse.weight[i] * entropy(p)
	}
	return math.Max(bits, 0)
}

// entropy is that of a law given up to a factor, in bits.
func entropy(p []float64) float64 {
	var sum, logs float64
	for _, x := range p {
		if x > 0 {
			sum += x
			logs += x * math.Log2(x)
		}
	}
	return math.Log2(sum) - logs/sum
}

// irrational gives n square roots of primes: the multiples of such a vector,
// modulo 1, fill the unit cube evenly (Richtmyer 1951; Niederreiter 1992, Random
// Number Generation and Quasi-Monte Carlo Methods, ch. 3).
func irrational(n int) []float64 {
	var out []float64
	for p := 2; len(out) < n; p++ {
		prime := true
		for d := 2; d*d <= p; d++ {
			prime = prime && p%d != 0
		}
		if prime {
			out = append(out, math.Sqrt(float64(p)))
		}
	}
	return out
}
