package skill

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"
	"gonum.org/v1/gonum/mat"
)

// Montgomery & Runger, Applied Statistics and Probability for Engineers, 3rd
// ed., Example 16-6; NIST/SEMATECH e-Handbook sec. 6.3.2.3.
func TestCUSUMAgainstPublishedTables(t *testing.T) {
	for name, c := range map[string]CUSUM{
		"cusum_montgomery_runger.csv": {Target: 99, K: 1, H: 10},
		"cusum_nist_6_3_2_3.csv":      {Target: 325, K: .3175, H: 4.1959},
	} {
		for _, row := range numtest.CSV(t, name) {
			signal := c.Add(numtest.Number(t, row["x"]))
			numtest.Close(t, name+" high", c.High, numtest.Number(t, row["s_high"]), 1e-9)
			numtest.Close(t, name+" low", c.Low, numtest.Number(t, row["s_low"]), 1e-9)
			if signal != (row["signal"] == "TRUE") {
				t.Errorf("%s: point %s: signal %v", name, row["i"], signal)
			}
		}
		c.Reset()
		if c.High != 0 || c.Low != 0 {
			t.Error("sums remain after Reset")
		}
	}
}

// runLength is the mean number of points until a one-sided CUSUM of independent
// N(shift, 1) values signals, from 0: the Markov chain of Brook & Evans (1972),
// Biometrika 59:539, with n states.
func runLength(k, h, shift float64, n int) float64 {
	w := 2 * h / float64(2*n-1)
	a, ones := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		ones.SetVec(i, 1)
		for j := range n {
			up := normalCDF(float64(j-i)*w + w/2 + k - shift)
			if j > 0 {
				up -= normalCDF(float64(j-i)*w - w/2 + k - shift)
			}
			a.Set(i, j, -up)
			if i == j {
				a.Set(i, j, 1-up)
			}
		}
	}
	var x mat.VecDense
	if err := x.SolveVec(a, ones); err != nil {
		panic(err)
	}
	return x.AtVec(0)
}

// The run lengths stated for Look and Act (an earlier simulation gave 39, 4.7, 3.1
// and 118, 6.5, 3.8). The chain itself is checked on a
// published value: k = .5, h = 5 one-sided 930 and, for a shift of one sd, 10.4
// (Brook & Evans 1972; Montgomery, Introduction to Statistical Quality Control,
// table of CUSUM run lengths: two-sided 465; figures from memory).
func TestRunLengths(t *testing.T) {
	numtest.Close(t, "k .5, h 5", runLength(.5, 5, 0, 200), 930, .005)
	numtest.Close(t, "k .5, h 5, shift 1", runLength(.5, 5, 1, 200), 10.4, .005)
	for _, c := range []struct{ k, shift, want float64 }{
		{lookK, 0, 39}, {lookK, 1, 4.7}, {lookK, 1.5, 3.1},
		{actK, 0, 118}, {actK, 1, 6.5}, {actK, 1.5, 3.8},
	} {
		got := runLength(c.k, alarmH, c.shift, 200)
		t.Logf("k %.2f, shift %.1f sd: %.2f weeks", c.k, c.shift, got)
		numtest.Close(t, "weeks", got, c.want, .05)
	}
}

// The same by running Stall itself on independent residuals.
func TestStallRunLengths(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	mean := func(bar Signal, shift float64) float64 {
		const runs = 4000
		weeks := 0
		for range runs {
			s := NewStall()
			for weeks++; s.Add(rng.NormFloat64()-shift) < bar; weeks++ {
			}
		}
		return float64(weeks) / runs
	}
	numtest.Close(t, "look", mean(Look, 0), runLength(lookK, alarmH, 0, 200), .06) // sd of a run length is about its mean: 4 standard errors
	numtest.Close(t, "act", mean(Act, 0), runLength(actK, alarmH, 0, 200), .06)
	numtest.Close(t, "act, one sd short", mean(Act, 1), runLength(actK, alarmH, 1, 200), .06)
}

func TestStall(t *testing.T) {
	s := NewStall()
	for range 20 {
		if s.Add(2) != Quiet {
			t.Fatal("better than foretold is no signal")
		}
	}
	var seen []Signal
	for range 4 {
		seen = append(seen, s.Add(-1.4))
	}
	if seen[0] != Quiet || seen[2] != Look || seen[3] != Act {
		t.Errorf("signals %v", seen)
	}
	numtest.Close(t, "severity", s.Severity(), 4*(1.4-.25)/3, 1e-12)
	s.Reset()
	if s.Signal() != Quiet || s.Severity() != 0 {
		t.Error("a reset leaves a signal")
	}
	panics(t, "an undefined residual", func() { s.Add(math.NaN()) })
}

func TestLag1(t *testing.T) {
	s := NewStall()
	rng := rand.New(rand.NewPCG(1, 2))
	var z []float64
	for i := range 40 {
		if _, n, err := s.Lag1(); i < 8 && (!errors.Is(err, ErrFewWeeks) || n != i) {
			t.Errorf("after %d weeks: %v", i, err)
		}
		z = append(z, 3+rng.NormFloat64())
		s.Add(z[i])
	}
	var mean, cross, around float64
	for _, x := range z {
		mean += x / 40
	}
	for i, x := range z {
		around += (x - mean) * (x - mean)
		if i > 0 {
			cross += (x - mean) * (z[i-1] - mean)
		}
	}
	r, n, err := s.Lag1()
	if err != nil || n != 40 {
		t.Fatal(n, err)
	}
	numtest.Close(t, "lag 1", r, cross/around, 1e-12)
}
