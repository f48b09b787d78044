package learner

import (
	"math"
	"testing"
)

// plain is a student without spread: every level at its start mean, every
// ceiling at 7.5, rate and fatigability 1.
func plain() *Student {
	p := Defaults()
	p.CeilingSD, p.RateSD, p.TiringSD, p.StartSD, p.SharedSD, p.AdherenceSD = 0, 0, 0, 0, 0, 0
	return New(p, 1)
}

// at is a plain student with every level at a value, who learns no more.
func at(level float64) *Student {
	s := plain()
	for k := range s.slow {
		s.slow[k], s.start[k] = level, level
	}
	s.Stop()
	return s
}

// nearShare fails where a count is further from n p than four and a half
// standard deviations: seeds are fixed, so it holds or not for good.
func nearShare(t *testing.T, what string, count, n int, p float64) {
	t.Helper()
	sd := math.Sqrt(p * (1 - p) / float64(n))
	if got := float64(count) / float64(n); math.Abs(got-p) > 4.5*sd+1e-12 {
		t.Errorf("%s: share %.4f of %d, want %.4f within %.4f", what, got, n, p, 4.5*sd)
	}
}

func panics(t *testing.T, what string, f func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Errorf("%s: no panic", what)
		}
	}()
	f()
}
