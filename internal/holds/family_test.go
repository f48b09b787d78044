package holds

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
)

// Every derivative by finite differences, and every value by the survival alone.
func TestFamiliesByFiniteDifferences(t *testing.T) {
	for _, f := range []Family{Weibull, LogLogistic} {
		law := f.shape()
		survival := func(z float64) float64 { return math.Exp(law.survival(z).v) }
		for name, g := range map[string]func(float64) slope{
			"density": law.density, "survival": law.survival, "distribution": law.distribution,
		} {
			for _, z := range []float64{-4, -1.3, 0, .4, 2} {
				value := func(z float64) float64 { return g(z).v }
				first := func(z float64) float64 { return g(z).d }
				what := string(f) + " " + name
				numtest.Close(t, what+" first", g(z).d, numtest.Derivative(value, z), 1e-8)
				numtest.Close(t, what+" second", g(z).dd, numtest.Derivative(first, z), 1e-8)
			}
		}
		for _, z := range []float64{-4, -1.3, 0, .4, 2} {
			numtest.Close(t, "density", math.Exp(law.density(z).v), -numtest.Derivative(survival, z), 1e-9)
			numtest.Close(t, "distribution", math.Exp(law.distribution(z).v), 1-survival(z), 1e-14)
		}
		checkBetween(t, string(f), law)
	}
}

func checkBetween(t *testing.T, what string, law shape) {
	t.Helper()
	for _, z := range [][2]float64{{-2, -1.5}, {-.2, .1}, {.5, 2}} {
		a, b := z[0], z[1]
		got := law.between(a, b)
		numtest.Close(t, what+" interval", math.Exp(got.v), math.Exp(law.survival(a).v)-math.Exp(law.survival(b).v), 1e-14)
		for _, d := range []struct {
			name string
			got  float64
			of   func(slope2) float64
			inA  bool
		}{
			{"da", got.da, func(s slope2) float64 { return s.v }, true},
			{"db", got.db, func(s slope2) float64 { return s.v }, false},
			{"daa", got.daa, func(s slope2) float64 { return s.da }, true},
			{"dab", got.dab, func(s slope2) float64 { return s.da }, false},
			{"dbb", got.dbb, func(s slope2) float64 { return s.db }, false},
		} {
			along := func(x float64) float64 { return d.of(law.between(a, x)) }
			at := b
			if d.inA {
				along, at = func(x float64) float64 { return d.of(law.between(x, b)) }, a
			}
			numtest.Close(t, what+" interval "+d.name, d.got, numtest.Derivative(along, at), 1e-7)
		}
	}
}

// Far in the tails nothing overflows.
func TestFamiliesInTheTails(t *testing.T) {
	for _, f := range []Family{Weibull, LogLogistic} {
		law := f.shape()
		for _, z := range []float64{-800, -40, 5} {
			for name, s := range map[string]slope{"density": law.density(z), "survival": law.survival(z), "distribution": law.distribution(z)} {
				if math.IsNaN(s.v+s.d+s.dd) || math.IsInf(s.v+s.d+s.dd, 0) {
					t.Errorf("%s %s at %v: %+v", f, name, z, s)
				}
			}
		}
	}
	numtest.Close(t, "log-logistic survival at 800", logistic{}.survival(800).v, -800, 0)
	panics(t, "family", func() { FitFamily("normal", Tries{}) })
}
