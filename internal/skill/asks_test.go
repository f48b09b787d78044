package skill

import (
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"
)

// gate is a milestone simulated by the model of [FitAsks].
type gate struct {
	rng   *rand.Rand
	guess []float64
	truth []float64
	sharp float64
}

func newGate(seed uint64, guess ...float64) *gate {
	g := &gate{rng: rand.New(rand.NewPCG(seed, 12)), guess: guess, sharp: 2}
	for _, r := range guess {
		g.truth = append(g.truth, r+AskDoubt*g.rng.NormFloat64())
	}
	return g
}

// students stand around what is asked; their levels are known to .3 logit.
func (g *gate) students(n int) (out []Arrival) {
	for range n {
		s := Arrival{Student: len(out), Reached: true}
		common := g.rng.NormFloat64()
		for k, r := range g.truth {
			theta := g.guess[k] + 1 + common + g.rng.NormFloat64()
			s.Levels = append(s.Levels, Level{Mean: theta + .3*g.rng.NormFloat64(), SD: .3, N: 9})
			s.Reached = s.Reached && g.rng.Float64() < sigmoid(g.sharp*(theta-r))
		}
		out = append(out, s)
	}
	return out
}

// doubted are guesses of a table.
func doubted(guess []float64) (out []AskGuess) {
	for _, g := range guess {
		out = append(out, AskGuess{g, AskDoubt})
	}
	return out
}

func mustAsk(t *testing.T, guess []float64, students []Arrival) Asks {
	t.Helper()
	a, err := FitAsks(doubted(guess), students)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestAsksOfNobodyAreTheGuess(t *testing.T) {
	a := mustAsk(t, []float64{.4, math.Inf(-1)}, nil)
	if c := a.Components[0]; c.Mean != .4 || c.SD != AskDoubt || c.Evidence != None {
		t.Errorf("%+v", c)
	}
	if c := a.Components[1]; !math.IsInf(c.Mean, -1) || c.Evidence != None {
		t.Errorf("%+v", c)
	}
}

// One component and levels known: a logistic threshold with a normal prior, its
// mode by bisection of the score.
func TestOneAskIsALogisticThreshold(t *testing.T) {
	levels, reached := []float64{-1, 0, .4, 1, 2}, []bool{false, false, true, false, true}
	var students []Arrival
	for i, l := range levels {
		students = append(students, Arrival{Student: i, Levels: []Level{{Mean: l, SD: 1e-9}}, Reached: reached[i]})
	}
	score := func(r float64) (g, h float64) {
		g, h = (.2-r)/square(AskDoubt), 1/square(AskDoubt)
		for i, l := range levels {
			p := 1 / (1 + math.Exp(-2*(l-r)))
			if g += 2 * p; reached[i] {
				g -= 2
			}
			h += 4 * p * (1 - p)
		}
		return g, h
	}
	lo, hi := -9., 9.
	for range 100 {
		if g, _ := score((lo + hi) / 2); g > 0 {
			lo = (lo + hi) / 2
		} else {
			hi = (lo + hi) / 2
		}
	}
	f := newThresholds(2, []int{0}, doubted([]float64{.2}), students)
	if _, err := f.climb(); err != nil {
		t.Fatal(err)
	}
	_, h := score(lo)
	numtest.Close(t, "ask", f.ask[0], lo, 1e-6)
	numtest.Close(t, "variance", f.cov.At(0, 0), 1/h, 1e-6)
}

func TestAskSlopes(t *testing.T) {
	g := newGate(1, 0, .5, -.3)
	f := newThresholds(2, []int{0, 1, 2}, doubted(g.guess), g.students(12))
	f.ask = []float64{.2, .9, -.6}
	gradient, curvature := f.slopes()
	for i := range f.ask {
		along := func(x float64) float64 {
			ask := append([]float64(nil), f.ask...)
			ask[i] = x
			return f.value(ask)
		}
		numtest.Close(t, "score", gradient[i], numtest.Derivative(along, f.ask[i]), 1e-5)
		numtest.Close(t, "curvature", curvature.At(i, i), -numtest.Second(along, f.ask[i]), 1e-3)
		for j := range i {
			across := func(x float64) float64 {
				at := f.ask[j]
				f.ask[j] = x
				g, _ := f.slopes()
				f.ask[j] = at
				return g[i]
			}
			numtest.Close(t, "curvature across", curvature.At(i, j), -numtest.Derivative(across, f.ask[j]), 1e-4)
		}
	}
}

// The mode is one: no score is left there.
func TestAskModeHasNoScore(t *testing.T) {
	g := newGate(2, 0, .5, -.3, 1)
	f := newThresholds(4, []int{0, 1, 2, 3}, doubted(g.guess), g.students(60))
	if _, err := f.climb(); err != nil {
		t.Fatal(err)
	}
	gradient, _ := f.slopes()
	numtest.CloseAll(t, "score", gradient, make([]float64, 4), 1e-5)
}

// 80% intervals hold what is truly asked about as often as they say: 60
// milestones of four components, 60 students each.
func TestAskCoverage(t *testing.T) {
	inside, all, nearer := 0, 0, 0
	for seed := range uint64(60) {
		g := newGate(700+seed, 0, .5, -.5, 1)
		for k, c := range mustAsk(t, g.guess, g.students(60)).Components {
			all++
			if c.Lo <= g.truth[k] && g.truth[k] <= c.Hi {
				inside++
			}
			if math.Abs(c.Mean-g.truth[k]) < math.Abs(c.Guess.Mean-g.truth[k]) {
				nearer++
			}
		}
	}
	t.Logf("%d of %d inside, %d nearer than the guess", inside, all, nearer)
	if share := float64(inside) / float64(all); share < .72 || share > .88 {
		t.Errorf("80%% intervals hold %.0f%%", 100*share)
	}
	if nearer < all*6/10 {
		t.Errorf("%d of %d are nearer than the guess", nearer, all)
	}
}

func TestAsksOfFewAreFew(t *testing.T) {
	g := newGate(3, 0)
	students := g.students(200)
	all := mustAsk(t, g.guess, students).Components[0]
	if all.Evidence != Enough || all.Told < LeastTold {
		t.Errorf("%+v", all)
	}
	var reached []Arrival
	for _, s := range students {
		if s.Reached {
			reached = append(reached, s)
		}
	}
	if c := mustAsk(t, g.guess, reached).Components[0]; c.Evidence != None || c.Mean != c.Guess.Mean || c.SD != AskDoubt {
		t.Errorf("nobody failed, and yet %+v", c)
	}
}

func TestAskMisuse(t *testing.T) {
	panics(t, "an endless ask", func() { _, _ = FitAsks(doubted([]float64{math.Inf(1)}), nil) })
	panics(t, "a guess without doubt", func() { _, _ = FitAsks([]AskGuess{{0, 0}}, nil) })
	panics(t, "no level", func() { _, _ = FitAsks(doubted([]float64{0}), []Arrival{{}}) })
	panics(t, "no sd", func() { _, _ = FitAsks(doubted([]float64{0}), []Arrival{{Levels: []Level{{}}}}) })
}
