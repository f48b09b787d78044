package week

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
)

// TestExtremeFigures: figures anywhere in the range that Validate allows do
// not overflow a sum; the optimum still equals the enumeration's.
func TestExtremeFigures(t *testing.T) {
	feasible := 0
	for seed := range uint64(250) {
		p := extreme(seed)
		if err := p.Validate(); err != nil {
			t.Fatal(err)
		}
		want, got := enumerate(p), solved(t, p)
		if got.Feasible != (want.count > 0) || got.Objective != want.objective || !slices.Equal(got.Drills, want.list) {
			t.Fatalf("seed %d: got %v %d %v, by enumeration %v", seed, got.Feasible, got.Objective, got.Drills, want)
		}
		if len(got.Drills) > 0 {
			feasible++
		}
	}
	if feasible < 40 {
		t.Errorf("only %d weeks with a drill", feasible)
	}
}

func extreme(seed uint64) Problem {
	g := generator{rand.New(rand.NewPCG(seed, 13))}
	pick := func(lo, hi int) int { // the ends more often
		return []int{lo, hi, g.between(lo, hi), g.between(lo, hi)}[g.IntN(4)]
	}
	p := Problem{HandWeek: HalfMinutes(pick(0, maxWeekTime)), MaxDrills: 3, MaxDrillsLong: pick(0, maxDrillCount),
		DrillCost: pick(-maxFigure, maxFigure), ContinuityBonus: pick(-maxFigure, maxFigure), MixPenalty: pick(0, maxPenalty), Massing: []int{0}}
	for range pick(0, 5) {
		p.Massing = append(p.Massing, p.Massing[len(p.Massing)-1]+pick(0, 3000))
	}
	for i := range 3 {
		p.Components = append(p.Components, Component{Name: fmt.Sprint(i), Need: float64(pick(0, maxNeed)), Tau: []float64{1e-300, .5, 4, 1e300}[g.IntN(4)]})
	}
	for range g.between(1, 2) {
		p.Long = append(p.Long, Session{Day: g.IntN(7), Minutes: HalfMinutes(pick(400, maxTime)), Hand: HalfMinutes(pick(0, maxTime))})
	}
	p.Short = append(p.Short, Session{Day: g.IntN(7), Minutes: HalfMinutes(pick(1, maxTime)), Hand: HalfMinutes(pick(0, maxTime))})
	for i := range 4 {
		least := pick(1, maxSetCount)
		p.Drills = append(p.Drills, Drill{ID: fmt.Sprint(i), Component: fmt.Sprint(g.IntN(3)),
			Kind: []Kind{Easy, Challenge, Strength}[g.IntN(3)], Set: HalfMinutes(pick(1, 12)), Setup: HalfMinutes(pick(0, 60)),
			Hand: HalfMinutes(pick(0, 12)), Value: pick(0, maxFigure), MinSets: least, MaxSets: min(maxSetCount, least+g.IntN(3)),
			WeekSets: pick(0, 10), Bonus: pick(-maxFigure, maxFigure), LastWeek: g.IntN(2) == 0})
	}
	return p
}

// TestManyAtOnce: parallel solves give what one after the other gives.
func TestManyAtOnce(t *testing.T) {
	const n = 40
	var got [n]Result
	var wait sync.WaitGroup
	for i := range n {
		wait.Go(func() { got[i], _ = Solve(generate(uint64(i), typical), Options{}) })
	}
	wait.Wait()
	for i := range n {
		alone := solved(t, generate(uint64(i), typical))
		if alone.Objective != got[i].Objective || !slices.Equal(alone.Drills, got[i].Drills) {
			t.Errorf("seed %d: %d %v at once, %d %v alone", i, got[i].Objective, got[i].Drills, alone.Objective, alone.Drills)
		}
	}
}

// TestNothingToPlan: no drill, no component, every drill banned.
func TestNothingToPlan(t *testing.T) {
	p := generate(1, size{drills: 3, components: 2, long: 1, short: 1})
	empty := p
	empty.Components, empty.Drills = nil, nil
	bare := p
	bare.Bans = ids(p)
	for _, q := range []Problem{empty, bare} {
		if r := solved(t, q); !r.Feasible || r.Objective != 0 || len(r.Drills) != 0 || len(r.Sessions) != 2 {
			t.Errorf("got %+v, want an empty week", r)
		}
	}
}
