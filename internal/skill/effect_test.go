package skill

import (
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

var tests = Component{SD: .85, Noise: .014}

// squad is a roster simulated by the model of [FitGrowth].
type squad struct {
	rng     *rand.Rand
	effect  []float64 // logit a set
	between float64
	drift   float64 // logit a week
	own     [][]float64
	tested  []Tested
}

func newSquad(seed uint64, drills int) *squad {
	s := &squad{rng: rand.New(rand.NewPCG(seed, 9)), between: .01, drift: .03}
	for range drills {
		s.effect = append(s.effect, .02+.02*s.rng.NormFloat64())
	}
	return s
}

// sets chooses a week's sets; last is the latest test.
type sets func(rng *rand.Rand, last float64) (sets []float64, other float64)

func atRandom(drills int) sets {
	return func(rng *rand.Rand, _ float64) ([]float64, float64) {
		out := make([]float64, drills)
		for j := range out {
			out[j] = float64(rng.IntN(7))
		}
		return out, float64(rng.IntN(10))
	}
}

// student is tested every four weeks.
func (s *squad) student(id, weeks int, choose sets) {
	own := make([]float64, len(s.effect))
	for j := range own {
		own[j] = s.between * s.rng.NormFloat64()
	}
	s.own = append(s.own, own)
	theta, done, other, last := .85*s.rng.NormFloat64(), make([]float64, len(own)), 0., 0.
	for week := 0; week <= weeks; week++ {
		if week%4 == 0 {
			last = theta + .5*s.rng.NormFloat64()
			s.tested = append(s.tested, Tested{id, 7 * week, last, .5, append([]float64(nil), done...), other})
		}
		n, rest := choose(s.rng, last)
		other += rest
		theta += s.drift + .005*rest + math.Sqrt(7*.014)*s.rng.NormFloat64()
		for j := range own {
			done[j] += n[j]
			theta += (s.effect[j] + own[j]) * n[j]
		}
	}
}

func (s *squad) roster(students, weeks int, choose sets) *squad {
	for i := range students {
		s.student(i, weeks, choose)
	}
	return s
}

func TestGrowthOfNothing(t *testing.T) {
	g := FitGrowth(tests, 3, nil)
	for _, e := range g.Effects {
		if e.Evidence != None || e.Learned != (Learned{}) {
			t.Errorf("%+v", e)
		}
	}
	g = FitGrowth(tests, 2, []Tested{{1, 3, .2, .5, []float64{4, 0}, 0}, {2, 3, .2, .5, []float64{0, 0}, 0}})
	if g.Effects[0].Evidence != Untested || g.Effects[1].Evidence != None || g.Students != 0 {
		t.Errorf("%+v", g)
	}
}

// One drill, two tests: given the variances, the student's part is shrunk by
// tau²/(tau² + se²), se² from the student's own two tests.
func TestIndividualWeight(t *testing.T) {
	m := mixed{at: tests, drills: []int{0}, courses: newCourses(1, []Tested{
		{0, 0, 0, .5, []float64{0}, 0}, {0, 28, 1.5, .5, []float64{20}, 0}})}
	v := variances{among: .02, between: .03, noise: .014, intake: 1e4}
	p := point{v, make([]float64, firstDrill+1), m.fit(v, m.gather(v)).cov, 1}
	c := &m.courses[0]
	se2 := (2*.25 + .014*28) / (20 * 20)
	want := .03 * .03 / (.03*.03 + se2)
	part, variance, weight := predict(m.covariance(c, v), m.design(c), c, &p, column(0))
	numtest.Close(t, "weight", weight, want, 1e-6)
	numtest.Close(t, "part", part, want*1.5/20, 1e-6)
	if variance < .03*.03*(1-want) {
		t.Errorf("variance %g is under that of a known group", variance)
	}
}

// Shrinkage has its two ends: students alike have no part of their own, and
// students far apart keep what their own tests say.
func TestIndividualShrinksWithTau(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := newSquad(rapid.Uint64().Draw(t, "seed"), 1).roster(3, 12, atRandom(1))
		m := mixed{at: tests, drills: []int{0}, courses: newCourses(1, s.tested)}
		last := -1.
		for _, tau := range []float64{0, .001, .01, .1, 1, 100} {
			v := variances{among: .02, between: tau, noise: .014, intake: .85}
			p := m.fit(v, m.gather(v))
			part, _, weight := predict(m.covariance(&m.courses[0], v), m.design(&m.courses[0]), &m.courses[0], &p, column(0))
			switch {
			case weight < last || weight < 0 || weight > 1:
				t.Fatalf("weight %g after %g", weight, last)
			case tau == 0 && (part != 0 || weight != 0):
				t.Fatalf("part %g where students are alike", part)
			case tau == 100 && weight < .999:
				t.Fatalf("weight %g where they are far apart", weight)
			}
			last = weight
		}
	})
}

