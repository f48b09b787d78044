package skill

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// levelSD is the sd of the level of a roster, logit: so wide that it says nothing,
// but a roster that passed everything still has a level.
const levelSD = 10

// roster is the joint posterior of the abilities of a roster in one component,
// one for every student and day with an observation, and of what all share: the
// level and the difficulties.
type roster struct {
	at     Component
	items  []Item    // those met; the column of items[c] is c+1
	seen   []Seen    // by student and day; Item is the column
	node   []int     // of each observation, its ability
	link   []float64 // precision of the step to an ability from the one before; 0 at a student's first
	theta  []float64
	global []float64 // the level, then the difficulties
}

// newRoster starts at the guesses. met[c] is which item column c+1 is.
func newRoster(at Component, items []Item, seen []Seen) (r *roster, met []int) {
	r = &roster{at: at, seen: inOrder(seen), global: []float64{0}}
	column := map[int]int{}
	for i := range r.seen {
		s := &r.seen[i]
		if column[s.Item] == 0 {
			met = append(met, s.Item)
			column[s.Item] = len(met)
			r.items = append(r.items, items[s.Item])
			r.global = append(r.global, items[s.Item].Difficulty)
		}
		s.Item = column[s.Item]
		r.place(i)
	}
	r.theta = make([]float64, len(r.link))
	for n := range r.theta {
		r.theta[n] = at.Mean
	}
	return r, met
}

// place gives observation i its ability: that of the one before where it is of
// the same student and day.
func (r *roster) place(i int) {
	s := &r.seen[i]
	switch {
	case i == 0 || r.seen[i-1].Student != s.Student:
		r.link = append(r.link, 0)
	case r.seen[i-1].Day != s.Day:
		r.link = append(r.link, 1/(r.at.Noise*float64(s.Day-r.seen[i-1].Day)))
	}
	r.node = append(r.node, len(r.link)-1)
}

func (r *roster) eta(i int, theta, global []float64) float64 {
	s := &r.seen[i]
	return theta[r.node[i]] - global[s.Item] + s.Offset
}

// value is the log posterior up to a constant.
func (r *roster) value(theta, global []float64) float64 {
	var sum float64
	for i := range r.seen {
		sum += r.seen[i].value(r.eta(i, theta, global))
	}
	for n, link := range r.link {
		if link == 0 {
			d := (theta[n] - r.at.Mean - global[0]) / r.at.SD
			sum -= d * d / 2
			continue
		}
		d := theta[n] - theta[n-1]
		sum -= link * d * d / 2
	}
	for c, it := range r.items {
		d := (global[c+1] - it.Difficulty) / it.Doubt
		sum -= d * d / 2
	}
	return sum - square(global[0]/levelSD)/2
}

// slopes are the gradient of the log posterior and what is needed of its
// curvature (minus the second derivatives).
type slopes struct {
	theta, diagonal []float64 // by ability
	global, own     []float64 // by column
	curve           []float64 // by observation
}

func (r *roster) slopes() slopes {
	n, g := len(r.theta), len(r.global)
	s := slopes{make([]float64, n), make([]float64, n), make([]float64, g), make([]float64, g), make([]float64, len(r.seen))}
	for i := range r.seen {
		d, h := r.seen[i].slope(r.eta(i, r.theta, r.global))
		s.theta[r.node[i]] += d
		s.diagonal[r.node[i]] += h
		s.global[r.seen[i].Item] -= d
		s.own[r.seen[i].Item] += h
		s.curve[i] = h
	}
	for n := range r.link {
		r.stepSlopes(n, &s)
	}
	s.global[0] -= r.global[0] / (levelSD * levelSD)
	s.own[0] += 1. / (levelSD * levelSD)
	for c, it := range r.items {
		precision := 1 / (it.Doubt * it.Doubt)
		s.global[c+1] -= precision * (r.global[c+1] - it.Difficulty)
		s.own[c+1] += precision
	}
	return s
}

// stepSlopes adds the prior of ability n: the intake, or the step from before.
func (r *roster) stepSlopes(n int, s *slopes) {
	link := r.link[n]
	if link == 0 {
		precision := 1 / (r.at.SD * r.at.SD)
		d := precision * (r.theta[n] - r.at.Mean - r.global[0])
		s.theta[n] -= d
		s.diagonal[n] += precision
		s.global[0] += d
		s.own[0] += precision
		return
	}
	d := link * (r.theta[n] - r.theta[n-1])
	s.theta[n] -= d
	s.theta[n-1] += d
	s.diagonal[n] += link
	s.diagonal[n-1] += link
}

