package load

import (
	"testing"

	"aplomb/internal/numtest"

	"pgregory.net/rapid"
)

func TestNextWeek(t *testing.T) {
	rule := DefaultStepRule()
	for _, c := range []struct {
		name    string
		weeks   []float64
		pain    Verdict
		ceiling float64
		reason  StepReason
	}{
		{"no week yet", nil, Go, 20, FirstMonth},
		{"a quiet first week", []float64{6}, Go, 20, FirstMonth},
		{"first month, growing", []float64{20}, Go, 23, FirstMonth},
		{"first month, at its end", []float64{20, 23, 25}, Go, 25, FirstMonth},
		{"after the first month", []float64{20, 23, 25, 25}, Go, 28.75, Grown},
		{"little done", []float64{6, 6, 8, 5, 7}, Go, 20, BeginnersLow},
		{"three minutes always", []float64{18, 18, 18, 18}, Go, 21, Grown},
		{"a light week costs nothing", []float64{20, 23, 25, 25, 28, 14}, Go, (25 + 25 + 28 + 14) / 4.0 * 1.15, Grown},
		{"no step in pain", []float64{20, 23, 25, 25}, NoIncrease, 25, HeldByPain},
		{"no step in pain, nothing done", nil, NoIncrease, 3, HeldByPain},
		{"stopped", []float64{20, 23, 25, 25}, StopHandLoad, 0, StoppedByPain},
	} {
		got := NextWeek(c.weeks, rule, c.pain)
		numtest.Close(t, c.name, got.Ceiling, c.ceiling, 1e-12)
		if got.Reason != c.reason {
			t.Errorf("%s: %s, want %s", c.name, got.Reason, c.reason)
		}
	}
}

// A week of 90 minutes after weeks of 25 counts as the 28.75 it might have been.
func TestNextWeekAfterTooMuch(t *testing.T) {
	got := NextWeek([]float64{25, 25, 25, 25, 90}, DefaultStepRule(), Go)
	numtest.Close(t, "usual", got.Usual, 28.75, 1e-12)
	numtest.Close(t, "ceiling", got.Ceiling, 28.75*1.15, 1e-12)
	if !got.Over || len(got.Recent) != 4 || got.Recent[3] != 90 {
		t.Errorf("%+v", got)
	}
}

// Following the ceiling grows by the step each week: a closed form.
func TestFollowingTheCeiling(t *testing.T) {
	rule := DefaultStepRule()
	var weeks []float64
	for range 8 {
		weeks = append(weeks, NextWeek(weeks, rule, Go).Ceiling)
	}
	numtest.CloseAll(t, "weeks", weeks, []float64{20, 23, 25, 25, 28.75, 28.75 * 1.15, 28.75 * 1.15 * 1.15, 28.75 * 1.15 * 1.15 * 1.15}, 1e-12)
}

func TestNextWeekProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rule := DefaultStepRule()
		rule.Raise = rapid.Float64Range(0.1, 0.2).Draw(t, "raise")
		weeks := rapid.SliceOfN(rapid.Float64Range(0, 120), 1, 30).Draw(t, "weeks")
		free := NextWeek(weeks, rule, Go)
		held := NextWeek(weeks, rule, NoIncrease)
		if free.Ceiling < rule.FirstLow || held.Ceiling > free.Ceiling {
			t.Errorf("free %v, held %v", free.Ceiling, held.Ceiling)
		}
		last := len(weeks) - 1
		before := NextWeek(weeks[:last], rule, Go)
		if most := max(before.Ceiling*(1+rule.Raise), before.Ceiling+rule.Always); free.Ceiling > most+1e-9 {
			t.Errorf("the ceiling jumped from %v to %v", before.Ceiling, free.Ceiling)
		}
		more := append(append([]float64{}, weeks[:last]...), weeks[last]+10)
		if NextWeek(more, rule, Go).Ceiling < free.Ceiling-1e-9 {
			t.Errorf("doing more last week lowered the ceiling")
		}
	})
}

func TestStepRuleMisuse(t *testing.T) {
	panics(t, "low over high", func() { NextWeek(nil, StepRule{FirstLow: 30, FirstHigh: 20}, Go) })
	panics(t, "negative minutes", func() { NextWeek([]float64{-1}, DefaultStepRule(), Go) })
}
