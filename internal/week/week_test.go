package week

import (
	"slices"
	"testing"

	"aplomb/internal/numtest"
)

// optimum is an entry of testdata/optimum.json (see testdata/SOURCES.md).
type optimum struct {
	Name      string
	Feasible  bool
	Objective int
	Conflict  []string
}

func TestReferenceOptima(t *testing.T) {
	for _, want := range numtest.JSON[[]optimum](t, "optimum.json") {
		p := reference(t, want.Name)
		r := solved(t, p)
		if r.Feasible != want.Feasible || r.Objective != want.Objective || r.Bound != want.Objective {
			t.Errorf("%s: got %v %d (bound %d), want %v %d", want.Name, r.Feasible, r.Objective, r.Bound, want.Feasible, want.Objective)
		}
		names, proved, err := Conflict(p, Options{})
		if err != nil || !proved || !slices.Equal(names, want.Conflict) {
			t.Errorf("%s: conflict %v (proved %v, %v), want %v", want.Name, names, proved, err, want.Conflict)
		}
	}
}

func reference(t testing.TB, name string) Problem {
	t.Helper()
	return decodeFile(t, name+".json")
}

// solved solves without a clock and checks what every result must keep: it is
// proved, and the independent evaluation finds no fault and the same figure.
func solved(t testing.TB, p Problem) Result {
	t.Helper()
	r, err := Solve(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Proved {
		t.Fatalf("%s: not proved without a budget", p.Name)
	}
	if !r.Feasible {
		return r
	}
	got, faults := Evaluate(p, r.Plan)
	if got != r.Objective || len(faults) > 0 {
		t.Fatalf("%s: the week is worth %d, evaluated %d with faults %v", p.Name, r.Objective, got, faults)
	}
	return r
}
