package skill

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

var oneComponent = []Component{{Mean: -.5, SD: .85, Noise: .02}}

// classroom is a roster simulated by the plain Rasch model of [Refit].
type classroom struct {
	rng   *rand.Rand
	items []Item
	truth []float64 // difficulties
	seen  []Seen
}

func newClassroom(seed uint64, items int) *classroom {
	c := &classroom{rng: rand.New(rand.NewPCG(seed, 4))}
	for j := range items {
		guess := -1 + 2*float64(j)/float64(items)
		c.items = append(c.items, Item{Difficulty: guess, Doubt: .4})
		c.truth = append(c.truth, guess+.4*c.rng.NormFloat64())
	}
	return c
}

// student logs sets of eight tries on two days a week, on three of the items;
// with a floor test, the last item, every four weeks.
func (c *classroom) student(id, weeks int, level float64) {
	theta, test := -.5+level+.85*c.rng.NormFloat64(), len(c.items)-1
	for day := 0; day < 7*weeks; day++ {
		theta += math.Sqrt(.02) * c.rng.NormFloat64()
		if day%28 == 0 {
			c.seen = append(c.seen, Seen{Student: id, Day: day, Item: test, Value: theta - c.truth[test] + .5*c.rng.NormFloat64(), SD: .5})
		}
		if day%7 != 1 && day%7 != 4 {
			continue
		}
		for range 3 {
			s := Seen{Student: id, Day: day, Item: c.rng.IntN(test), Tries: 8, Offset: -.1}
			for range s.Tries {
				if c.rng.Float64() < sigmoid(theta-c.truth[s.Item]+s.Offset) {
					s.Passed++
				}
			}
			c.seen = append(c.seen, s)
		}
	}
}

func (c *classroom) roster(students, weeks int, level float64) *classroom {
	for i := range students {
		c.student(i, weeks, level)
	}
	return c
}

func mustRefit(t *testing.T, at []Component, items []Item, seen []Seen) []Difficulty {
	t.Helper()
	out, err := Refit(at, items, seen)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestRefitOfNothingIsTheGuess(t *testing.T) {
	for _, d := range mustRefit(t, oneComponent, []Item{{0, .7, .4}, {0, -1, .3}}, nil) {
		if d.Mean != d.Guess || math.Abs(d.SD-d.Doubt) > 1e-15 || d.Evidence != None || d.Told != 0 {
			t.Errorf("%+v", d)
		}
	}
}

// An item nobody met is left alone by what others tell.
func TestRefitLeavesTheUnmetAlone(t *testing.T) {
	c := newClassroom(1, 4).roster(10, 4, 0)
	got := mustRefit(t, oneComponent, append(c.items, Item{0, 2, .6}), c.seen)
	if d := got[4]; d.Mean != 2 || math.Abs(d.SD-.6) > 1e-15 || d.Evidence != None {
		t.Errorf("%+v", d)
	}
}

// With abilities known (a floor test without error on every day, of known
// difficulty), the difficulty of the other item is a logistic regression with a
// normal prior: its mode by bisection of the score, its variance by the
// information there.
func TestRefitWithKnownAbilitiesIsLogisticRegression(t *testing.T) {
	items := []Item{{0, 0, 1e-5}, {0, .3, .4}}
	abilities, passed := []float64{-1, -.2, .1, .8, 1.7}, []int{0, 2, 1, 4, 5}
	var seen []Seen
	for i, theta := range abilities {
		seen = append(seen, Seen{Student: i, Day: 3, Item: 0, Value: theta, SD: 1e-5},
			Seen{Student: i, Day: 3, Item: 1, Tries: 5, Passed: passed[i], Offset: -.2})
	}
	score := func(d float64) (g, h float64) {
		g, h = -(d-.3)/.16, 1/.16
		for i, theta := range abilities {
			p := 1 / (1 + math.Exp(-(theta - d - .2)))
			g += 5*p - float64(passed[i])
			h += 5 * p * (1 - p)
		}
		return g, h
	}
	lo, hi := -5., 5.
	for range 100 {
		if g, _ := score((lo + hi) / 2); g > 0 {
			lo = (lo + hi) / 2
		} else {
			hi = (lo + hi) / 2
		}
	}
	_, h := score(lo)
	got := mustRefit(t, oneComponent, items, seen)[1]
	numtest.Close(t, "difficulty", got.Mean, lo, 1e-6)
	numtest.Close(t, "sd", got.SD, 1/math.Sqrt(h), 1e-6)
}

// Where every observation is a measurement the posterior is normal and exact:
// against the dense joint normal of all values, with the level's variance, 100.
func TestRefitOfMeasurementsIsTheJointNormal(t *testing.T) {
	at := Component{Mean: .2, SD: .7, Noise: .03}
	items := []Item{{0, -.4, .3}, {0, .6, .5}}
	seen := []Seen{
		{Student: 7, Day: 9, Item: 1, Value: 1.1, SD: .4}, {Student: 7, Day: 2, Item: 0, Value: .3, SD: .5},
		{Student: 3, Day: 4, Item: 1, Value: -.9, SD: .6}, {Student: 3, Day: 4, Item: 0, Value: .2, SD: .5},
		{Student: 3, Day: 30, Item: 0, Value: 1.6, SD: .2},
	}
	first := map[int]int{7: 2, 3: 4}
	n := len(seen)
	v, y, cross := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil), mat.NewDense(2, n, nil)
	for i, a := range seen {
		y.SetVec(i, a.Value-(at.Mean-items[a.Item].Difficulty))
		cross.Set(a.Item, i, -items[a.Item].Doubt*items[a.Item].Doubt)
		for j, b := range seen[:i+1] {
			c := 100.
			if a.Student == b.Student {
				c += at.SD*at.SD + at.Noise*float64(min(a.Day, b.Day)-first[a.Student])
			}
			if a.Item == b.Item {
				c += items[a.Item].Doubt * items[a.Item].Doubt
			}
			if i == j {
				c += a.SD * a.SD
			}
			v.SetSym(i, j, c)
		}
	}
	var inv, gain, cov mat.Dense
	if err := inv.Inverse(v); err != nil {
		t.Fatal(err)
	}
	gain.Mul(cross, &inv)
	cov.Mul(&gain, cross.T())
	var move mat.VecDense
	move.MulVec(&gain, y)
	got := mustRefit(t, []Component{at}, items, seen)
	for j, it := range items {
		numtest.Close(t, "mean", got[j].Mean, it.Difficulty+move.AtVec(j), 1e-5)
		numtest.Close(t, "variance", got[j].SD*got[j].SD, it.Doubt*it.Doubt-cov.At(j, j), 1e-5)
	}
}

