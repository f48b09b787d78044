package skill

import (
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func TestCuesOfNothing(t *testing.T) {
	cues, mean := FitCues(nil)
	if len(cues) != 0 || mean.Evidence != None {
		t.Errorf("%v, %+v", cues, mean)
	}
	// Nobody spoke: one voice to each outcome.
	numtest.Close(t, "helped", mean.Helped.P, 1./3, 1e-12)
	numtest.Close(t, "lower end", mean.Helped.Lo, distuv.Beta{Alpha: 1, Beta: 2}.Quantile(.1), 1e-9)
}

// The likelihood of one voice is the mean itself, and of two of a kind
// p(sp + 1)/(s + 1).
func TestBetaBinomialByHand(t *testing.T) {
	numtest.Close(t, "one voice", betaBinomial(1, 1, .3*7, .7*7), math.Log(.3), 1e-12)
	numtest.Close(t, "two of a kind", betaBinomial(2, 2, .5*7, .5*7), math.Log(.5*4.5/8), 1e-12)
}

// A cue lies between its own share and the mean.
func TestCuesShrinkToTheMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var of []Outcomes
		for range rapid.IntRange(1, 12).Draw(t, "cues") {
			n := rapid.IntRange(0, 40)
			of = append(of, Outcomes{n.Draw(t, "helped"), n.Draw(t, "neither"), n.Draw(t, "confusing")})
		}
		cues, mean := FitCues(of)
		for i, c := range cues {
			for k, s := range c.shares() {
				if s.Lo > s.P || s.P > s.Hi || s.Lo < 0 || s.Hi > 1 {
					t.Fatalf("%+v", s)
				}
				m := mean.shares()[k].P
				own := m
				if c.N > 0 {
					own = float64(of[i].counts()[k]) / float64(c.N)
				}
				if s.P < min(own, m)-1e-9 || s.P > max(own, m)+1e-9 {
					t.Fatalf("%g is not between %g and %g", s.P, own, m)
				}
			}
		}
	})
}

func TestCueWithManyVoicesIsItsOwn(t *testing.T) {
	cues, _ := FitCues([]Outcomes{{9000, 500, 500}, {500, 9000, 500}, {0, 0, 0}, {4, 0, 0}, {5, 0, 0}})
	numtest.Close(t, "helped", cues[0].Helped.P, .9, 1e-3)
	for i, want := range []Evidence{Enough, Enough, None, Few, Enough} {
		if cues[i].Evidence != want {
			t.Errorf("cue %d: %s", i, cues[i].Evidence)
		}
	}
}

// 60 cues of 1 to 20 voices each, whose true shares scatter: 80% intervals hold
// them about as often as they say.
func TestCueCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	inside, all := 0, 0
	for range 10 {
		var of []Outcomes
		var truth []float64
		for range 60 {
			p := distuv.Beta{Alpha: 4, Beta: 6, Src: rng}.Rand()
			o, n := Outcomes{}, 1+rng.IntN(20)
			for range n {
				switch u := rng.Float64(); {
				case u < p:
					o.Helped++
				case u < p+(1-p)*.7:
					o.Neither++
				default:
					o.Confusing++
				}
			}
			of, truth = append(of, o), append(truth, p)
		}
		cues, _ := FitCues(of)
		for i, c := range cues {
			all++
			if c.Helped.Lo <= truth[i] && truth[i] <= c.Helped.Hi {
				inside++
			}
		}
	}
	t.Logf("%d of %d", inside, all)
	if share := float64(inside) / float64(all); share < .74 || share > .86 {
		t.Errorf("80%% intervals hold %.0f%%", 100*share)
	}
}

func TestCueMisuse(t *testing.T) {
	panics(t, "a negative count", func() { FitCues([]Outcomes{{-1, 0, 0}}) })
}
