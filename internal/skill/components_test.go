package skill

import (
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

func intake(k int) []Component {
	out := make([]Component, k)
	for i := range out {
		out[i] = Component{SD: IntakeSD, Noise: MotorNoise}
	}
	return out
}

// schmidt is the consider filter written out on the augmented state (theta, d)
// with an explicit gain whose rows for d are 0 and the covariance in Joseph's
// form, which holds for any gain (Bierman 1977, Factorization Methods, ch. 8).
type schmidt struct {
	k    int
	x    *mat.VecDense
	p, q *mat.Dense
}

func newSchmidt(at []Component, shared float64, items []Item) *schmidt {
	k, n := len(at), len(at)+len(items)
	s := &schmidt{k, mat.NewVecDense(n, nil), mat.NewDense(n, n, nil), mat.NewDense(n, n, nil)}
	for i, c := range at {
		s.x.SetVec(i, c.Mean)
		for j := range k {
			s.p.Set(i, j, shared)
		}
		s.p.Set(i, i, c.SD*c.SD)
		s.q.Set(i, i, c.Noise)
	}
	for j, d := range items {
		s.x.SetVec(k+j, d.Difficulty)
		s.p.Set(k+j, k+j, d.Doubt*d.Doubt)
	}
	return s
}

func (s *schmidt) observe(component, item int, y, noise float64) {
	n := s.x.Len()
	h := mat.NewVecDense(n, nil)
	h.SetVec(component, 1)
	h.SetVec(s.k+item, -1)
	var ph mat.VecDense
	ph.MulVec(s.p, h)
	gain := mat.NewVecDense(n, nil)
	gain.ScaleVec(1/(mat.Dot(h, &ph)+noise), &ph)
	for i := s.k; i < n; i++ {
		gain.SetVec(i, 0)
	}
	s.x.AddScaledVec(s.x, y-mat.Dot(h, s.x), gain)
	var i, kh, left, right mat.Dense
	i.Outer(-1, gain, h)
	for j := range n {
		i.Set(j, j, i.At(j, j)+1)
	}
	left.Mul(&i, s.p)
	right.Mul(&left, i.T())
	kh.Outer(noise, gain, gain)
	s.p.Add(&right, &kh)
}

func (s *schmidt) night() { s.p.Add(s.p, s.q) }

// One drill tried 300 times (and others now and then), against the exact joint
// normal.
func TestConsiderFilterAgainstTheJointNormal(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	items := []Item{{0, .3, .4}, {0, -1, .4}, {1, .5, .4}, {2, 0, .2}}
	c, want := NewComponents(intake(3), SharedAbility, items), newSchmidt(intake(3), SharedAbility, items)
	for i := range 300 {
		item := 0
		if i%5 == 4 {
			item = rng.IntN(4)
		}
		y := rng.NormFloat64()
		c.Advance(i % 2)
		if i%2 == 1 {
			want.night()
		}
		see(c, items[item].Component, item, 0, normal{y, 3.5})
		want.observe(items[item].Component, item, y, 3.5)
	}
	for k := range 3 {
		numtest.Close(t, "mean", c.m[k], want.x.AtVec(k), 1e-10)
		for l := range 3 {
			numtest.Close(t, "covariance", c.Covariance(k, l), want.p.At(k, l), 1e-10)
		}
		for j, x := range items {
			numtest.Close(t, "cross", c.crossOf(j)[k], want.p.At(k, 3+j), 1e-10)
			numtest.Close(t, "difficulty", x.Difficulty, want.x.AtVec(3+j), 0)
			numtest.Close(t, "its variance", x.Doubt*x.Doubt, want.p.At(3+j, 3+j), 1e-15)
		}
	}
}

// One drill of unknown difficulty tried 300 times by 2,000 students: 80%
// intervals for ability cover about 80% with the cross-covariance kept, and
// about a third when the drill's doubt is added to each try as fresh noise
// (an earlier trial of the same two filters gave 81 and 32).
func TestCoverageAfter300Tries(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	const students, tries, z80 = 2000, 300, 1.2815515655446004
	kept, naive := 0, 0
	for range students {
		theta, d := IntakeSD*rng.NormFloat64(), DrillDoubt*rng.NormFloat64()
		c := NewComponents([]Component{{SD: IntakeSD}}, 0, []Item{{0, 0, DrillDoubt}})
		m, p := []float64{0}, []float64{IntakeSD * IntakeSD}
		for range tries {
			passed := 0
			if rng.Float64() < sigmoid(theta-d) {
				passed = 1
			}
			c.Count(0, 1, passed, 0)
			v := p[0] + DrillDoubt*DrillDoubt
			fold(m, p, []float64{p[0]}, laplace(m[0], v, binomial(1, float64(passed))))
		}
		l := c.Level(0)
		if math.Abs(l.Mean-theta) < z80*l.SD {
			kept++
		}
		if math.Abs(m[0]-theta) < z80*math.Sqrt(p[0]) {
			naive++
		}
	}
	k, n := float64(kept)/students, float64(naive)/students
	t.Logf("80%% intervals cover %.1f%% with the cross-covariance, %.1f%% without", 100*k, 100*n)
	numtest.Close(t, "with", k, .81, .03)
	numtest.Close(t, "without", n, .32, .05)
}

// The drill's doubt is a floor under what one drill can say, and a probe or a
// second drill gets past it.
func TestOneDrillCannotResolveAbility(t *testing.T) {
	c := NewComponents([]Component{{SD: IntakeSD}}, 0, []Item{{0, 0, DrillDoubt}, {0, 0, DrillDoubt}})
	for range 300 {
		c.Count(0, 2, 1, 0)
	}
	floor := 1 / math.Sqrt(1/(IntakeSD*IntakeSD)+1/(DrillDoubt*DrillDoubt)) // of the exact joint posterior
	alone := c.Level(0)
	if alone.SD < floor || alone.SD > 1.15*floor {
		t.Errorf("sd %.3f, the exact posterior cannot fall below %.3f", alone.SD, floor)
	}
	if s := c.Success(0, 0); s.SD > .15 {
		t.Errorf("success at the drill itself is well known, sd %.3f", s.SD)
	}
	other := c.Clone()
	for range 100 {
		other.Count(1, 2, 1, 0)
	}
	probed := c.Clone()
	probed.Measure(0, .1, .2)
	if other.Level(0).SD >= .95*alone.SD || probed.Level(0).SD >= .6*alone.SD || c.Level(0) != alone {
		t.Errorf("sd %.3f; with a second drill %.3f; with a probe %.3f", alone.SD, other.Level(0).SD, probed.Level(0).SD)
	}
}

// Whatever is folded in, the joint covariance of abilities and difficulties
// stays positive and symmetric, and difficulties stay as given.
func TestJointCovarianceStaysPositive(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		k := rapid.IntRange(1, 12).Draw(rt, "components")
		items := make([]Item, 8)
		for j := range items {
			items[j] = Item{rapid.IntRange(0, k-1).Draw(rt, "component"), rapid.Float64Range(-3, 3).Draw(rt, "d"), rapid.SampledFrom([]float64{0, .1, .4}).Draw(rt, "doubt")}
		}
		c := NewComponents(intake(k), SharedAbility, items)
		for range rapid.IntRange(1, 60).Draw(rt, "sets") {
			n := rapid.IntRange(1, 50).Draw(rt, "n")
			switch rapid.IntRange(0, 5).Draw(rt, "kind") {
			case 0:
				c.Advance(n)
			case 1:
				c.Measure(rapid.IntRange(0, k-1).Draw(rt, "k"), rapid.Float64Range(-5, 5).Draw(rt, "y"), rapid.Float64Range(.05, 2).Draw(rt, "sd"))
			default:
				c.Count(rapid.IntRange(0, 7).Draw(rt, "item"), n, rapid.IntRange(0, n).Draw(rt, "passed"), rapid.Float64Range(-1, 1).Draw(rt, "offset"))
			}
		}
		n := k + len(items)
		joint := mat.NewSymDense(n, nil)
		for i := range k {
			for j := range k {
				if c.Covariance(i, j) != c.Covariance(j, i) {
					rt.Fatal("not symmetric")
				}
				joint.SetSym(i, j, c.Covariance(i, j))
			}
			for j := range items {
				joint.SetSym(i, k+j, c.crossOf(j)[i])
			}
		}
		for j, x := range items {
			joint.SetSym(k+j, k+j, x.Doubt*x.Doubt)
		}
		var eig mat.EigenSym
		if !eig.Factorize(joint, false) || eig.Values(nil)[0] < -1e-10 {
			rt.Fatalf("smallest eigenvalue %g", eig.Values(nil)[0])
		}
	})
}

