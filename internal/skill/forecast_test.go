package skill

import (
	"errors"
	"math/rand/v2"
	"slices"
	"testing"

	"aplomb/internal/numtest"
)

// Against daily paths of the whole state by brute force, looked at once a week.
func TestForecastAgainstDailyPaths(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 21))
	for seed := range uint64(4) {
		h := practised(seed+30, 12)
		got, err := h.Forecast(5, .5)
		if err != nil {
			t.Fatal(err)
		}
		const n = 4000
		var weeks []int
		for i, share := range h.share(n) {
			for range share {
				weeks = append(weeks, daily(&h.bank[i], rng, 5, .5))
			}
		}
		slices.Sort(weeks)
		rank := func(w int) float64 { i, _ := slices.BinarySearch(weeks, w+1); return float64(i) / n }
		t.Logf("%+v", got)
		numtest.Close(t, "now", got.Now, rank(0), .04)
		numtest.Close(t, "within", got.Within, rank(Horizon), .05)
		if w := got.WeeksMid; w != Never && (rank(w) < .45 || rank(w-1) > .55) || w == Never && rank(Horizon) > .55 {
			t.Errorf("median %d: %.2f by then, %.2f the week before", w, rank(w), rank(w-1))
		}
		held := 1 - rank(got.WeeksLo-1)
		if got.WeeksHi != Never {
			held = rank(got.WeeksHi) - rank(got.WeeksLo-1)
		}
		numtest.Close(t, "held", got.Held, held, .05)
		if got.Held < forecastLevel {
			t.Errorf("weeks %d to %d hold %.2f", got.WeeksLo, got.WeeksHi, got.Held)
		}
	}
}

// daily follows one student drawn from a member night by night.
func daily(m *member, rng *rand.Rand, seconds, target float64) int {
	s := truth{m.m, m.noise, laws[m.law], rng}
	root := m.p
	cholesky(root[:], states)
	for j := range states {
		u := rng.NormFloat64()
		for i := j; i < states; i++ {
			s.x[i] += root[i*states+j] * u
		}
	}
	for w := range Horizon + 1 {
		if s.atLeast(seconds) >= target {
			return w
		}
		for range 7 {
			s.night()
		}
	}
	return Horizon + 1
}

func TestForecast(t *testing.T) {
	h := NewHeadline()
	if _, err := h.Forecast(15, .8); !errors.Is(err, ErrNoTries) {
		t.Errorf("the prior is no forecast: %v", err)
	}
	for i := range 200 {
		h.Try(Try{Caught: true, Seconds: 40, Fell: true, Index: i%4 + 1, Cold: true})
	}
	if f, err := h.Forecast(1, .5); err != nil || f.WeeksHi != 0 || f.Now < .99 || f.Within < f.Now {
		t.Errorf("reached: %+v, %v", f, err)
	}
	for range 1200 {
		h.Try(Try{Index: 20})
	}
	f, err := h.Forecast(60, .95)
	if err != nil || f.WeeksHi != Never || f.Within > .6 {
		t.Errorf("far off: %+v, %v", f, err)
	}
	again, _ := h.Forecast(60, .95)
	if f != again {
		t.Error("the same log gives the same forecast")
	}
	panics(t, "a target of 1", func() { _, _ = h.Forecast(15, 1) })
	panics(t, "negative seconds", func() { _, _ = h.Forecast(-1, .5) })
}

// A longer hold or a higher target is never sooner.
func TestForecastIsMonotone(t *testing.T) {
	h := practised(41, 20)
	last := Forecast{Within: 1, Now: 1}
	for _, seconds := range []float64{1, 3, 5, 10, 15, 30} {
		f, err := h.Forecast(seconds, .6)
		if err != nil {
			t.Fatal(err)
		}
		if f.Within > last.Within+.03 || f.Now > last.Now+.03 {
			t.Errorf("%g s: %+v after %+v", seconds, f, last)
		}
		last = f
	}
}

func TestShortest(t *testing.T) {
	for _, c := range []struct {
		bins                 []int
		enough, lo, hi, held int
	}{
		{[]int{10}, 8, 0, 0, 10},
		{[]int{5, 1, 1, 1, 1, 1}, 8, 0, 3, 8},
		{[]int{1, 4, 4, 1}, 8, 1, 2, 8},
		{[]int{4, 4, 0, 4, 4}, 8, 0, 1, 8}, // the earliest of equals
		{[]int{1, 0, 0, 0, 9}, 10, 0, 4, 10},
	} {
		if lo, hi, held := shortest(c.bins, c.enough); lo != c.lo || hi != c.hi || held != c.held {
			t.Errorf("%v: bins %d to %d hold %d", c.bins, lo, hi, held)
		}
	}
}