// solveAbilities solves with the curvature of the abilities, tridiagonal within
// each student: its columns are their curvature with each global, and their
// gradient last.
func (r *roster) solveAbilities(s *slopes) *mat.Dense {
	x := mat.NewDense(len(r.theta), len(r.global)+1, nil)
	for i := range r.seen {
		at := x.RawRowView(r.node[i])
		at[r.seen[i].Item] -= s.curve[i]
	}
	pivot := make([]float64, len(r.theta))
	for n, link := range r.link {
		row := x.RawRowView(n)
		row[len(row)-1] = s.theta[n]
		pivot[n] = s.diagonal[n]
		if link == 0 {
			row[0] -= 1 / (r.at.SD * r.at.SD)
			continue
		}
		pivot[n] -= link * link / pivot[n-1]
		addScaled(row, link/pivot[n-1], x.RawRowView(n-1))
	}
	for n := len(r.link) - 1; n >= 0; n-- {
		row := x.RawRowView(n)
		if n+1 < len(r.link) && r.link[n+1] > 0 {
			addScaled(row, r.link[n+1], x.RawRowView(n+1))
		}
		for c := range row {
			row[c] /= pivot[n]
		}
	}
	return x
}

func addScaled(to []float64, by float64, from []float64) {
	for i, v := range from {
		to[i] += by * v
	}
}

// reduce eliminates the abilities: the gradient and the curvature of the log
// posterior of the globals at the best abilities for them.
func (r *roster) reduce(s *slopes, x *mat.Dense) (*mat.VecDense, *mat.SymDense) {
	g := len(r.global)
	rows := mat.NewDense(g, g+1, nil)
	for i := range r.seen {
		addScaled(rows.RawRowView(r.seen[i].Item), s.curve[i], x.RawRowView(r.node[i]))
	}
	for n, link := range r.link {
		if link == 0 {
			addScaled(rows.RawRowView(0), 1/(r.at.SD*r.at.SD), x.RawRowView(n))
		}
	}
	gradient, curvature := mat.NewVecDense(g, nil), mat.NewSymDense(g, nil)
	for c := range g {
		gradient.SetVec(c, s.global[c]+rows.At(c, g))
		for d := range c + 1 {
			curvature.SetSym(c, d, (rows.At(c, d)+rows.At(d, c))/2)
		}
		curvature.SetSym(c, c, curvature.At(c, c)+s.own[c])
	}
	return gradient, curvature
}

// climb goes to the mode and gives the covariance of the globals there.
func (r *roster) climb() (*mat.SymDense, error) {
	for range 100 {
		s := r.slopes()
		x := r.solveAbilities(&s)
		gradient, curvature := r.reduce(&s, x)
		covariance, err := inverse(curvature)
		if err != nil {
			return nil, err
		}
		var global, theta mat.VecDense
		global.MulVec(covariance, gradient)
		g := len(r.global)
		theta.MulVec(x.Slice(0, len(r.theta), 0, g), &global)
		theta.SubVec(x.ColView(g), &theta)
		r.move(theta.RawVector().Data, global.RawVector().Data)
		if math.Max(mat.Norm(&theta, math.Inf(1)), mat.Norm(&global, math.Inf(1))) < 1e-9 {
			return covariance, nil
		}
	}
	return nil, ErrNoFit
}

// move steps, halving while the posterior falls.
func (r *roster) move(theta, global []float64) {
	from := r.value(r.theta, r.global)
	nextTheta, nextGlobal := make([]float64, len(theta)), make([]float64, len(global))
	for scale := 1.; scale > 1e-6; scale /= 2 {
		copy(nextTheta, r.theta)
		copy(nextGlobal, r.global)
		addScaled(nextTheta, scale, theta)
		addScaled(nextGlobal, scale, global)
		if r.value(nextTheta, nextGlobal) >= from-1e-9*math.Abs(from) {
			break
		}
	}
	r.theta, r.global = nextTheta, nextGlobal
}

func inverse(of *mat.SymDense) (*mat.SymDense, error) {
	var root mat.Cholesky
	if !root.Factorize(of) {
		return nil, ErrNoFit
	}
	var out mat.SymDense
	if err := root.InverseTo(&out); err != nil {
		return nil, fmt.Errorf("%w: %v", ErrNoFit, err)
	}
	return &out, nil
}
