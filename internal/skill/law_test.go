package skill

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

// Early on every law is the log-logistic, so that a catch is a second or more;
// with wear the tail is exponential: a logit falls by 1/(wear scale) a second.
func TestLaws(t *testing.T) {
	for _, l := range laws {
		numtest.Close(t, "just past a second", l.link(1+1e-6), math.Log(1e-6), 1e-6)
		if !math.IsInf(l.link(1), -1) || !math.IsInf(l.link(.3), -1) {
			t.Error("up to a second nothing is asked but a catch")
		}
		if math.IsInf(l.wear, 1) {
			numtest.Close(t, "log-logistic", l.link(9), math.Log(8), 1e-15)
			continue
		}
		numtest.Close(t, "tail", l.link(2001)-l.link(2000), 1/l.wear, 1e-3)
	}
}

// A prior bent to another law has its median hold at the same seconds.
func TestBentPriorKeepsTheMedian(t *testing.T) {
	for _, l := range laws {
		m := prior(l)
		numtest.Close(t, "median hold of a new student", m.m[holding], l.link(1+math.Exp(priorHold)), 1e-12)
		if m.p[holding*states+catching] != m.p[catching*states+holding] {
			t.Error("asymmetric")
		}
	}
}

// A tempered likelihood is a power of the likelihood.
func TestTempered(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l := logistic{scale: .8}
		lo := rapid.Float64Range(-2, 3).Draw(rt, "lo")
		l.between(lo, lo+rapid.Float64Range(.01, 2).Draw(rt, "width"))
		eta := rapid.Float64Range(-4, 5).Draw(rt, "eta")
		numtest.Close(t, "value", l.tempered().value(eta), temper*l.value(eta), 1e-12)
	})
}

// A bound is log-concave, and its slopes are those of its value.
func TestBound(t *testing.T) {
	for _, l := range []bound{{1, .5, false}, {1, .5, true}, {-2, 2, false}} {
		for eta := -25.0; eta <= 25; eta += .37 {
			g, h := l.slope(eta)
			numtest.Close(t, "gradient", g, numtest.Derivative(l.value, eta), 1e-5*(1+math.Abs(g)))
			numtest.Close(t, "curvature", -h, numtest.Second(l.value, eta), 1e-4*(1+h))
			if h < 0 {
				t.Errorf("%+v is not concave at %v", l, eta)
			}
		}
	}
	// R: pnorm(c(0, -5, -40), log.p = TRUE)
	for z, want := range map[float64]float64{0: -0.6931471805599453, -5: -15.06499839, -40: -804.6084420} {
		numtest.Close(t, "ln Phi", logNormalCDF(z), want, 1e-6)
	}
}

// A test at the end of its range says less than a reading there, and nothing
// against those who lie far beyond.
func TestATestAtItsEnd(t *testing.T) {
	read, ended := NewComponents(intake(1), 0, nil), NewComponents(intake(1), 0, nil)
	read.Measure(0, 1, .5)
	ended.Bound(0, 1, .5, false)
	if a, b := read.Level(0), ended.Level(0); b.Mean <= a.Mean || b.SD <= a.SD || b.N != 1 {
		t.Errorf("read %+v, ended %+v", a, b)
	}
	able := NewComponents([]Component{{Mean: 4, SD: .5}}, 0, nil)
	able.Bound(0, 1, .5, false)
	numtest.Close(t, "far beyond", able.Level(0).Mean, 4, 1e-3)
}
