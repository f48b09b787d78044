package skill

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

// same compares the banks of two students.
func same(t *testing.T, a, b *Headline, tol float64) {
	t.Helper()
	for i := range a.bank {
		numtest.CloseAll(t, "mean", a.bank[i].m[:], b.bank[i].m[:], tol)
		numtest.CloseAll(t, "covariance", a.bank[i].p[:], b.bank[i].p[:], tol)
		numtest.Close(t, "weight", a.weights()[i], b.weights()[i], tol)
	}
}

func TestATallyOfOneIsATry(t *testing.T) {
	for _, half := range []float64{0, .5} {
		a, b := NewHeadline(), NewHeadline()
		a.Try(Try{Caught: true, Seconds: 6, Half: half, Fell: true, Index: 2, Cold: true})
		b.Tally(Tally{Tries: 1, Caught: 1, Best: 6, Half: half, First: 2, Cold: true})
		same(t, &a, &b, 1e-12)
		a, b = NewHeadline(), NewHeadline()
		a.Try(Try{Index: 5})
		b.Tally(Tally{Tries: 1, First: 5})
		same(t, &a, &b, 1e-12)
	}
}

// Folding a set in one step or in many differs by Laplace's error alone.
func TestATallyIsNearItsTries(t *testing.T) {
	a, b := NewHeadline(), NewHeadline()
	for i := range 10 {
		a.Try(Try{Caught: i%5 != 0, Index: 13 + i})
	}
	b.Tally(Tally{Tries: 10, Caught: 8, First: 13})
	for i := range a.bank {
		numtest.Close(t, "catching", a.bank[i].m[catching], b.bank[i].m[catching], .05)
		numtest.Close(t, "its variance", a.bank[i].p[0], b.bank[i].p[0], .03)
	}
}

// The n-2 other holds of a set pull the median under the second best.
func TestOtherHoldsPullDown(t *testing.T) {
	few, many := NewHeadline(), NewHeadline()
	few.Tally(Tally{Tries: 20, Caught: 2, Best: 8, Second: 6, First: 1})
	many.Tally(Tally{Tries: 20, Caught: 20, Best: 8, Second: 6, First: 1})
	best := NewHeadline()
	best.Tally(Tally{Tries: 20, Caught: 20, Best: 8, First: 1})
	for i := range few.bank {
		if few.bank[i].m[holding] <= many.bank[i].m[holding]+.2 {
			t.Errorf("two caught %.2f, twenty caught %.2f", few.bank[i].m[holding], many.bank[i].m[holding])
		}
		if best.bank[i].m[holding] >= few.bank[i].m[holding] {
			t.Errorf("the best alone of twenty %.2f", best.bank[i].m[holding])
		}
	}
}

func TestCensoringAndTimingDoubt(t *testing.T) {
	fell, lowered, counted := NewHeadline(), NewHeadline(), NewHeadline()
	fell.Try(Try{Caught: true, Seconds: 10, Fell: true, Index: 1})
	lowered.Try(Try{Caught: true, Seconds: 10, Index: 1})
	counted.Try(Try{Caught: true, Seconds: 10, Half: 2, Fell: true, Index: 1})
	for i := range fell.bank {
		f, l, c := &fell.bank[i], &lowered.bank[i], &counted.bank[i]
		const v = holding * (states + 1)
		if l.m[holding] <= f.m[holding] || l.p[v] <= f.p[v] || c.p[v] < f.p[v]-5e-3 {
			t.Errorf("member %d: fell %.3f (%.3f), lowered %.3f (%.3f), counted %.3f (%.3f)",
				i, f.m[holding], f.p[v], l.m[holding], l.p[v], c.m[holding], c.p[v])
		}
	}
	if n, censored := lowered.Tries(); n != 1 || censored != 1 {
		t.Error(n, censored)
	}
	if n, censored := fell.Tries(); n != 1 || censored != 0 {
		t.Error(n, censored)
	}
}

// A catch nobody timed says that it was caught.
func TestAnUntimedCatch(t *testing.T) {
	h := NewHeadline()
	h.Try(Try{Caught: true, Index: 1})
	for i := range h.bank {
		if p := prior(laws[h.bank[i].law]); h.bank[i].m[catching] <= p.m[catching] || h.bank[i].p[catching] >= p.p[catching] {
			t.Error("a catch is news")
		}
	}
	if r, err := h.CloseWeek(); err != nil || r.Timed != 0 {
		t.Error(r, err)
	}
}

