package skill

import "math"

// loglik is a log-concave log-likelihood of one linear predictor.
type loglik interface {
	slope(eta float64) (gradient, curvature float64)
	value(eta float64) float64
}

// step is what one observation does to a normal predictor eta ~ N(m, v): the
// whole state x with cov(x, eta) = a moves by a·shift, its covariance falls by
// a·aᵀ·shrink.
type step struct {
	shift    float64 // (mode - m)/v: the score of the prediction, mean 0 under the model
	shrink   float64 // (v - vn)/v²: its variance under the model
	doubt    float64 // share of the prediction's variance that is the predictor's own, 0 to 1
	evidence float64 // log of the probability the prediction gave the observation
}

// laplace approximates the posterior of eta ~ N(m, v) under l by the normal at
// its mode with variance 1/(1/v + h), h the curvature of l there (Tierney &
// Kadane 1986, JASA 81:82). Exact for a normal likelihood: the
// Kalman update. A predictor without doubt (v <= 0, rounding included) is left
// where it is.
func laplace[L loglik](m, v float64, l L) step {
	if v <= 0 {
		return step{evidence: l.value(m)}
	}
	t, h := mode(m, v, l)
	d := t - m
	return step{
		shift:    d / v,
		shrink:   h / (1 + v*h),
		doubt:    v * h / (1 + v*h),
		evidence: l.value(t) - d*d/(2*v) - math.Log1p(v*h)/2,
	}
}

// mode maximises l(t) - (t-m)²/2v and gives the curvature of l there. The
// gradient of l falls in eta, so the mode lies between m and m + v·l'(m). A
// Newton step that would leave that bracket, or is over half as long as the one
// before (Newton can swing from side to side for long), halves the bracket
// instead.
func mode[L loglik](m, v float64, l L) (t, h float64) {
	g, h := l.slope(m)
	lo, hi := math.Min(m, m+v*g), math.Max(m, m+v*g)
	t = m + v*g/(1+v*h)
	last := hi - lo
	for range 200 {
		g, h = l.slope(t)
		d := v*g - (t - m)
		move := d / (1 + v*h)
		if math.Abs(move) <= 1e-8*math.Sqrt(v/(1+v*h)) {
			return t + move, h
		}
		if d > 0 {
			lo = t
		} else {
			hi = t
		}
		if next := t + move; next <= lo || next >= hi || math.Abs(move) > last/2 {
			move = lo + (hi-lo)/2 - t
		}
		t += move
		last = math.Abs(move)
	}
	return t, h
}

// fold moves the mean m and the covariance p (row by row, kept exactly
// symmetric) of a state whose covariance with the predictor is a.
func fold(m, p, a []float64, s step) {
	n := len(m)
	for i, ai := range a {
		m[i] += ai * s.shift
		ai *= s.shrink
		for j := i; j < n; j++ {
			p[i*n+j] -= ai * a[j]
			p[j*n+i] = p[i*n+j]
		}
	}
}