func TestRefitSlopes(t *testing.T) {
	c := newClassroom(2, 4).roster(3, 5, 0)
	r, _ := newRoster(oneComponent[0], c.items, c.seen)
	for n := range r.theta {
		r.theta[n] += .3 * c.rng.NormFloat64()
	}
	for g := range r.global {
		r.global[g] += .3 * c.rng.NormFloat64()
	}
	s := r.slopes()
	along := func(x *float64) (gradient, curvature float64) {
		at := *x
		f := func(v float64) float64 { *x = v; defer func() { *x = at }(); return r.value(r.theta, r.global) }
		return numtest.Derivative(f, at), -numtest.Second(f, at)
	}
	for n := range r.theta {
		g, h := along(&r.theta[n])
		numtest.Close(t, "score of an ability", s.theta[n], g, 1e-5)
		numtest.Close(t, "curvature of an ability", s.diagonal[n], h, 1e-3)
	}
	for i := range r.global {
		g, h := along(&r.global[i])
		numtest.Close(t, "score of a global", s.global[i], g, 1e-5)
		numtest.Close(t, "curvature of a global", s.own[i], h, 1e-3)
	}
}

// To raise every ability by a constant, floor tests and intake with it, moves no
// difficulty; and the estimates keep the anchor.
func TestRefitIsAnchored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := newClassroom(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(2, 6).Draw(t, "items"))
		for j := range c.items {
			c.items[j].Doubt = rapid.Float64Range(.1, 1).Draw(t, "doubt")
		}
		c.roster(rapid.IntRange(1, 5).Draw(t, "students"), rapid.IntRange(1, 4).Draw(t, "weeks"), rapid.Float64Range(-2, 2).Draw(t, "level"))
		at := oneComponent[0]
		before, err := Refit([]Component{at}, c.items, c.seen)
		if err != nil {
			t.Fatal(err)
		}
		up := rapid.Float64Range(-3, 3).Draw(t, "up")
		at.Mean += up
		for i := range c.seen {
			if s := &c.seen[i]; s.Tries == 0 {
				s.Value += up
			} else {
				s.Offset -= up
			}
		}
		after, err := Refit([]Component{at}, c.items, c.seen)
		if err != nil {
			t.Fatal(err)
		}
		var anchor float64
		for j := range before {
			if d := after[j].Mean - before[j].Mean; math.Abs(d) > 1e-6 {
				t.Errorf("item %d moved by %g", j, d)
			}
			anchor += (before[j].Mean - before[j].Guess) / (before[j].Doubt * before[j].Doubt)
		}
		if math.Abs(anchor) > .05 { // level/100
			t.Errorf("the guesses hold the scale only to %g", anchor)
		}
	})
}