// What one component shows moves the others through shared ability.
func TestSharedAbility(t *testing.T) {
	c := NewComponents(intake(3), SharedAbility, nil)
	c.Measure(0, 1, .5)
	v := IntakeSD * IntakeSD
	numtest.Close(t, "measured", c.Level(0).Mean, v/(v+.25), 1e-12)
	numtest.Close(t, "shared", c.Level(2).Mean, SharedAbility/(v+.25), 1e-12)
	if c.Level(0).N != 1 || c.Level(2).N != 0 {
		t.Error("observations are counted by component")
	}
}

func TestSuccess(t *testing.T) {
	c := NewComponents([]Component{{Mean: 1, SD: .6}}, 0, []Item{{0, .5, .8}})
	s := c.Success(0, -.2)
	numtest.Close(t, "logit", s.Logit, .3, 1e-12)
	numtest.Close(t, "sd", s.SD, 1, 1e-12)
	var sum, weights float64 // E[sigmoid(.3 + Z)] by brute force
	for z := -9.; z < 9; z += 1e-3 {
		w := math.Exp(-z * z / 2)
		sum, weights = sum+w/(1+math.Exp(-.3-z)), weights+w
	}
	numtest.Close(t, "P", s.P, sum/weights, 1e-7)
}

func TestComponentsRefuseMisuse(t *testing.T) {
	items := []Item{{0, 0, .4}}
	c := NewComponents(intake(2), SharedAbility, items)
	for what, f := range map[string]func(){
		"more passed than tried": func() { c.Count(0, 3, 4, 0) },
		"no tries":               func() { c.Count(0, 0, 0, 0) },
		"no such item":           func() { c.Count(1, 3, 2, 0) },
		"no such component":      func() { c.Measure(2, 1, 1) },
		"undefined offset":       func() { c.Count(0, 3, 2, math.NaN()) },
		"backwards":              func() { c.Advance(-1) },
		"exact probe":            func() { c.Measure(0, 1, 0) },
		"undefined probe":        func() { c.Measure(0, math.NaN(), 1) },
		"too much shared":        func() { NewComponents(intake(2), .8, nil) },
		"no sd":                  func() { NewComponents([]Component{{}}, 0, nil) },
		"unknown component":      func() { NewComponents(intake(2), .2, []Item{{2, 0, .4}}) },
		"negative doubt":         func() { NewComponents(intake(2), .2, []Item{{0, 0, -.4}}) },
	} {
		panics(t, what, f)
	}
}

