package skill

import (
	"errors"
	"math"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

// Each result is folded into a copy: levels in closed form, the limiter to the
// error of 512 points.
func TestForeseeAgainstUpdates(t *testing.T) {
	c, asks := NewComponents(intake(4), SharedAbility, nil), []float64{0, .3, -.5, 1}
	c.Measure(1, .4, .3)
	tests := []Test{{0, .4}, {1, .6}, {3, .9}}
	seen, err := c.Foresee(asks, tests)
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range seen {
		k, sd := tests[i].Component, tests[i].SD
		l := c.Level(k)
		for j, r := range f.Results {
			d := c.Clone()
			d.Measure(k, l.Mean+math.Sqrt(l.SD*l.SD+sd*sd)*five.at[j], sd)
			after, _ := d.Limiter(asks)
			for m := range r.P {
				level := d.Level(m)
				numtest.Close(t, "mean", r.Mean[m], level.Mean, 1e-9)
				numtest.Close(t, "sd", r.SD[m], level.SD, 1e-9)
				numtest.Close(t, "chance to limit", r.P[m], after.P[m], .06)
			}
		}
	}
}

// The moments of a standard normal: 1, 1, 3, 15, 105.
func TestFiveIsExact(t *testing.T) {
	for n, want := range []float64{1, 1, 3, 15, 105} {
		var sum float64
		for i, u := range five.at {
			sum += five.weight[i] * math.Pow(u, float64(2*n))
		}
		numtest.Close(t, "moment", sum, want, 1e-8)
	}
}

// On average over what a test may show, nothing is known that was not known
// before: means and chances to limit come out where they were.
func TestForesightIsFair(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		at := intake(5)
		asks := rapid.SliceOfN(rapid.Float64Range(-1, 1), 5, 5).Draw(rt, "asks")
		for k := range at {
			at[k].Mean = rapid.Float64Range(-1, 1).Draw(rt, "mean")
		}
		c := NewComponents(at, SharedAbility, nil)
		k := rapid.IntRange(0, 4).Draw(rt, "tested")
		seen, err := c.Foresee(asks, []Test{{k, rapid.Float64Range(.3, 1.5).Draw(rt, "sd")}})
		if err != nil {
			rt.Fatal(err)
		}
		now, _ := c.Limiter(asks)
		chance, mean, p := 0., make([]float64, 5), make([]float64, 5)
		for _, r := range seen[0].Results {
			chance += r.Chance
			for m := range p {
				mean[m] += r.Chance * r.Mean[m]
				p[m] += r.Chance * r.P[m]
			}
		}
		if math.Abs(chance-1) > 1e-9 {
			rt.Errorf("chances add up to %v", chance)
		}
		for m := range p {
			if math.Abs(mean[m]-at[m].Mean) > 1e-9 || math.Abs(p[m]-now.P[m]) > .06 {
				rt.Errorf("component %d: mean %v, was %v; limits %.3f, was %.3f", m, mean[m], at[m].Mean, p[m], now.P[m])
			}
		}
	})
}

// A variance of 1 tested with an error of variance 1 loses half; at .01 a day it
// is back after 50 days.
func TestAnAnswerLasts(t *testing.T) {
	at := []Component{{SD: 1, Noise: .01}, {SD: 1}}
	seen, err := NewComponents(at, 0, nil).Foresee([]float64{0, 0}, []Test{{0, 1}, {1, 1}})
	if err != nil {
		t.Fatal(err)
	}
	numtest.Close(t, "days", seen[0].Lasts, 50, 1e-9)
	if !math.IsInf(seen[1].Lasts, 1) {
		t.Errorf("what does not wander lasts %v days", seen[1].Lasts)
	}
}

func TestForeseeRefuses(t *testing.T) {
	c := NewComponents(intake(2), SharedAbility, nil)
	if _, err := c.Foresee([]float64{math.Inf(-1), math.Inf(-1)}, []Test{{0, 1}}); !errors.Is(err, ErrNothingAsked) {
		t.Error(err)
	}
	panics(t, "an exact test", func() { _, _ = c.Foresee([]float64{0, 0}, []Test{{0, 0}}) })
	panics(t, "a test without a result", func() { _, _ = c.Foresee([]float64{0, 0}, []Test{{0, math.Inf(1)}}) })
	panics(t, "an unknown component", func() { _, _ = c.Foresee([]float64{0, 0}, []Test{{2, 1}}) })
}

// BenchmarkForesee is a whole battery of nine components, as every week's plan
// asks for it.
func BenchmarkForesee(b *testing.B) {
	c, asks, tests := NewComponents(intake(9), SharedAbility, nil), make([]float64, 9), make([]Test, 9)
	for k := range tests {
		tests[k] = Test{k, .5}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := c.Foresee(asks, tests); err != nil {
			b.Fatal(err)
		}
	}
}
