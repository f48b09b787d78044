package skill

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Guesses of when an effect is told apart from everything else.
const (
	leastAlone   = .05 // sd, logit a set, to which the tests alone must tell it
	partner      = .5  // share, against the strongest, of what it is confused with
	significance = 1.96
	mattersFrom  = .5 // of the estimate's sd
)

// individuals fills in the parts of the students who did a drill between tests.
func (g *Growth) individuals(m *mixed, points []point) {
	for i := range m.courses {
		c := &m.courses[i]
		parts := m.parts(c, points)
		for d, j := range m.drills {
			if c.practised[j] {
				g.Effects[j].Individual = append(g.Effects[j].Individual, parts[d])
			}
		}
	}
}

// parts is one student's part of every drill in the model, over the points.
func (m *mixed) parts(c *course, points []point) []Individual {
	x := m.design(c)
	mean, second := make([]float64, len(m.drills)), make([]float64, len(m.drills))
	out := make([]Individual, len(m.drills))
	for i := range points {
		p := &points[i]
		root := m.covariance(c, p.variances)
		for d := range m.drills {
			part, variance, weight := predict(root, x, c, p, column(d))
			mean[d] += p.weight * part
			second[d] += p.weight * (variance + square(part))
			out[d].Weight += p.weight * weight
		}
	}
	for d := range out {
		out[d].Student = c.student
		out[d].Part = learned(mean[d], second[d]-square(mean[d]))
	}
	return out
}

// predict is the best linear predictor of a student's part of one drill at one
// point, its variance with that of the group's line in it, and its weight.
func predict(root *mat.Cholesky, x *mat.Dense, c *course, p *point, column int) (part, variance, weight float64) {
	sets := x.ColView(column)
	var a, line, through mat.VecDense
	mustSolve(root.SolveVecTo(&a, sets))
	line.MulVec(x, mat.NewVecDense(len(p.mean), p.mean))
	line.SubVec(mat.NewVecDense(len(c.value), c.value), &line)
	tau2 := square(p.between)
	weight = tau2 * mat.Dot(sets, &a)
	through.MulVec(x.T(), &a)
	return tau2 * mat.Dot(&a, &line), tau2*(1-weight) + square(tau2)*mat.Inner(&through, p.cov, &through), weight
}

// judge says how far each effect is told, and takes back those that cannot be
// told apart from something else.
func (g *Growth) judge(m *mixed, points []point) {
	best := likeliest(points)
	fully := best.variances
	fully.intake = believed
	trusting := m.fit(fully, m.gather(fully))
	alone := m.alone()
	for i, j := range m.drills {
		e := &g.Effects[j]
		known, open := alone.sd(column(i))
		switch {
		case e.Students < LeastStudents || known > leastAlone:
			e.Evidence = Few
		case open > leastAlone:
			e.Evidence, e.With = alone.partners(column(i), m.drills)
		case returns(best, &trusting, column(i)):
			e.Evidence = Returns
		default:
			e.Evidence = Enough
		}
		if e.Evidence != Few && e.Evidence != Enough {
			e.Learned, e.Individual = Learned{}, nil
		}
	}
}

// alone is what the tests tell without the priors of effects.
type alone struct {
	scale    []float64     // by column, the root of its information
	inverted *mat.SymDense // of the information, every column scaled to 1
}

func (m *mixed) alone() alone {
	information := m.gather(variances{noise: m.at.Noise, intake: m.at.SD}).information
	n := information.SymmetricDim()
	scaled, a := mat.NewSymDense(n, nil), alone{scale: make([]float64, n)}
	for c := range n {
		a.scale[c] = math.Sqrt(math.Max(information.At(c, c), 1e-12))
		for d := range c {
			scaled.SetSym(c, d, information.At(c, d)/a.scale[c]/a.scale[d])
		}
		scaled.SetSym(c, c, 1+1e-9) // columns may be the same, or empty
	}
	var err error
	a.inverted, err = inverse(scaled)
	check(err == nil, "an information is positive")
	return a
}

// sd is that of a column were all others known, and with them unknown too.
func (a *alone) sd(column int) (known, open float64) {
	known = 1 / a.scale[column]
	return known, known * math.Sqrt(a.inverted.At(column, column))
}

// partners is what stands in for a drill's column where the others foretell it:
// other drills, or time and all other practice.
func (a *alone) partners(own int, drills []int) (Evidence, []int) {
	strength := func(c int) float64 { return math.Abs(a.inverted.At(own, c)) }
	strongest := 0.
	for c := range a.scale {
		if c != own {
			strongest = math.Max(strongest, strength(c))
		}
	}
	var with []int
	for i, j := range drills {
		if c := column(i); c != own && strength(c) >= partner*strongest {
			with = append(with, j)
		}
	}
	if len(with) == 0 {
		return Steady, nil
	}
	return Together, with
}

// returns says whether believing first tests fully changes the answer.
func returns(p, trusting *point, column int) bool {
	d := math.Abs(trusting.mean[column] - p.mean[column])
	v, w := trusting.cov.At(column, column), p.cov.At(column, column)
	return d > significance*math.Sqrt(math.Max(v-w, 0)) && d > mattersFrom*math.Sqrt(w)
}