func TestColdAndTired(t *testing.T) {
	for index, want := range map[int]float64{1: 1, 2: .6, 3: .35, 4: 0, 50: 0} {
		numtest.Close(t, "cold", coldness(index, true), want, 0)
		numtest.Close(t, "warm", coldness(index, false), 0, 0)
	}
	for index, want := range map[int]float64{1: 0, 5: .5, 13: 1.5, 50: 1.5} {
		numtest.Close(t, "tired", tiredness(index), want, 0)
	}
	h := NewHeadline()
	for reps, want := range map[int]float64{0: 0, 15: -.15, 30: -.3, 45: -.45, 500: -.45} {
		numtest.Close(t, "offset of a rep", h.Tired(reps), want, 1e-12)
	}
}

// Any lawful log leaves finite numbers and a chance between 0 and 1.
func TestAnyLogIsDigested(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := NewHeadline()
		half := rapid.SampledFrom([]float64{0, .2, 1, 2})
		seconds := rapid.OneOf(rapid.Just(1.), rapid.Float64Range(1, 5), rapid.Float64Range(1, 3600))
		for range rapid.IntRange(1, 40).Draw(rt, "rows") {
			h.Advance(rapid.IntRange(0, 400).Draw(rt, "days"))
			index, cold := rapid.IntRange(1, 100).Draw(rt, "index"), rapid.Bool().Draw(rt, "cold")
			if rapid.Bool().Draw(rt, "tally") {
				y := Tally{Tries: rapid.IntRange(1, 200).Draw(rt, "tries"), First: index, Cold: cold, Half: half.Draw(rt, "half")}
				y.Caught = rapid.IntRange(0, y.Tries).Draw(rt, "caught")
				if y.Caught > 1 {
					y.Best = seconds.Draw(rt, "best")
					y.Second = min(y.Best, seconds.Draw(rt, "second"))
				}
				h.Tally(y)
				continue
			}
			y := Try{Caught: rapid.Bool().Draw(rt, "caught"), Fell: rapid.Bool().Draw(rt, "fell"), Index: index, Cold: cold, Half: half.Draw(rt, "half")}
			if y.Caught {
				y.Seconds = seconds.Draw(rt, "seconds")
			}
			h.Try(y)
		}
		last := 1.
		for _, s := range []float64{0, 1, 1.05, 5, 15, 60, 600} {
			iv := h.AtLeast(s, true, .8)
			if !(iv.Lo >= 0 && iv.Lo <= iv.Hi && iv.Hi <= 1 && iv.P >= 0 && iv.P <= 1) {
				rt.Fatalf("%g s: %+v", s, iv)
			}
			if s > 1 && iv.P > last+.02 {
				rt.Fatalf("%g s: chance rises to %g from %g", s, iv.P, last)
			}
			last = math.Min(last, iv.P)
		}
	})
}

func TestTriesRefuseMisuse(t *testing.T) {
	h := NewHeadline()
	for what, f := range map[string]func(){
		"a catch under 1 s":        func() { h.Try(Try{Caught: true, Seconds: .5, Index: 1}) },
		"index 0":                  func() { h.Try(Try{}) },
		"negative doubt":           func() { h.Try(Try{Index: 1, Half: -1}) },
		"undefined time":           func() { h.Try(Try{Index: 1, Caught: true, Seconds: math.NaN()}) },
		"endless time":             func() { h.Try(Try{Index: 1, Caught: true, Seconds: math.Inf(1)}) },
		"more caught than tried":   func() { h.Tally(Tally{Tries: 2, Caught: 3, First: 1}) },
		"an empty tally":           func() { h.Tally(Tally{First: 1}) },
		"a best without a catch":   func() { h.Tally(Tally{Tries: 2, Best: 3, First: 1}) },
		"a second without another": func() { h.Tally(Tally{Tries: 2, Caught: 1, Best: 3, Second: 2, First: 1}) },
		"a second over the best":   func() { h.Tally(Tally{Tries: 2, Caught: 2, Best: 3, Second: 4, First: 1}) },
		"a tally at index 0":       func() { h.Tally(Tally{Tries: 2}) },
		"backwards":                func() { h.Advance(-1) },
		"a level of 80":            func() { h.AtLeast(15, true, 80) },
		"negative seconds":         func() { h.AtLeast(-1, true, .8) },
	} {
		panics(t, what, f)
	}
}
