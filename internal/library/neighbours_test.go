package library

import (
	"testing"

	"aplomb/internal/practice"
)

// TestNeighbours: every drill has an easier or a harder neighbour, and harder
// is harder; so there is no circle.
func TestNeighbours(t *testing.T) {
	lib := Builtin()
	easier := Easier(lib)
	for _, d := range lib.Drills {
		if len(d.Harder) == 0 && len(easier[d.ID]) == 0 {
			t.Errorf("%s stands alone", d.ID)
		}
		for _, id := range d.Harder {
			up, ok := lib.Drill(id)
			switch {
			case !ok:
				t.Errorf("%s: no drill %s", d.ID, id)
			case up.Difficulty <= d.Difficulty:
				t.Errorf("%s (%.1f) is said to be easier than %s (%.1f)", d.ID, d.Difficulty, id, up.Difficulty)
			case up.Component != d.Component:
				t.Errorf("%s and %s train different components", d.ID, id)
			}
		}
	}
}

func TestEasierIsTheReverseOfHarder(t *testing.T) {
	lib := &practice.Library{Drills: []practice.Drill{{ID: "a", Harder: []string{"c"}}, {ID: "b", Harder: []string{"c"}}, {ID: "c"}}}
	if got := Easier(lib)["c"]; len(got) != 2 || got[0] != "a" || got[1] != "b" {
		t.Errorf("easier than c: %v", got)
	}
	if got := Easier(lib)["a"]; got != nil {
		t.Errorf("easier than a: %v", got)
	}
}
