package holds

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"

	"pgregory.net/rapid"
)

// Source: R 4.2.2 binom.test, prop.test(correct = FALSE), qbeta; the three papers
// named at [Wilson].
func TestIntervalsOfAShareAgreeWithR(t *testing.T) {
	for _, row := range numtest.CSV(t, "binomial_intervals_r.csv") {
		x, n := int(numtest.Number(t, row["x"])), int(numtest.Number(t, row["n"]))
		level := numtest.Number(t, row["level"])
		for method, prefix := range map[Method]string{Wilson: "wilson", ClopperPearson: "cp", Jeffreys: "jeffreys"} {
			got, err := Rate(x, n, method, level)
			if err != nil {
				t.Fatal(err)
			}
			what := fmt.Sprintf("%s %d/%d %v", method, x, n, level)
			numtest.Close(t, what+" lo", got.Lo, numtest.Number(t, row[prefix+"_lower"]), 1e-9)
			numtest.Close(t, what+" hi", got.Hi, numtest.Number(t, row[prefix+"_upper"]), 1e-9)
			numtest.Close(t, what+" p", got.P, float64(x)/float64(n), 0)
		}
	}
}

func TestRateOfMisuseAndThinData(t *testing.T) {
	if _, err := Rate(0, 0, Wilson, .95); !errors.Is(err, ErrNoTries) {
		t.Errorf("no tries: %v", err)
	}
	panics(t, "more passes than tries", func() { Rate(3, 2, Wilson, .95) })
	panics(t, "level", func() { Rate(1, 2, Wilson, 1) })
	panics(t, "method", func() { Rate(1, 2, "wald", .95) })
	panics(t, "more caught than attempts", func() { Tries{Attempts: 1, Caught: 2}.Catch(Wilson, .95) })
	panics(t, "more holds than caught", func() { Tries{Attempts: 2, Holds: make([]Hold, 1)}.Catch(Wilson, .95) })
	panics(t, "a tally of one with two best", func() {
		Tries{Attempts: 2, Caught: 1, Tallies: []Tally{{Caught: 1, Best: 3, Second: 2}}}.Catch(Wilson, .95)
	})
}

// With no censoring P(>= t) and its interval are Wilson's on the count itself.
func TestAtLeastWithoutCensoringIsWilson(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		holds := drawHolds(r, 1)
		for i := range holds {
			holds[i].Fell = true
		}
		at := 1 + float64(rapid.IntRange(0, 65).Draw(r, "tenths"))/10
		tries := Tries{Attempts: len(holds) + rapid.IntRange(0, 10).Draw(r, "missed"), Caught: len(holds), Holds: holds}
		x := 0
		for _, h := range holds {
			if h.Seconds >= at {
				x++
			}
		}
		want, _ := Rate(x, tries.Attempts, Wilson, .9)
		got, err := tries.AtLeast(at, .9)
		if err != nil {
			r.Fatal(err)
		}
		numtest.Close(t, "n", got.NEff, float64(tries.Attempts), 1e-9)
		numtest.Close(t, "p", got.P, want.P, 1e-12)
		numtest.Close(t, "lo", got.Lo, want.Lo, 1e-10)
		numtest.Close(t, "hi", got.Hi, want.Hi, 1e-10)
	})
}

func TestAtLeastOfThinData(t *testing.T) {
	for what, c := range map[string]struct {
		tries Tries
		err   error
	}{
		"no tries":          {Tries{Excluded: 3}, ErrNoTries},
		"only tallies":      {Tries{Attempts: 4, Caught: 2, Tallies: []Tally{{Caught: 2, Best: 4}}}, ErrNoHolds},
		"lowered before 15": {Tries{Attempts: 2, Caught: 1, Holds: []Hold{{Seconds: 9}}}, ErrNotFollowed},
	} {
		if _, err := c.tries.AtLeast(15, .95); !errors.Is(err, c.err) {
			t.Errorf("%s: %v, want %v", what, err, c.err)
		}
	}
	got, err := Tries{Attempts: 6}.AtLeast(15, .95)
	want, _ := Rate(0, 6, Wilson, .95)
	if err != nil || got.P != 0 || got.Hi != want.Hi {
		t.Errorf("nothing caught: %+v, %v", got, err)
	}
}

// world draws tries of a student: catches, log-logistic holds, some lowered early.
type world struct {
	catch, eta, sigma float64
	lower             float64 // mean seconds until a hold is lowered
	n                 int
}

func (w world) draw(rng *rand.Rand) Tries {
	t := Tries{Attempts: w.n}
	for range w.n {
		if rng.Float64() >= w.catch {
			continue
		}
		t.Caught++
		hold := 1 + logLogisticDraw(rng, w.eta, w.sigma)
		lowered := 1 + rng.ExpFloat64()*w.lower
		t.Holds = append(t.Holds, Hold{Seconds: min(hold, lowered), Fell: hold <= lowered})
	}
	return t
}

// The 95% interval of P(>= t) covers the truth in 92% or more of samples, whether
// few or many holds are lowered early. 3,000 samples: a Monte-Carlo standard error
// under .005, so .90 leaves four of them.
func TestAtLeastCovers(t *testing.T) {
	for _, w := range []world{
		{catch: .8, eta: 2, sigma: .7, lower: 20, n: 30},
		{catch: .95, eta: 3.5, sigma: .6, lower: 15, n: 20},
		{catch: 1, eta: 4, sigma: .5, lower: 8, n: 20},
		{catch: .9, eta: 1.5, sigma: .6, lower: 10, n: 30},
		{catch: .9, eta: 2.5, sigma: .7, lower: 1e9, n: 20},
	} {
		rng := rand.New(rand.NewPCG(1, 2))
		truth := w.catch / (1 + math.Exp((math.Log(14)-w.eta)/w.sigma))
		covered, answered := 0, 0
		for range 3000 {
			c, err := w.draw(rng).AtLeast(15, .95)
			if err != nil {
				continue
			}
			answered++
			if c.Lo <= truth && truth <= c.Hi {
				covered++
			}
		}
		share := float64(covered) / float64(answered)
		t.Logf("%+v: P(>= 15) %.3f, answered %d of 3000, covered %.3f", w, truth, answered, share)
		if share < .90 {
			t.Errorf("%+v: covered %.3f", w, share)
		}
	}
}

// Of ten caught holds nine were lowered at 5 s: the one that went on to 20 s is
// all there is to know about 15 s.
func TestHoldsLoweredEarlyTellNothingOfLater(t *testing.T) {
	tries := Tries{Attempts: 10, Caught: 10, Holds: []Hold{{Seconds: 20, Fell: true}}}
	for range 9 {
		tries.Holds = append(tries.Holds, Hold{Seconds: 5})
	}
	c, err := tries.AtLeast(15, .95)
	if err != nil {
		t.Fatal(err)
	}
	one, _ := Rate(1, 1, Wilson, .95)
	if c.P != 1 || c.NEff != 1 || c.AtRisk != 1 || c.Lo != one.Lo {
		t.Errorf("%+v", c)
	}
	tries.Holds[0] = Hold{Seconds: 6, Fell: true}
	c, err = tries.AtLeast(15, .95)
	none, _ := Rate(0, 1, Wilson, .95)
	if err != nil || c.P != 0 || c.NEff != 1 || c.Hi != none.Hi {
		t.Errorf("%+v, %v", c, err)
	}
}
