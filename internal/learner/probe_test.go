package learner

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"

	"aplomb/internal/numtest"
)

func TestReadingsAreTheLevelWithError(t *testing.T) {
	const n = 20000
	s := at(1.4)
	usual, hollow := make([]float64, n), make([]float64, n)
	f := FloorTest{Mid: 25, Scale: 12, Noise: 2, Min: -1e9, Max: 1e9}
	for i := range n {
		usual[i], hollow[i] = s.Measured(Tension), s.Result(Tension, f)
	}
	mean, sd := stat.MeanStdDev(usual, nil)
	numtest.Close(t, "mean, logits", mean, 1.4, 4.5*.5/math.Sqrt(n))
	numtest.Close(t, "sd, logits", sd, .5, 4.5*.5/math.Sqrt(2*n))
	mean, sd = stat.MeanStdDev(hollow, nil)
	numtest.Close(t, "mean, s", mean/12, (25+12*1.4)/12, 4.5/math.Sqrt(n))
	numtest.Close(t, "sd, s", sd/12, 2*.5, 4.5/math.Sqrt(2*n))
}

func TestResultsStayOnTheTestsScale(t *testing.T) {
	fear := FloorTest{Mid: 5, Scale: -2, Noise: 0, Min: 0, Max: 10}
	numtest.Close(t, "fear", at(1).Result(Confidence, fear), 3, 1e-12)
	numtest.Close(t, "no fear", at(7).Result(Confidence, fear), 0, 0)
	numtest.Close(t, "all fear", at(-7).Result(Confidence, fear), 10, 0)
}

func TestPassesOutOfTries(t *testing.T) {
	s, passed := at(.3), 0
	for range 2000 {
		r := s.Result(Entry, FloorTest{Tries: 10, Mid: -.5})
		if r < 0 || r > 10 || r != math.Trunc(r) {
			t.Fatalf("%g of 10", r)
		}
		passed += int(r)
	}
	nearShare(t, "passed", passed, 20000, sigmoid(.8))
}

func TestFloorTestsThatCannotBe(t *testing.T) {
	panics(t, "no scale", func() { plain().Result(Line, FloorTest{Max: 1}) })
	panics(t, "no limits", func() { plain().Result(Line, FloorTest{Scale: 1}) })
	panics(t, "negative error", func() { plain().Result(Line, FloorTest{Scale: 1, Noise: -1, Max: 1}) })
}
