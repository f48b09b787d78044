package skill

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Guesses of when an effect is not told apart from something else.
const (
	leastAlone   = widest // sd of an effect, logit a set, that the tests alone must reach
	partner      = .5     // share, against the strongest, of what it is confused with
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
		if p.between == 0 {
			continue
		}
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

// refuse takes back the effects that cannot be told apart from something else.
func (g *Growth) refuse(m *mixed, points []point) {
	best := likeliest(points)
	plain := m.gather(variances{noise: m.at.Noise, intake: m.at.SD})
	fully := best.variances
	fully.intake = believed
	trusting := m.fit(fully, m.gather(fully))
	for i, j := range m.drills {
		e := &g.Effects[j]
		evidence, with := m.confused(plain.information, i)
		if evidence == "" && returns(best, &trusting, column(i)) {
			evidence = Returns
		}
		if evidence != "" {
			*e = Effect{Students: e.Students, Sets: e.Sets, Evidence: evidence, With: with}
		}
	}
}

// confused says what a drill of the model cannot be told apart from, if
// anything: where the tests would tell its effect were all else known, but leave
// it open as nothing is.
func (m *mixed) confused(information *mat.SymDense, drill int) (Evidence, []int) {
	keep := []int{levelColumn, weeksColumn, otherColumn}
	for i := range m.drills {
		keep = append(keep, column(i))
	}
	scaled := mat.NewSymDense(len(keep), nil)
	scale := func(c int) float64 { return math.Sqrt(math.Max(information.At(c, c), 1e-12)) }
	for a, c := range keep {
		for b, d := range keep[:a] {
			scaled.SetSym(a, b, information.At(c, d)/scale(c)/scale(d))
		}
		scaled.SetSym(a, a, 1+1e-9) // columns may be the same, or empty
	}
	inverted, err := inverse(scaled)
	check(err == nil, "an information is positive")
	own := len(keep) - len(m.drills) + drill
	known := 1 / scale(column(drill)) // the sd were all else known
	if open := known * math.Sqrt(inverted.At(own, own)); known > leastAlone || open <= leastAlone {
		return "", nil
	}
	return m.partners(keep, inverted, own)
}

// partners is what stands in for a column where the others foretell it.
func (m *mixed) partners(keep []int, inverted *mat.SymDense, own int) (Evidence, []int) {
	strongest := 0.
	for c := range keep {
		if c != own {
			strongest = math.Max(strongest, math.Abs(inverted.At(own, c)))
		}
	}
	var with []int
	for c, col := range keep {
		if c != own && col >= firstDrill && math.Abs(inverted.At(own, c)) >= partner*strongest {
			with = append(with, m.drills[col-firstDrill])
		}
	}
	if len(with) == 0 {
		return Steady, nil
	}
	slices.Sort(with)
	return Together, with
}

// returns says whether believing first tests fully changes the answer.
func returns(p, trusting *point, column int) bool {
	d := math.Abs(trusting.mean[column] - p.mean[column])
	v, w := trusting.cov.At(column, column), p.cov.At(column, column)
	return d > significance*math.Sqrt(math.Max(v-w, 0)) && d > mattersFrom*math.Sqrt(w)
}
