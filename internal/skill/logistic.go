package skill

import "math"

// logistic is a log-likelihood of one linear predictor eta. Every observation
// of this package about X = eta + scale·L, L standard logistic, is a weighted
// sum over a few edges x of log P(X < x) and log P(X >= x):
//
//	k of n tries caught             edge 0, scale 1: k above, n-k below
//	hold still going at t           edge y(t): 1 above
//	hold of exactly t               edge y(t): 1 above, 1 below; constant -ln scale
//	hold between a and b            edge y(a): 1 above; edge y(b): 1 below; constant ln(1 - e^(-(y(b)-y(a))/scale))
//	n-2 holds no longer than t      edge y(t): n-2 below
//
// The third and fourth lines are exact identities of the logistic law
// (F' = F(1-F), F(b)-F(a) = F(b)(1-F(a))(1-e^(a-b))); they keep the likelihood
// of an interval smooth and its logarithm finite far in the tails. Each term is
// concave in eta, hence the sum.
type logistic struct {
	scale    float64
	constant float64
	edges    [5]edge
	n        int
}

type edge struct{ at, below, above float64 }

// add puts an edge in. An edge at -Inf has everything above it and says nothing.
func (l *logistic) add(at, below, above float64) {
	if math.IsInf(at, -1) && below == 0 {
		return
	}
	l.edges[l.n] = edge{at, below, above}
	l.n++
}

// between adds an observation known to lie in [lo, hi]; lo = hi is exact.
func (l *logistic) between(lo, hi float64) {
	if lo == hi {
		l.add(lo, 1, 1)
		l.constant -= math.Log(l.scale)
		return
	}
	l.add(lo, 0, 1)
	l.add(hi, 1, 0)
	l.constant += math.Log(-math.Expm1((lo - hi) / l.scale))
}

// binomial is the likelihood of k successes in n with success logit eta,
// without the binomial coefficient.
func binomial(n, k float64) logistic {
	l := logistic{scale: 1}
	l.add(0, n-k, k)
	return l
}

// tempered is the likelihood to a power under 1: what a model that is not the
// truth may claim to have learnt from a try (Bissiri, Holmes & Walker 2016, JRSS
// B 78:1103, on general updating).
func (l logistic) tempered() logistic {
	for i := range l.edges[:l.n] {
		l.edges[i].below *= temper
		l.edges[i].above *= temper
	}
	l.constant *= temper
	return l
}

// slope is the gradient d l/d eta and the curvature -d² l/d eta² >= 0.
func (l logistic) slope(eta float64) (g, h float64) {
	for _, e := range l.edges[:l.n] {
		p, q := sigmoids((e.at - eta) / l.scale)
		g += e.above*p - e.below*q
		h += (e.above + e.below) * p * q
	}
	return g / l.scale, h / (l.scale * l.scale)
}

// value is the log-likelihood at eta.
func (l logistic) value(eta float64) float64 {
	sum := l.constant
	for _, e := range l.edges[:l.n] {
		z := (e.at - eta) / l.scale
		tail := math.Log1p(math.Exp(-math.Abs(z)))
		sum += e.below*(math.Min(z, 0)-tail) + e.above*(math.Min(-z, 0)-tail)
	}
	return sum
}

// normal is the log-likelihood of a value observed with normal error.
type normal struct{ seen, variance float64 }

func (l normal) slope(eta float64) (g, h float64) {
	return (l.seen - eta) / l.variance, 1 / l.variance
}

func (l normal) value(eta float64) float64 {
	d := l.seen - eta
	return -(d*d/l.variance + math.Log(2*math.Pi*l.variance)) / 2
}

// bound is the log-likelihood of a value known to lie beyond at, with normal
// error: ln Phi((eta - at)/sd), or its mirror where it lies below. Log-concave.
type bound struct {
	at, sd float64
	below  bool
}

func (l bound) z(eta float64) (z, sign float64) {
	z = (eta - l.at) / l.sd
	if l.below {
		return -z, -1
	}
	return z, 1
}

func (l bound) value(eta float64) float64 {
	z, _ := l.z(eta)
	return logNormalCDF(z)
}

func (l bound) slope(eta float64) (g, h float64) {
	z, sign := l.z(eta)
	mills := math.Exp(-z*z/2-logNormalCDF(z)) / sqrt2Pi
	return sign * mills / l.sd, mills * (z + mills) / (l.sd * l.sd)
}

// logNormalCDF is ln Phi(z); far below 0 by the first terms of Mills' ratio
// (Abramowitz & Stegun 26.2.12).
func logNormalCDF(z float64) float64 {
	if z > -30 {
		return math.Log(math.Erfc(-z/math.Sqrt2) / 2)
	}
	return -z*z/2 - math.Log(-z*sqrt2Pi) + math.Log1p(-1/(z*z)+3/(z*z*z*z))
}

// sigmoids are 1/(1+e^-z) and 1/(1+e^z), each to full relative accuracy.
func sigmoids(z float64) (p, q float64) {
	e := math.Exp(-math.Abs(z))
	big := 1 / (1 + e)
	if z >= 0 {
		return big, e * big
	}
	return e * big, big
}

func sigmoid(z float64) float64 {
	p, _ := sigmoids(z)
	return p
}

func logit(p float64) float64 { return math.Log(p) - math.Log1p(-p) }