// The evidence of a fit is the density of all tests under their joint normal: a
// second test's chance given the first, by hand.
func TestGrowthEvidence(t *testing.T) {
	one, two := Tested{0, 0, .3, .5, []float64{0}, 0}, Tested{0, 7, .9, .4, []float64{3}, 0}
	m := mixed{at: tests, drills: []int{0}, courses: newCourses(1, []Tested{one, two})}
	v := variances{among: .02, between: .01, noise: .02, intake: .85}
	level := square(.85) + square(wide[levelColumn])
	v11 := level + .25
	v22 := level + .16 + .02*7 + square(wide[weeksColumn]) + 9*(square(wide[usualColumn])+square(.02)+square(.01))
	det := v11*v22 - level*level
	want := -(math.Log(det) + (.09*v22-2*.27*level+.81*v11)/det) / 2
	numtest.Close(t, "log evidence", m.fit(v, m.gather(v)).weight, want, 1e-9)
}

// 80% intervals hold true effects, and each student's own, about as often as
// they say: 40 rosters of 30 students over 24 weeks with five drills.
func TestGrowthCoverage(t *testing.T) {
	var group, own, all, owns, refused int
	for seed := range uint64(40) {
		s := newSquad(300+seed, 5).roster(30, 24, atRandom(5))
		for j, e := range FitGrowth(tests, 5, s.tested).Effects {
			if e.Evidence != Enough {
				refused++
				continue
			}
			all++
			if e.Lo <= s.effect[j] && s.effect[j] <= e.Hi {
				group++
			}
			for _, i := range e.Individual {
				owns++
				if truth := s.own[i.Student][j]; i.Part.Lo <= truth && truth <= i.Part.Hi {
					own++
				}
			}
		}
	}
	t.Logf("group %d of %d, own %d of %d; %d refused", group, all, own, owns, refused)
	if share := float64(group) / float64(all); share < .72 || share > .88 {
		t.Errorf("80%% intervals of the group's effect hold %.0f%%", 100*share)
	}
	if share := float64(own) / float64(owns); share < .72 || share > .9 {
		t.Errorf("80%% intervals of a student's part hold %.0f%%", 100*share)
	}
	if refused > 20 {
		t.Errorf("%d effects of 200 refused though drills were chosen at random", refused)
	}
}

func TestDrillsDoneTogetherAreNamed(t *testing.T) {
	s := newSquad(1, 4).roster(20, 24, func(rng *rand.Rand, last float64) ([]float64, float64) {
		n, other := atRandom(4)(rng, last)
		n[2] = 2 * n[0] // always the two of them
		n[3] = 0
		return n, other
	})
	g := FitGrowth(tests, 4, s.tested)
	for j, want := range []struct {
		evidence Evidence
		with     []int
	}{{Together, []int{2}}, {Enough, nil}, {Together, []int{0}}, {None, nil}} {
		e := g.Effects[j]
		if e.Evidence != want.evidence || len(e.With) != len(want.with) || len(e.With) > 0 && e.With[0] != want.with[0] {
			t.Errorf("drill %d: %s with %v", j, e.Evidence, e.With)
		}
		if e.Evidence == Together && (e.Learned != Learned{} || e.Individual != nil) {
			t.Errorf("drill %d is estimated all the same", j)
		}
	}
}

func TestASteadyDrillIsNamed(t *testing.T) {
	s := newSquad(2, 2).roster(20, 24, func(rng *rand.Rand, last float64) ([]float64, float64) {
		n, other := atRandom(2)(rng, last)
		n[1] = 5
		return n, other
	})
	if e := FitGrowth(tests, 2, s.tested).Effects[1]; e.Evidence != Steady {
		t.Errorf("%s", e.Evidence)
	}
}

// A drill that does nothing, given after the first test to those who tested low
// alone, is not credited with their return to the mean.
func TestReturnToTheMeanIsNotCredited(t *testing.T) {
	named, credited := 0, 0
	for seed := range uint64(20) {
		s := newSquad(500+seed, 1)
		s.effect[0], s.between = 0, 0
		s.roster(80, 4, func(_ *rand.Rand, last float64) ([]float64, float64) {
			if last < -.3 {
				return []float64{5}, 0
			}
			return []float64{0}, 0
		})
		e := FitGrowth(tests, 1, s.tested).Effects[0]
		switch {
		case e.Evidence == Returns:
			named++
		case e.Lo > 0:
			credited++
		}
	}
	t.Logf("named in %d of 20, credited in %d", named, credited)
	if named < 12 {
		t.Errorf("named in %d of 20", named)
	}
	if credited > 4 {
		t.Errorf("credited in %d of 20", credited)
	}
}

func TestFewStudentsAreFew(t *testing.T) {
	s := newSquad(3, 1).roster(LeastStudents-1, 48, atRandom(1))
	if e := FitGrowth(tests, 1, s.tested).Effects[0]; e.Evidence != Few {
		t.Errorf("%s", e.Evidence)
	}
}

func TestGrowthMisuse(t *testing.T) {
	panics(t, "no noise", func() { FitGrowth(Component{SD: 1}, 1, nil) })
	panics(t, "no sd", func() { FitGrowth(tests, 0, []Tested{{}, {}}) })
	panics(t, "sets of another roster", func() { FitGrowth(tests, 1, []Tested{{SD: 1}, {SD: 1}}) })
}