// A day of practice against x <- F x, P <- F P F', F written out, the difficulty
// of a drill among the states.
func TestPractised(t *testing.T) {
	at := []Component{{Mean: -1, SD: .8, Noise: .01, Gain: .05, GainSD: .04}, {Mean: 0, SD: .8, Noise: .01, Gain: .01, GainSD: .02}}
	c := NewComponents(at, .2, []Item{{0, .3, .4}})
	c.Count(0, 10, 6, 0)
	n := 5
	x, p, f := mat.NewVecDense(n, nil), mat.NewDense(n, n, nil), mat.NewDense(n, n, nil)
	for i := range 4 {
		x.SetVec(i, c.m[i])
		for j := range 4 {
			p.Set(i, j, c.p[i*4+j])
		}
		p.Set(i, 4, c.crossOf(0)[i])
		p.Set(4, i, c.crossOf(0)[i])
		f.Set(i, i, 1)
	}
	p.Set(4, 4, .4*.4)
	f.Set(4, 4, 1)
	for i := range 2 {
		f.Set(i, 2+i, []float64{1, .4}[i])
		f.Set(2+i, 2+i, math.Pow(gainKept, []float64{1, .4}[i]))
	}
	for range 20 {
		c.Practised([]float64{1, .4})
		x.MulVec(f, x)
		p.Mul(f, p)
		p.Mul(p, f.T())
	}
	for i := range 4 {
		numtest.Close(t, "mean", c.m[i], x.AtVec(i), 1e-12)
		numtest.Close(t, "cross", c.crossOf(0)[i], p.At(i, 4), 1e-12)
		for j := range 4 {
			numtest.Close(t, "covariance", c.p[i*4+j], p.At(i, j), 1e-12)
		}
	}
}

// What practice brings is learnt from the log: of two students who passed as
// often at first, the one who came on is taken to come on.
func TestGainsAreLearnt(t *testing.T) {
	at := []Component{{SD: .85, Noise: .008, Gain: .05, GainSD: .04}}
	after := func(last int) float64 {
		c := NewComponents(at, 0, []Item{{0, 0, .4}})
		for day := range 12 {
			c.Practised([]float64{1})
			c.Count(0, 10, 3+(last-3)*day/11, 0)
			c.Advance(2)
		}
		return c.m[1]
	}
	if slow, quick := after(3), after(9); quick < slow+.01 {
		t.Errorf("a gain of %.3f and of %.3f", slow, quick)
	}
}

// What is left alone goes back towards its start, known as surely in its units:
// after [forgetDays] 1/e of what came is left, and the covariance with a drill's
// difficulty shrinks with it.
func TestIdle(t *testing.T) {
	c := NewComponents(intake(3), SharedAbility, []Item{{1, 0, DrillDoubt}})
	c.Count(0, 10, 9, 0)
	start, was, other := intake(3)[1].Mean, c.Level(1), c.Level(0)
	shared, cross := c.Covariance(1, 0), c.crossOf(0)[1]
	c.Idle(1, forgetDays)
	numtest.Close(t, "mean", c.Level(1).Mean, start+(was.Mean-start)/math.E, 1e-12)
	numtest.Close(t, "sd", c.Level(1).SD, was.SD/math.E, 1e-12)
	numtest.Close(t, "covariance", c.Covariance(1, 0), shared/math.E, 1e-12)
	numtest.Close(t, "with the drill", c.crossOf(0)[1], cross/math.E, 1e-12)
	if c.Level(0) != other {
		t.Errorf("another component moved: %+v, was %+v", c.Level(0), other)
	}
	two := NewComponents(intake(3), SharedAbility, nil)
	two.Measure(1, 1, .5)
	one := two.Clone()
	one.Idle(1, 10)
	two.Idle(1, 4)
	two.Idle(1, 6)
	numtest.Close(t, "in two parts", two.Level(1).Mean, one.Level(1).Mean, 1e-12)
	panics(t, "an unknown component", func() { c.Idle(3, 1) })
	panics(t, "days that run back", func() { c.Idle(0, -1) })
}
