package assess

import (
	"math"
	"testing"

	"aplomb/internal/library"
	"aplomb/internal/numtest"
	"aplomb/internal/skill"
)

// What was learned of a milestone moves the guess for the next, with its doubt
// and the step's; the first has the table alone.
func TestAsksAreCarriedOn(t *testing.T) {
	never := math.Inf(-1)
	first := asksAfter([]float64{1, never}, nil, nil)
	if first[0] != (skill.AskGuess{Mean: 1, SD: skill.AskDoubt}) || !math.IsInf(first[1].Mean, -1) {
		t.Errorf("%+v", first)
	}
	before := []skill.Asked{{Learned: skill.Learned{Mean: .4, SD: .3}}, {Learned: skill.Learned{Mean: 2, SD: 1.99}}, {}}
	got := asksAfter([]float64{1.5, 0, 3}, []float64{1, 0, never}, before)
	numtest.Close(t, "moved as the one before", got[0].Mean, .9, 1e-12)
	numtest.Close(t, "its doubt and the step's", got[0].SD, math.Hypot(.3, askStep), 1e-12)
	numtest.Close(t, "no more doubt than a table's", got[1].SD, skill.AskDoubt, 0)
	if got[2] != (skill.AskGuess{Mean: 3, SD: skill.AskDoubt}) {
		t.Errorf("asked of for the first time: %+v", got[2])
	}
}

// A value of a test is the inverse of its ability, and may lie beyond what the
// test can show.
func TestValueAtIsTheInverse(t *testing.T) {
	for _, p := range library.Builtin().Probes {
		for x := -6.; x <= 6; x++ {
			numtest.Close(t, p.ID, p.Ability(ValueAt(p, x)), x, 1e-9)
			if v := inUnits(p, x); v < p.Min || v > p.Max {
				t.Errorf("%s at %v logits: %v, which it cannot show", p.ID, x, v)
			}
		}
	}
}
