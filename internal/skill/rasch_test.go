package skill

import (
	"errors"
	"math"
	"strconv"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

type lsat6 struct {
	CML struct {
		Difficulty []float64 `json:"difficulty_sum_zero"`
		SE         []float64 `json:"se"`
		LogLik     float64   `json:"cond_loglik"`
	} `json:"cml"`
	Person struct {
		Table []struct {
			Score     int
			Theta, SE float64
		} `json:"table"`
	} `json:"person_ml"`
	Common struct {
		A          float64   `json:"a"`
		Difficulty []float64 `json:"difficulty"`
		EAP        struct {
			Score []int
			Mean  []float64
			SD    []float64
		} `json:"eap_by_score"`
	} `json:"mml_1pl_common_discrimination"`
}

// table counts passes by item and persons by score of LSAT section 6 (Bock &
// Lieberman 1970, Psychometrika 35:179-197).
func table(t *testing.T) (passed, scores []int) {
	passed, scores = make([]int, 5), make([]int, 6)
	for _, row := range numtest.CSV(t, "lsat6_patterns.csv") {
		n, score := int(numtest.Number(t, row["n"])), 0
		for i := range passed {
			if row["item"+strconv.Itoa(i+1)] == "1" {
				passed[i] += n
				score++
			}
		}
		scores[score] += n
	}
	return passed, scores
}

// R package eRm 1.0-2, RM(): testdata/lsat6_r_output.json. Its optimiser stops a
// few units of the sixth digit short of the maximum.
func TestRaschAgainstR(t *testing.T) {
	want := numtest.JSON[lsat6](t, "lsat6_r_output.json").CML
	got, err := FitRasch(table(t))
	if err != nil {
		t.Fatal(err)
	}
	numtest.CloseAll(t, "difficulty", got.Difficulty, want.Difficulty, 1e-5)
	numtest.CloseAll(t, "se", got.SE, want.SE, 1e-5)
	numtest.Close(t, "log-likelihood", got.LogLik, want.LogLik, 1e-11)
	if got.N != 1000 || got.Extreme != 3+298 {
		t.Errorf("persons %d, extreme %d", got.N, got.Extreme)
	}
}

// person.parameter() of eRm. The extreme scores it interpolates have no maximum.
func TestPersonsAgainstR(t *testing.T) {
	want := numtest.JSON[lsat6](t, "lsat6_r_output.json")
	for _, row := range want.Person.Table {
		p, err := MLPerson(row.Score, want.CML.Difficulty)
		if row.Score == 0 || row.Score == 5 {
			if !errors.Is(err, ErrExtremeScore) {
				t.Errorf("score %d: %v", row.Score, err)
			}
			continue
		}
		numtest.Close(t, "theta", p.Mean, row.Theta, 1e-5)
		numtest.Close(t, "se", p.SD, row.SE, 1e-4)
	}
	eap := want.Common.EAP
	for i, score := range eap.Score {
		p := EAPPerson(score, want.Common.Difficulty, want.Common.A, 0, 1)
		numtest.Close(t, "EAP mean", p.Mean, eap.Mean[i], 1e-8)
		numtest.Close(t, "EAP sd", p.SD, eap.SD[i], 1e-8)
	}
}

func TestConditionalLikelihoodDerivatives(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := rapid.SliceOfN(rapid.Float64Range(-2, 2), 3, 7).Draw(rt, "b")
		c := conditional{passed: make([]float64, len(b)), scores: make([]float64, len(b)+1)}
		for i := range b {
			c.passed[i] = float64(rapid.IntRange(1, 9).Draw(rt, "passed"))
			c.scores[i] = float64(rapid.IntRange(0, 9).Draw(rt, "scores"))
		}
		c.scores[0] = 0
		gradient, information := c.slope(b)
		vary := func(i int, f func() float64) float64 {
			return numtest.Derivative(func(x float64) float64 {
				old := b[i]
				defer func() { b[i] = old }()
				b[i] = x
				return f()
			}, b[i])
		}
		for i := range b {
			numtest.Close(t, "gradient", gradient[i], vary(i, func() float64 { return c.value(b) }), 1e-6)
			for j := range b {
				numtest.Close(t, "information", information.At(i, j), -vary(j, func() float64 { g, _ := c.slope(b); return g[i] }), 1e-6)
			}
		}
	})
}

// Two items: the conditional estimate is the log ratio of the discordant pairs.
func TestRaschOfTwoItems(t *testing.T) {
	got, err := FitRasch([]int{30 + 5, 10 + 5}, []int{7, 40, 5})
	if err != nil {
		t.Fatal(err)
	}
	numtest.Close(t, "difference", got.Difficulty[1]-got.Difficulty[0], math.Log(30./10), 1e-9)
	numtest.Close(t, "se of half the difference", got.SE[0], math.Sqrt(1./30+1./10)/2, 1e-9)
}

func TestRaschRefusesWhatHasNoMaximum(t *testing.T) {
	if _, err := FitRasch([]int{10, 5, 3}, []int{0, 2, 8, 0}); !errors.Is(err, ErrExtremeScore) {
		t.Errorf("an item everyone passed: %v", err)
	}
	panics(t, "contradicting counts", func() { _, _ = FitRasch([]int{9, 5, 3}, []int{0, 2, 7, 0}) })
}
