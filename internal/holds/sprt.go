package holds

import (
	"errors"
	"fmt"
	"math"
)

// SPRT is Wald's sequential test of a chance: P0, not good enough, against P1,
// good enough, with Alpha the risk of taking P0 for P1 and Beta the reverse. Here
// it is a planning aid ("about six more tries will tell") from a start the coach
// sets. It proves nothing, and it must not be restarted after it has ended: run
// again after each rejection it would accept anyone in time.
//
// Reference: Wald A (1947) Sequential Analysis, Wiley, ch. 5.
type SPRT struct{ P0, P1, Alpha, Beta float64 }

// ErrPlan tells of a plan that is no test.
var ErrPlan = errors.New("holds: not a sequential plan")

// Verdict is where a sequential test stands.
type Verdict string

const (
	Undecided Verdict = "undecided"
	AcceptP0  Verdict = "accept p0"
	AcceptP1  Verdict = "accept p1"
)

// Check returns an error wrapping [ErrPlan] that says which figure is wrong.
func (s SPRT) Check() error {
	switch {
	case !(s.P0 > 0 && s.P0 < s.P1 && s.P1 < 1):
		return fmt.Errorf("%w: p0 %v and p1 %v; give 0 < p0 < p1 < 1", ErrPlan, s.P0, s.P1)
	case !(s.Alpha > 0 && s.Beta > 0 && s.Alpha+s.Beta < 1):
		return fmt.Errorf("%w: alpha %v and beta %v; give two above 0 with a sum under 1", ErrPlan, s.Alpha, s.Beta)
	}
	return nil
}

func (s SPRT) mustCheck() {
	if err := s.Check(); err != nil {
		panic(err.Error())
	}
}

// Lines describes the test in evidence (log likelihood ratio of P1 to P0) and as
// two parallel lines over the number of tries n.
type Lines struct {
	PerPass, PerMiss float64 // evidence of one try
	Upper, Lower     float64 // evidence at which P1, P0 is accepted
	Slope            float64 // of both lines, passes per try
	AcceptP1         float64 // intercept: P1 from AcceptP1 + Slope n passes on
	AcceptP0         float64 // intercept: P0 up to AcceptP0 + Slope n passes
}

// Lines gives the boundaries by Wald's approximation. A plan that fails Check
// panics, here and in every method below.
func (s SPRT) Lines() Lines {
	s.mustCheck()
	l := Lines{
		PerPass: math.Log(s.P1 / s.P0),
		PerMiss: math.Log((1 - s.P1) / (1 - s.P0)),
		Upper:   math.Log((1 - s.Beta) / s.Alpha),
		Lower:   math.Log(s.Beta / (1 - s.Alpha)),
	}
	width := l.PerPass - l.PerMiss
	l.Slope, l.AcceptP1, l.AcceptP0 = -l.PerMiss/width, l.Upper/width, l.Lower/width
	return l
}

// Bounds gives, after n tries, the passes up to which P0 is accepted and those
// from which P1 is; -1 and n+1 where that cannot happen yet.
func (s SPRT) Bounds(n int) (acceptP0, acceptP1 int) {
	l := s.Lines()
	const slack = 1e-9 // a boundary met exactly counts as met
	acceptP0 = int(math.Floor(l.AcceptP0 + l.Slope*float64(n) + slack))
	acceptP1 = int(math.Ceil(l.AcceptP1 + l.Slope*float64(n) - slack))
	return max(acceptP0, -1), min(acceptP1, n+1)
}

func (s SPRT) verdict(passes, n int) Verdict {
	low, high := s.Bounds(n)
	switch {
	case passes <= low:
		return AcceptP0
	case passes >= high:
		return AcceptP1
	}
	return Undecided
}

// Decide runs the test over tries in order and stops at the first decision, after
// the given number of tries.
func (s SPRT) Decide(passed []bool) (v Verdict, tries int) {
	s.mustCheck()
	passes := 0
	for i, p := range passed {
		passes += count(p)
		if v := s.verdict(passes, i+1); v != Undecided {
			return v, i + 1
		}
	}
	return Undecided, len(passed)
}

