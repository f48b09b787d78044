package skill

import "math"

// rule is a quadrature for the expectation under N(0, 1).
type rule struct{ at, weight []float64 }

// trapezoid is the rule with nodes at every multiple of step up to n·step on
// either side. For functions analytic within r of the real axis its error falls
// as e^(-2·pi·r/step) (Trefethen & Weideman 2014, SIAM Review 56:385).
func trapezoid(step float64, n int) rule {
	var r rule
	var sum float64
	for i := -n; i <= n; i++ {
		u := float64(i) * step
		r.at = append(r.at, u)
		r.weight = append(r.weight, math.Exp(-u*u/2))
		sum += r.weight[i+n]
	}
	for i := range r.weight {
		r.weight[i] /= sum
	}
	return r
}

var (
	fine   = trapezoid(.5, 10)
	coarse = trapezoid(.75, 4)
)

// five is the Gauss-Hermite rule of five nodes for N(0, 1), exact up to the ninth
// power (Abramowitz & Stegun 1964, table 25.10, nodes times √2, weights over √π).
var five = rule{
	at:     []float64{-2.8569700138728, -1.3556261799742, 0, 1.3556261799742, 2.8569700138728},
	weight: []float64{.0112574113277, .2220759220056, .5333333333333, .2220759220056, .0112574113277},
}

// meanSigmoid is E[1/(1+e^-x)], x ~ N(mean, sd²).
func meanSigmoid(mean, sd float64) float64 {
	var sum float64
	for i, u := range fine.at {
		sum += fine.weight[i] * sigmoid(mean+sd*u)
	}
	return sum
}

const sqrt2Pi = 2.50662827463100050242

// normalCDF is the standard normal distribution function.
func normalCDF(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
