package week

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// property runs check on random tiny problems and their weeks.
func property(t *testing.T, check func(t *rapid.T, p Problem, r Result)) {
	rapid.Check(t, func(t *rapid.T) {
		p := tiny(rapid.Uint64Range(0, 1<<20).Draw(t, "seed"))
		check(t, p, mustSolve(t, p))
	})
}

func mustSolve(t *rapid.T, p Problem) Result {
	r, err := Solve(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Feasible {
		if v, faults := Evaluate(p, r.Plan); v != r.Objective || len(faults) > 0 {
			t.Fatalf("objective %d, evaluated %d, faults %v", r.Objective, v, faults)
		}
	}
	return r
}

// noWorse fails if q holds a worse week than the week r, or none.
func noWorse(t *rapid.T, r Result, q Problem) {
	if s := mustSolve(t, q); r.Feasible && (!s.Feasible || s.Objective < r.Objective) {
		t.Fatalf("%d became %d (%v)", r.Objective, s.Objective, s.Feasible)
	}
}

func TestRaisingACapIsNeverWorse(t *testing.T) {
	property(t, func(t *rapid.T, p Problem, r Result) {
		p.Long, p.Short = append([]Session(nil), p.Long...), append([]Session(nil), p.Short...)
		switch rapid.IntRange(0, 5).Draw(t, "cap") {
		case 0:
			p.HandWeek += Minutes(5)
		case 1:
			p.MaxDrills++
		case 2:
			p.MaxDrillsLong++
		case 3:
			p.Long[0].Hand += Minutes(3)
		case 4:
			for i := range p.Short {
				p.Short[i].Minutes += Minutes(2)
			}
		case 5: // in proportion, so that the doses stay
			for i := range p.Long {
				p.Long[i].Minutes *= 2
			}
		}
		noWorse(t, r, p)
	})
}

func TestWishesNeverImprove(t *testing.T) {
	property(t, func(t *rapid.T, p Problem, _ Result) {
		p.Locks = nil
		r := mustSolve(t, p)
		id := p.Drills[rapid.IntRange(0, len(p.Drills)-1).Draw(t, "drill")].ID
		for _, q := range []Problem{p.barring(id), p.forcing(id)} {
			if q.Validate() != nil {
				continue // already banned
			}
			if s := mustSolve(t, q); s.Feasible && s.Objective > r.Objective {
				t.Fatalf("a wish about %s raised %d to %d", id, r.Objective, s.Objective)
			}
		}
	})
}

// TestScaling: all gains times f moves the optimum to f times itself, but for
// the rounding of each component.
func TestScaling(t *testing.T) {
	property(t, func(t *rapid.T, p Problem, r Result) {
		f := rapid.IntRange(2, 5).Draw(t, "factor")
		q := p
		q.DrillCost, q.ContinuityBonus, q.MixPenalty = f*p.DrillCost, f*p.ContinuityBonus, f*p.MixPenalty
		q.Components = append([]Component(nil), p.Components...)
		for i := range q.Components {
			q.Components[i].Need *= float64(f)
		}
		q.Drills = append([]Drill(nil), p.Drills...)
		for i := range q.Drills {
			q.Drills[i].Bonus *= f
		}
		s := mustSolve(t, q)
		slack := float64(len(p.Components)) * float64(f+1) / 2
		if s.Feasible != r.Feasible || math.Abs(float64(s.Objective-f*r.Objective)) > slack {
			t.Fatalf("%d times %d is %d", f, r.Objective, s.Objective)
		}
	})
}

// TestLosses: no loss is negative where nothing is locked, and the nearest are
// the least of all.
func TestLosses(t *testing.T) {
	property(t, func(t *rapid.T, p Problem, _ Result) {
		p.Locks = nil
		all, err := Explain(p, 0, Options{})
		if err != nil {
			t.Fatal(err)
		}
		losses := append([]Loss(nil), all.Why...)
		for _, l := range append(losses, all.WhyNot...) {
			if l.Loss != nil && *l.Loss < 0 || !l.Proved {
				t.Fatalf("%v", l)
			}
		}
		n := rapid.IntRange(1, 3).Draw(t, "nearest")
		near, err := WhyNot(p, all, n, Options{})
		if err != nil {
			t.Fatal(err)
		}
		sameNearest(t, near, all.WhyNot, n)
	})
}

// sameNearest: near are the n least losses of all, ties in file order.
func sameNearest(t *rapid.T, near, all []Loss, n int) {
	rest := append([]Loss(nil), all...)
	for i := range min(n, len(all)) {
		best := 0
		for j := range rest {
			if CompareLoss(rest[j], rest[best]) < 0 {
				best = j
			}
		}
		if near[i].Drill != rest[best].Drill || CompareLoss(near[i], rest[best]) != 0 {
			t.Fatalf("nearest %d: got %v, want %v", i, near[i], rest[best])
		}
		rest = append(rest[:best], rest[best+1:]...)
	}
	if len(near) != min(n, len(all)) {
		t.Fatalf("%d nearest of %d, asked for %d", len(near), len(all), n)
	}
}