// Outlook is what a sequential test will do at a true chance.
type Outlook struct {
	Q        float64 // true chance
	AcceptP1 float64 // chance of that end
	AcceptP0 float64
	Tries    float64 // expected further tries until a decision
}

// Wald gives the outlook from the start by Wald's approximations, which leave out
// by how much a boundary is overshot: too few tries by one or two, both risks a
// little too high.
func (s SPRT) Wald(q float64) Outlook {
	l := s.Lines()
	checkOpen("chance", q)
	h := s.waldPower(q)
	drift := q*l.PerPass + (1-q)*l.PerMiss
	o := Outlook{Q: q}
	if math.Abs(h) < 1e-6 {
		o.AcceptP0 = l.Upper / (l.Upper - l.Lower)
		o.Tries = -l.Upper * l.Lower / (q*l.PerPass*l.PerPass + (1-q)*l.PerMiss*l.PerMiss)
	} else {
		a, b := math.Expm1(h*l.Upper), math.Expm1(h*l.Lower)
		o.AcceptP0 = a / (a - b)
		o.Tries = (o.AcceptP0*l.Lower + (1-o.AcceptP0)*l.Upper) / drift
	}
	o.AcceptP1 = 1 - o.AcceptP0
	return o
}

// waldPower is the h other than 0 with E[exp(h evidence)] = 1: 1 at P0, -1 at P1,
// 0 where the evidence does not drift. Wald's chance at h is monotone in h.
func (s SPRT) waldPower(q float64) float64 {
	lo, hi := -1.0, 1.0
	for s.waldChance(lo) < q {
		lo *= 2
	}
	for s.waldChance(hi) > q {
		hi *= 2
	}
	for range 200 {
		mid := (lo + hi) / 2
		if s.waldChance(mid) > q {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// waldChance is the true chance that belongs to h; it falls with h.
func (s SPRT) waldChance(h float64) float64 {
	l := s.Lines()
	if math.Abs(h) < 1e-9 {
		return l.Slope
	}
	return -math.Expm1(h*l.PerMiss) / (math.Exp(h*l.PerPass) - math.Exp(h*l.PerMiss))
}

// Exact gives the outlook at a true chance q after passes of tries, by recursion
// over the number of passes without approximation, until less than 1e-14 of the
// paths are undecided. After a decision nothing is left: 0 further tries.
func (s SPRT) Exact(q float64, passes, tries int) Outlook {
	s.mustCheck()
	checkOpen("chance", q)
	if passes < 0 || passes > tries {
		panic(fmt.Sprintf("holds: %d of %d tries", passes, tries))
	}
	o := Outlook{Q: q}
	p := undecided{first: passes, mass: []float64{1}}
	p.settle(&o, s, tries)
	for left := p.total(); left > 1e-14; left = p.total() {
		o.Tries += left
		p.step(q)
		tries++
		p.settle(&o, s, tries)
	}
	return o
}

// undecided holds the chance of being undecided with first, first+1, … passes.
type undecided struct {
	first int
	mass  []float64
}

// step makes one more try.
func (u *undecided) step(q float64) {
	u.mass = append(u.mass, 0)
	for k := len(u.mass) - 1; k > 0; k-- {
		u.mass[k] = u.mass[k]*(1-q) + u.mass[k-1]*q
	}
	u.mass[0] *= 1 - q
}

// settle moves what is decided after n tries into the outlook.
func (u *undecided) settle(o *Outlook, s SPRT, n int) {
	low, high := s.Bounds(n)
	for len(u.mass) > 0 && u.first <= low {
		o.AcceptP0 += u.mass[0]
		u.first, u.mass = u.first+1, u.mass[1:]
	}
	for len(u.mass) > 0 && u.first+len(u.mass)-1 >= high {
		last := len(u.mass) - 1
		o.AcceptP1 += u.mass[last]
		u.mass = u.mass[:last]
	}
}

func (u *undecided) total() float64 {
	sum := 0.0
	for _, m := range u.mass {
		sum += m
	}
	return sum
}