// The level of a roster tells nothing of difficulty: two rosters of far apart
// students leave the sum of the difficulties where the guesses put it.
func TestRefitDoesNotDriftWithTheRoster(t *testing.T) {
	for _, level := range []float64{-1.5, 1.5} {
		c := newClassroom(3, 6).roster(20, 8, level)
		var sum float64
		for j, d := range mustRefit(t, oneComponent, c.items, c.seen) {
			sum += d.Mean - c.items[j].Difficulty
		}
		numtest.Close(t, "sum of the shifts", sum, 0, .005)
	}
}

// A roster that passed everything has a level, if a doubtful one, and its items
// stay where they were guessed to be but for what the harder one tells.
func TestRefitWhereEverythingWasPassed(t *testing.T) {
	var seen []Seen
	for i := range 12 {
		seen = append(seen, Seen{Student: i, Item: i % 2, Tries: 10, Passed: 10})
	}
	for _, d := range mustRefit(t, oneComponent, []Item{{0, 0, .4}, {0, 1, .4}}, seen) {
		if math.Abs(d.Mean-d.Guess) > .2 || d.SD > .4 {
			t.Errorf("%+v", d)
		}
	}
}

// 80% intervals hold the true difficulty as often as they say: 100 rosters of 12
// students and 12 weeks, 8 items each. The items of one roster share the doubt of
// their common mean, so the margin is wider than that of 800 alone (sd .014).
func TestRefitCoverage(t *testing.T) {
	inside, all, worse := 0, 0, 0
	for seed := range uint64(100) {
		c := newClassroom(100+seed, 8).roster(12, 12, .5)
		for j, d := range mustRefit(t, oneComponent, c.items, c.seen) {
			all++
			if d.Lo <= c.truth[j] && c.truth[j] <= d.Hi {
				inside++
			}
			if math.Abs(d.Mean-c.truth[j]) > math.Abs(d.Guess-c.truth[j]) {
				worse++
			}
		}
	}
	t.Logf("%d of %d inside, %d further off than the guess", inside, all, worse)
	if share := float64(inside) / float64(all); share < .74 || share > .86 {
		t.Errorf("80%% intervals hold %.0f%%", 100*share)
	}
	if worse > all/3 {
		t.Errorf("%d of %d estimates are further off than the guess", worse, all)
	}
}

func TestRefitOfARosterIsEnough(t *testing.T) {
	c := newClassroom(5, 8).roster(12, 12, 0)
	for j, d := range mustRefit(t, oneComponent, c.items, c.seen) {
		if d.Evidence != Enough || d.Students != 12 || d.Told < LeastTold {
			t.Errorf("item %d: %+v", j, d)
		}
	}
}

func TestRefitSaysWhereItIsThin(t *testing.T) {
	c := newClassroom(5, 4).roster(LeastStudents-1, 30, 0)
	for _, d := range mustRefit(t, oneComponent, c.items, c.seen) {
		if d.Evidence != Few || d.Students != LeastStudents-1 {
			t.Errorf("%+v", d)
		}
	}
}

func TestRefitMisuse(t *testing.T) {
	items := []Item{{0, 0, .4}}
	refit := func(at Component, items []Item, s Seen) func() {
		return func() { _, err := Refit([]Component{at}, items, []Seen{s}); _ = errors.Unwrap(err) }
	}
	good := Component{SD: 1, Noise: .02}
	panics(t, "no noise", refit(Component{SD: 1}, items, Seen{Tries: 1}))
	panics(t, "no doubt", refit(good, []Item{{}}, Seen{Tries: 1}))
	panics(t, "no such component", refit(good, []Item{{1, 0, .4}}, Seen{Tries: 1}))
	panics(t, "no such item", refit(good, items, Seen{Item: 1, Tries: 1}))
	panics(t, "more passed than tried", refit(good, items, Seen{Tries: 1, Passed: 2}))
	panics(t, "no sd", refit(good, items, Seen{}))
	panics(t, "an endless offset", refit(good, items, Seen{Tries: 1, Offset: math.Inf(1)}))
}
