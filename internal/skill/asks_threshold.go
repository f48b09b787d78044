package skill

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// thresholds is the posterior of the asks at one sharpness.
type thresholds struct {
	ask      []float64
	guess    []AskGuess
	students []arrived
	cov      *mat.SymDense
}

// arrived is one student's levels and, of each component asked, the sharpness
// that is left with the doubt of the level.
type arrived struct {
	level, slope []float64
	reached      bool
	weight       float64
}

func newThresholds(sharp float64, asked []int, guess []AskGuess, students []Arrival) (f thresholds) {
	for _, k := range asked {
		f.guess = append(f.guess, guess[k])
		f.ask = append(f.ask, guess[k].Mean)
	}
	for _, s := range students {
		a := arrived{reached: s.Reached, weight: s.Weight}
		if a.weight == 0 {
			a.weight = 1
		}
		for _, k := range asked {
			l := s.Levels[k]
			a.level = append(a.level, l.Mean)
			a.slope = append(a.slope, sharp/math.Sqrt(1+math.Pi*square(sharp*l.SD)/8))
		}
		f.students = append(f.students, a)
	}
	return f
}

// pass is the chance that component i is there, and that it is not.
func (a *arrived) pass(i int, ask float64) (p, q float64) {
	return sigmoids(a.slope[i] * (a.level[i] - ask))
}

// chance is that all are there, and that not all are.
func (a *arrived) chance(ask []float64) (all, not float64) {
	logs := 0.
	for i := range ask {
		z := a.slope[i] * (a.level[i] - ask[i])
		logs += math.Min(z, 0) - math.Log1p(math.Exp(-math.Abs(z)))
	}
	return math.Exp(logs), -math.Expm1(logs)
}

// value is the log posterior up to a constant.
func (f *thresholds) value(ask []float64) float64 {
	var sum float64
	for i := range f.students {
		s := &f.students[i]
		all, not := s.chance(ask)
		if s.reached {
			sum += s.weight * math.Log(all)
		} else {
			sum += s.weight * math.Log(not)
		}
	}
	for i, g := range f.guess {
		sum -= square((ask[i]-g.Mean)/g.SD) / 2
	}
	return sum
}

// slopes is the gradient of the log posterior and its curvature.
func (f *thresholds) slopes() ([]float64, *mat.SymDense) {
	n := len(f.ask)
	gradient, curvature := make([]float64, n), mat.NewSymDense(n, nil)
	for i, g := range f.guess {
		gradient[i] = (g.Mean - f.ask[i]) / (g.SD * g.SD)
		curvature.SetSym(i, i, 1/(g.SD*g.SD))
	}
	for s := range f.students {
		f.students[s].slopes(f.ask, gradient, curvature)
	}
	return gradient, curvature
}

// slopes adds one student's.
func (a *arrived) slopes(ask, gradient []float64, curvature *mat.SymDense) {
	all, not := a.chance(ask)
	odds := all / not
	for i := range ask {
		p, q := a.pass(i, ask[i])
		if a.reached {
			gradient[i] -= a.weight * a.slope[i] * q
			curvature.SetSym(i, i, curvature.At(i, i)+a.weight*square(a.slope[i])*p*q)
			continue
		}
		gradient[i] += a.weight * a.slope[i] * q * odds
		curvature.SetSym(i, i, curvature.At(i, i)-a.weight*square(a.slope[i])*p*q*odds)
		for j := range i + 1 {
			_, r := a.pass(j, ask[j])
			curvature.SetSym(i, j, curvature.At(i, j)+a.weight*a.slope[i]*q*a.slope[j]*r*odds/not)
		}
	}
}
