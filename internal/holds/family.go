package holds

import "math"

// Family is a law for U, the seconds held beyond the first. All are of the form
// ln U = Eta + Sigma W, so that exp(Eta) is the scale in seconds.
type Family string

const (
	Exponential Family = "exponential"  // Sigma is 1; P(U > u) = exp(-u/e^Eta), mean e^Eta
	Weibull     Family = "weibull"      // P(U > u) = exp(-(u/e^Eta)^(1/Sigma)); Sigma over 1: falls grow rarer with time
	LogLogistic Family = "log-logistic" // P(U > u) = 1/(1 + (u/e^Eta)^(1/Sigma)); median e^Eta
)

// shape is the law of W: the logarithms of its density, survival, distribution
// and of the chance of an interval, each with derivatives. All four are concave.
type shape interface {
	density(z float64) slope
	survival(z float64) slope
	distribution(z float64) slope
	between(a, b float64) slope2
}

// slope is a value with its first and second derivative.
type slope struct{ v, d, dd float64 }

// slope2 is a function of two variables with its partial derivatives.
type slope2 struct{ v, da, db, daa, dab, dbb float64 }

func (f Family) shape() shape {
	switch f {
	case Exponential, Weibull:
		return extreme{}
	case LogLogistic:
		return logistic{}
	}
	panic("holds: unknown family \"" + string(f) + "\", want exponential, weibull or log-logistic")
}

// parameters is how many numbers the family leaves open.
func (f Family) parameters() int {
	if f == Exponential {
		return 1
	}
	return 2
}

// gap is ln(1 - exp(-x)) for x > 0.
func gap(x float64) slope {
	k := 1 / math.Expm1(x)
	return slope{math.Log(-math.Expm1(-x)), k, -k * (1 + k)}
}

// logistic has P(W > z) = 1/(1 + e^z).
type logistic struct{}

func (logistic) survival(z float64) slope {
	f := 1 / (1 + math.Exp(-z))
	g := 1 / (1 + math.Exp(z))
	v := -math.Log1p(math.Exp(z))
	if z > 30 {
		v = -z
	}
	return slope{v, -f, -f * g}
}

func (l logistic) distribution(z float64) slope {
	s := l.survival(-z)
	return slope{s.v, -s.d, s.dd}
}

func (l logistic) density(z float64) slope {
	s, f := l.survival(z), l.distribution(z)
	return slope{s.v + f.v, s.d + f.d, s.dd + f.dd}
}

// between uses F(b) - F(a) = F(b) S(a) (1 - e^(a-b)).
func (l logistic) between(a, b float64) slope2 {
	s, f, g := l.survival(a), l.distribution(b), gap(b-a)
	return slope2{s.v + f.v + g.v, s.d - g.d, f.d + g.d, s.dd + g.dd, -g.dd, f.dd + g.dd}
}

// extreme is the law of smallest values: P(W > z) = exp(-e^z).
type extreme struct{}

func (extreme) survival(z float64) slope {
	w := math.Exp(z)
	return slope{-w, -w, -w}
}

func (extreme) density(z float64) slope {
	w := math.Exp(z)
	return slope{z - w, 1 - w, -w}
}

func (extreme) distribution(z float64) slope {
	w := math.Exp(z)
	if w < 1e-8 {
		return slope{z - w/2, 1 - w/2, -w / 2}
	}
	g := gap(w)
	return slope{g.v, w * g.d, w*g.d + w*w*g.dd}
}

// between uses F(b) - F(a) = S(a) (1 - exp(-(e^b - e^a))).
func (extreme) between(a, b float64) slope2 {
	wa, wb := math.Exp(a), math.Exp(b)
	g := gap(wb - wa)
	return slope2{
		v:  g.v - wa,
		da: -wa - g.d*wa, daa: -wa - g.d*wa + g.dd*wa*wa,
		db: g.d * wb, dbb: g.d*wb + g.dd*wb*wb,
		dab: -g.dd * wa * wb,
	}
}
