package holds

import (
	"errors"
	"fmt"
	"testing"

	"aplomb/internal/numtest"

	"pgregory.net/rapid"
)

// rDiff is the output of R's survdiff.
type rDiff struct {
	Groups             []string
	N                  []float64
	Observed, Expected []float64
	Variance           [][]float64
	ChiSq              float64
	DF                 int
	P                  float64
}

func (r rDiff) compare(t *testing.T, what string, c Comparison) {
	t.Helper()
	for i, g := range c.Groups {
		numtest.Close(t, what+" n", float64(g.N), r.N[i], 0)
		numtest.Close(t, what+" observed", g.Observed, r.Observed[i], 1e-9)
		numtest.Close(t, what+" expected", g.Expected, r.Expected[i], 1e-9)
		if r.Variance != nil {
			numtest.CloseAll(t, what+" variance", c.Variance[i], r.Variance[i], 1e-9)
		}
	}
	numtest.Close(t, what+" chisq", c.ChiSq, r.ChiSq, 1e-9)
	numtest.Close(t, what+" p", c.P, r.P, 1e-9)
	if c.DF != r.DF {
		t.Errorf("%s: %d degrees of freedom, want %d", what, c.DF, r.DF)
	}
}

// Source: R 4.2.2 survival 3.5-3 survdiff; the widely printed chi-squares are 3.4
// for aml and 16.79 for Freireich's trial.
func TestLogRankAgreesWithR(t *testing.T) {
	for _, trial := range []struct{ data, column, out string }{
		{"aml.csv", "x", "aml_r_output.json"},
		{"freireich_6mp.csv", "treat", "freireich_6mp_r_output.json"},
	} {
		holds := readHolds(t, trial.data, trial.column)
		file := numtest.JSON[rFile](t, trial.out)
		for rho, want := range []rDiff{file.Rho0, file.Rho1} {
			got, err := LogRank([][]Hold{holds[want.Groups[0]], holds[want.Groups[1]]}, float64(rho))
			if err != nil {
				t.Fatal(err)
			}
			want.compare(t, fmt.Sprintf("%s rho %d", trial.out, rho), got)
		}
	}
}

// Source: R 4.2.2 survival 3.5-3, survdiff(… + strata(pair)); chi-square 10.714.
func TestLogRankByPairAgreesWithR(t *testing.T) {
	pairs := map[string][][]Hold{}
	for _, row := range numtest.CSV(t, "freireich_6mp.csv") {
		p := row["pair"]
		if pairs[p] == nil {
			pairs[p] = make([][]Hold, 2)
		}
		g := 0
		if row["treat"] == "control" {
			g = 1
		}
		pairs[p][g] = append(pairs[p][g], Hold{Seconds: numtest.Number(t, row["time"]), Fell: row["status"] == "1"})
	}
	var strata [][][]Hold
	for _, s := range pairs {
		strata = append(strata, s)
	}
	want := numtest.JSON[struct {
		Pair rDiff `json:"logrank_stratified_by_pair"`
	}](t, "freireich_extra_models_r_output.json").Pair
	got, err := LogRankStratified(strata, 0)
	if err != nil {
		t.Fatal(err)
	}
	numtest.Close(t, "chisq", got.ChiSq, want.ChiSq, 1e-9)
	numtest.Close(t, "p", got.P, want.P, 1e-9)
	if got.DF != want.DF {
		t.Errorf("%d degrees of freedom, want %d", got.DF, want.DF)
	}
}

// extraRank is one case of extra.R: four groups, strata, both weights.
type extraRank struct {
	Time, Status   []float64
	Group, Stratum []int
	Rho            float64
	rDiff
}

// Source: R 4.2.2 survival 3.5-3, testdata/extra.R (data sets veteran and lung).
func TestLogRankOfManyGroupsAndStrataAgreesWithR(t *testing.T) {
	for i, e := range numtest.JSON[extraFile](t, "extra_r_output.json").Ranks {
		strata := make([][][]Hold, 0)
		for j, s := range e.Stratum {
			for len(strata) < s {
				strata = append(strata, make([][]Hold, len(e.N)))
			}
			g := e.Group[j] - 1
			strata[s-1][g] = append(strata[s-1][g], Hold{Seconds: e.Time[j], Fell: e.Status[j] == 1})
		}
		got, err := LogRankStratified(strata, e.Rho)
		if err != nil {
			t.Fatal(err)
		}
		e.compare(t, fmt.Sprintf("case %d rho %v", i, e.Rho), got)
	}
}

// Every fall is expected somewhere, and the order of the groups does not matter.
func TestLogRankProperties(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		a, b, c := drawHolds(r, 1), drawHolds(r, 1), drawHolds(r, 1)
		rho := float64(rapid.IntRange(0, 1).Draw(r, "rho"))
		got, err := LogRank([][]Hold{a, b, c}, rho)
		swapped, err2 := LogRank([][]Hold{c, a, b}, rho)
		if (err == nil) != (err2 == nil) {
			r.Fatalf("%v but %v in another order", err, err2)
		}
		if err != nil {
			r.Skip()
		}
		numtest.Close(t, "chisq in another order", swapped.ChiSq, got.ChiSq, 1e-7)
		sum := 0.0
		for _, g := range got.Groups {
			sum += g.Observed - g.Expected
		}
		numtest.Close(t, "observed less expected", sum, 0, 1e-9)
	})
}

func TestLogRankOfThinData(t *testing.T) {
	fell := []Hold{{Seconds: 2, Fell: true}, {Seconds: 3, Fell: true}}
	for what, groups := range map[string][][]Hold{
		"no falls":                          {{{Seconds: 2}}, {{Seconds: 3}}},
		"one group":                         {fell},
		"an empty group":                    {fell, nil},
		"never both at risk":                {{{Seconds: 1, Fell: true}}, nil},
		"one hold each, the last two alone": {{{Seconds: 5, Fell: true}}, {{Seconds: 1}}},
	} {
		if _, err := LogRank(groups, 0); !errors.Is(err, ErrNoContrast) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := LogRankStratified(nil, 0); !errors.Is(err, ErrNoContrast) {
		t.Errorf("no strata: %v", err)
	}
	panics(t, "strata of two sizes", func() { LogRankStratified([][][]Hold{{fell, fell}, {fell}}, 0) })
	panics(t, "no groups", func() { LogRank(nil, 0) })
	panics(t, "rho", func() { LogRank([][]Hold{fell, fell}, -1) })
}
