package holds

import (
	"math"
	"slices"
)

// Seconds beyond the first below which a hold counts as this long: a caught hold
// of 1.0 s has no logarithm of its time beyond 1 s.
const floorBeyond = 0.1

// beyond is the seconds after the first, with the floor.
func beyond(seconds float64) float64 { return math.Max(seconds-1, floorBeyond) }

// seen is what is known of one hold: ln U is lo exactly (lo == hi), between lo
// and hi, over lo (hi is +Inf), or under hi (lo is -Inf); times of them.
type seen struct{ lo, hi, times float64 }

func (s seen) exact() bool { return s.lo == s.hi }

// sample is all that is known of a student's holds.
type sample struct {
	seen         []seen
	constant     float64 // of the log-likelihood: the orderings of the tallies
	n            int     // holds with their seconds
	falls        int
	censored     int
	sumLog       float64 // of ln U over the exact falls
	exactFalls   float64
	secondsTotal float64 // seconds beyond the first, of all holds with their seconds
}

func newSample(t Tries) sample {
	t.check()
	checkHolds(t.Holds)
	var s sample
	for _, h := range t.Holds {
		if h.Fell {
			s.fall(h.Seconds, h.Half)
		} else {
			s.censor(h.Seconds)
		}
	}
	for _, y := range t.Tallies {
		s.tally(y)
	}
	return s
}

// fall adds a fall, as a density or as the interval of its timing doubt. Where
// the interval begins before the first second it only says "sooner than".
func (s *sample) fall(seconds, half float64) {
	s.n++
	s.falls++
	s.secondsTotal += beyond(seconds)
	if half == 0 {
		x := math.Log(beyond(seconds))
		s.seen = append(s.seen, seen{x, x, 1})
		s.exactFalls++
		s.sumLog += x
		return
	}
	lo := math.Inf(-1)
	if from := seconds - half - 1; from > 0 {
		lo = math.Log(from)
	}
	s.seen = append(s.seen, seen{lo, math.Log(beyond(seconds + half)), 1})
}

func (s *sample) censor(seconds float64) {
	s.n++
	s.censored++
	s.secondsTotal += beyond(seconds)
	s.seen = append(s.seen, seen{math.Log(beyond(seconds)), math.Inf(1), 1})
}

// tally adds the best of n holds by the law of order statistics: the second best
// t2 too, n(n-1) f(t1) f(t2) F(t2)^(n-2); the best alone, n f(t1) F(t1)^(n-1).
func (s *sample) tally(y Tally) {
	if y.Best == 0 {
		return
	}
	n, last := float64(y.Caught), y.Best
	s.fall(y.Best, y.Half)
	s.constant += math.Log(n)
	rest := n - 1
	if y.Second > 0 {
		s.fall(y.Second, y.Half)
		s.constant += math.Log(n - 1)
		last, rest = y.Second, n-2
	}
	if rest > 0 {
		s.seen = append(s.seen, seen{math.Inf(-1), math.Log(beyond(last)), rest})
	}
}

// oneTimeFits tells whether a single hold time agrees with everything seen; then
// the likelihood grows without end as the law shrinks to that time.
func (s *sample) oneTimeFits() bool {
	low, high := math.Inf(-1), math.Inf(1)
	for _, o := range s.seen {
		low, high = math.Max(low, o.lo), math.Min(high, o.hi)
	}
	return low <= high
}

// onlySooner tells that nothing bounds the holds from below.
func (s *sample) onlySooner() bool {
	return !slices.ContainsFunc(s.seen, func(o seen) bool { return !math.IsInf(o.lo, -1) })
}

// score is the log-likelihood at z = a + b ln u, its gradient in (a, b) and its
// second derivatives. In these terms it is concave (Burridge 1981, JRSS B 43:41).
type score struct {
	v             float64
	da, db        float64
	daa, dab, dbb float64
}

func (s *sample) score(f shape, a, b float64) score {
	r := score{
		v:   s.constant - s.sumLog + s.exactFalls*math.Log(b),
		db:  s.exactFalls / b,
		dbb: -s.exactFalls / (b * b),
	}
	for _, o := range s.seen {
		zl, zh := a+b*o.lo, a+b*o.hi
		switch {
		case o.exact():
			r.add(o.times, o.lo, f.density(zl))
		case math.IsInf(o.hi, 1):
			r.add(o.times, o.lo, f.survival(zl))
		case math.IsInf(o.lo, -1):
			r.add(o.times, o.hi, f.distribution(zh))
		default:
			r.addBetween(o, f.between(zl, zh))
		}
	}
	return r
}

// add takes in a term at one time whose logarithm is x.
func (r *score) add(times, x float64, t slope) {
	r.v += times * t.v
	r.da += times * t.d
	r.db += times * t.d * x
	r.daa += times * t.dd
	r.dab += times * t.dd * x
	r.dbb += times * t.dd * x * x
}

// addBetween takes in a term of an interval.
func (r *score) addBetween(o seen, t slope2) {
	r.v += o.times * t.v
	r.da += o.times * (t.da + t.db)
	r.db += o.times * (t.da*o.lo + t.db*o.hi)
	r.daa += o.times * (t.daa + 2*t.dab + t.dbb)
	r.dab += o.times * (t.daa*o.lo + t.dab*(o.lo+o.hi) + t.dbb*o.hi)
	r.dbb += o.times * (t.daa*o.lo*o.lo + 2*t.dab*o.lo*o.hi + t.dbb*o.hi*o.hi)
}
