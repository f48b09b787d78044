package skill

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// What drills may give, guesses: the sds that effects may have among drills and
// between students, logit a set, and multiples of a component's process noise.
// Neither sd goes down to 0: nobody believes that drills or students are all
// alike, and a grid that allows it promises too narrow intervals.
var (
	amongDrills   = []float64{.01, .02, .04, widest}
	betweenPeople = []float64{.0075, .015, .03, .06}
	noiseTimes    = []float64{.25, 1, 4}
)

const (
	widest   = .1 // sd of the effects of drills at most, logit a set
	believed = 10 // sd at intake that leaves a first test to speak for itself, logit
	ruledOut = 1e-3
)

// Columns of the mixed model; the drills follow.
const (
	levelColumn = iota
	weeksColumn
	otherColumn
	usualColumn
	firstDrill
)

func column(drill int) int { return firstDrill + drill }

// wide are the sds of the priors of level, drift a week, other sets and the usual
// effect, in logits: guesses, meant to say next to nothing.
var wide = [firstDrill]float64{3, 1, .1, .2}

// mixed is the linear mixed model of one component.
type mixed struct {
	at      Component
	courses []course
	drills  []int // those in it
}

// variances are what a fit of the model takes as known.
type variances struct{ among, between, noise, intake float64 }

// design is the columns of one course; the usual effect has none of its own.
func (m *mixed) design(c *course) *mat.Dense {
	x := mat.NewDense(len(c.days), firstDrill+len(m.drills), nil)
	for t, day := range c.days {
		x.Set(t, levelColumn, 1)
		x.Set(t, weeksColumn, day/7)
		x.Set(t, otherColumn, c.other[t])
		for i, j := range m.drills {
			x.Set(t, column(i), c.sets[j][t])
		}
	}
	return x
}

// covariance is that of one course's tests around the group's line, factorised.
func (m *mixed) covariance(c *course, v variances) *mat.Cholesky {
	n := len(c.days)
	cov := mat.NewSymDense(n, nil)
	for s := range n {
		for t := range s + 1 {
			sum := square(v.intake) + v.noise*c.days[t]
			for _, j := range m.drills {
				sum += square(v.between) * c.sets[j][s] * c.sets[j][t]
			}
			if s == t {
				sum += square(c.sd[s])
			}
			cov.SetSym(s, t, sum)
		}
	}
	var root mat.Cholesky
	check(root.Factorize(cov), "tests have doubts of their own")
	return &root
}

// gathered is what the courses say of the columns, whatever the prior.
type gathered struct {
	information  *mat.SymDense
	score        *mat.VecDense
	misfit, logs float64 // y'V⁻¹y and ln det V
}

func (m *mixed) gather(v variances) gathered {
	n := firstDrill + len(m.drills)
	g := gathered{information: mat.NewSymDense(n, nil), score: mat.NewVecDense(n, nil)}
	for i := range m.courses {
		c := &m.courses[i]
		root, x, y := m.covariance(c, v), m.design(c), mat.NewVecDense(len(c.value), c.value)
		var vx, xvx mat.Dense
		var vy, xvy mat.VecDense
		mustSolve(root.SolveTo(&vx, x))
		mustSolve(root.SolveVecTo(&vy, y))
		xvx.Mul(x.T(), &vx)
		xvy.MulVec(x.T(), &vy)
		for a := range n {
			for b := range a + 1 {
				g.information.SetSym(a, b, g.information.At(a, b)+(xvx.At(a, b)+xvx.At(b, a))/2)
			}
		}
		g.score.AddVec(g.score, &xvy)
		g.misfit += mat.Dot(y, &vy)
		g.logs += root.LogDet()
	}
	return g
}

// mustSolve: a covariance with the tests' doubts in it can be solved, if not
// always to the last digit.
func mustSolve(err error) {
	if _, inexact := err.(mat.Condition); err != nil && !inexact {
		panic("skill: " + err.Error())
	}
}

// prior is the precision of the columns, where effects vary by among.
func (m *mixed) prior(among float64) *mat.SymDense {
	p := mat.NewSymDense(firstDrill+len(m.drills), nil)
	for c, sd := range wide {
		p.SetSym(c, c, 1/square(sd))
	}
	each := 1 / square(among)
	for i := range m.drills {
		p.SetSym(column(i), column(i), each)
		p.SetSym(usualColumn, column(i), -each)
	}
	p.SetSym(usualColumn, usualColumn, 1/square(wide[usualColumn])+each*float64(len(m.drills)))
	return p
}

// point is the fit at one choice of variances.
type point struct {
	variances
	mean   []float64
	cov    *mat.SymDense
	weight float64 // log of the evidence, then the share of all points
}

func (m *mixed) fit(v variances, g gathered) point {
	prior := m.prior(v.among)
	var before, after mat.Cholesky
	check(before.Factorize(prior), "the prior of effects is proper")
	var precision, cov mat.SymDense
	precision.AddSym(prior, g.information)
	check(after.Factorize(&precision), "the prior of effects is proper")
	mustSolve(after.InverseTo(&cov))
	var mean mat.VecDense
	mean.MulVec(&cov, g.score)
	evidence := -(g.logs + g.misfit - mat.Dot(g.score, &mean) + after.LogDet() - before.LogDet()) / 2
	return point{v, mean.RawVector().Data, &cov, evidence}
}

// grid fits at every choice of variances and weighs the fits; those that the
// tests all but rule out are left away.
func (m *mixed) grid() (points []point) {
	var logs []float64
	for _, times := range noiseTimes {
		for _, between := range betweenPeople {
			v := variances{between: between, noise: times * m.at.Noise, intake: m.at.SD}
			g := m.gather(v)
			for _, v.among = range amongDrills {
				points = append(points, m.fit(v, g))
				logs = append(logs, points[len(points)-1].weight)
			}
		}
	}
	kept, sum := points[:0], 0.
	for i, w := range weights(logs) {
		if w > ruledOut {
			points[i].weight = w
			kept = append(kept, points[i])
			sum += w
		}
	}
	for i := range kept {
		kept[i].weight /= sum
	}
	return kept
}

// average is a column's mean and variance over the points.
func average(points []point, column int) Learned {
	var mean, second float64
	for i := range points {
		p := &points[i]
		mean += p.weight * p.mean[column]
		second += p.weight * (p.cov.At(column, column) + square(p.mean[column]))
	}
	return learned(mean, second-square(mean))
}

func square(x float64) float64 { return x * x }

// likeliest is the point of most weight.
func likeliest(points []point) *point {
	best := &points[0]
	for i := range points {
		if points[i].weight > best.weight {
			best = &points[i]
		}
	}
	return best
}

// weights are the normalised exponentials of log weights.
func weights(logs []float64) []float64 {
	top := math.Inf(-1)
	for _, l := range logs {
		top = math.Max(top, l)
	}
	out, sum := make([]float64, len(logs)), 0.
	for i, l := range logs {
		out[i] = math.Exp(l - top)
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}
