package week

import (
	"cmp"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
)

// TestBruteForce compares the solver with the enumeration of every week of
// random tiny problems: the optimum, and which of several weeks of one gain
// is taken. WEEK_LONG=1 runs ten times as many.
func TestBruteForce(t *testing.T) {
	n := 400
	if os.Getenv("WEEK_LONG") != "" {
		n = 4000
	}
	empty, none, tied := 0, 0, 0
	for seed := range n {
		p := tiny(uint64(seed))
		want := enumerate(p)
		got := solved(t, p)
		switch {
		case got.Feasible != (want.count > 0):
			t.Fatalf("seed %d: feasible %v, by enumeration %v", seed, got.Feasible, want.count > 0)
		case !got.Feasible:
			none++
			continue
		case got.Objective != want.objective || !slices.Equal(got.Drills, want.list):
			t.Fatalf("seed %d: got %d %v, by enumeration %d %v", seed, got.Objective, got.Drills, want.objective, want.list)
		case len(want.list) == 0:
			empty++
		}
		if want.count > 1 {
			tied++
		}
	}
	t.Logf("%d problems: %d without a week, %d with an empty one, %d with ties", n, none, empty, tied)
	if none == 0 || empty == 0 || tied < n/10 || none+empty > n/2 {
		t.Error("the problems do not cover what they should")
	}
}

// tiny invents a problem of four or five drills; figures are coarse in half
// of them, so that many weeks tie.
func tiny(seed uint64) Problem {
	g := generator{rand.New(rand.NewPCG(seed, 11))}
	z := size{drills: g.between(4, 5), components: g.between(1, 3), long: g.between(1, 3), short: g.IntN(3), maxSets: 3, wishes: g.IntN(3) == 0}
	p := generate(seed, z)
	p.MaxDrills = g.between(2, 3)
	if g.IntN(4) == 0 {
		p.Massing = []int{0, 50, 150, 300, 400} // not concave
	}
	for i := range p.Long {
		p.Long[i].Minutes = Minutes(g.between(12, 40))
		p.Long[i].Hand = p.Long[i].Minutes * 3 / 4
	}
	for i := range p.Short {
		p.Short[i].Minutes = Minutes(g.between(5, 14))
	}
	p.HandWeek = Minutes(g.between(10, 60))
	for i := range p.Drills {
		p.Drills[i].WeekSets = g.between(0, 5)
	}
	if g.IntN(2) == 0 {
		g.coarsen(&p)
	}
	return p
}

func (g generator) coarsen(p *Problem) {
	p.DrillCost, p.ContinuityBonus, p.MixPenalty = 0, 100*g.IntN(2), g.IntN(2)
	p.Massing = []int{0, 100, 100}
	for i := range p.Components {
		p.Components[i].Need = float64(g.IntN(2))
	}
	for i := range p.Drills {
		d := &p.Drills[i]
		d.Value, d.Bonus, d.Set, d.Setup = 50, g.IntN(2), Minutes(2), 0
		if i > 0 && g.IntN(2) == 0 {
			id := d.ID
			*d = p.Drills[i-1]
			d.ID = id
		}
	}
	for i := range p.Locks {
		p.Locks[i].Sets = 0
	}
}

type enumeration struct {
	list      []Choice
	objective int
	count     int // lists of that objective
}

// enumerate goes through every list of drills with every dose and every set
// of short sessions, and evaluates each as a whole plan.
func enumerate(p Problem) (best enumeration) {
	var list []Choice
	var shorts []int // set of short sessions of each, as bits
	var walk func(d int)
	walk = func(d int) {
		if d < len(p.Drills) {
			walk(d + 1)
			if len(list) == min(p.MaxDrills, p.MaxDrillsLong) {
				return
			}
			for k := p.Drills[d].MinSets; k <= p.Drills[d].MaxSets; k++ {
				for set := range 1 << len(p.Short) {
					y := 0
					for b := set; b > 0; b /= 2 {
						y += b % 2
					}
					list, shorts = append(list, Choice{p.Drills[d].ID, k, y}), append(shorts, set)
					walk(d + 1)
					list, shorts = list[:len(list)-1], shorts[:len(shorts)-1]
				}
			}
			return
		}
		v, faults := Evaluate(p, wholePlan(p, list, shorts))
		if len(faults) > 0 {
			return
		}
		switch {
		case best.count == 0 || v > best.objective:
			best = enumeration{slices.Clone(list), v, 1}
		case v == best.objective && !slices.Equal(list, best.list):
			best.count++
			if tieBefore(p, list, best.list) {
				best.list = slices.Clone(list)
			}
		}
	}
	walk(0)
	return best
}

func wholePlan(p Problem, list []Choice, shorts []int) Plan {
	plan := Plan{Drills: list}
	longest := HalfMinutes(0)
	for _, s := range p.Long {
		longest = max(longest, s.Minutes)
	}
	for i, s := range p.Long {
		at := Planned{Day: s.Day, Length: LongSession, Index: i}
		for _, c := range list {
			sets := int(float64(c.Sets)*float64(s.Minutes)/float64(longest) + .5)
			at.Drills = append(at.Drills, Dose{c.ID, max(drillOf(p, c.ID).MinSets, sets)})
		}
		plan.Sessions = append(plan.Sessions, at)
	}
	for i, s := range p.Short {
		at := Planned{Day: s.Day, Length: ShortSession, Index: i}
		for j, c := range list {
			if shorts[j]&(1<<i) != 0 {
				at.Drills = append(at.Drills, Dose{c.ID, drillOf(p, c.ID).MinSets})
			}
		}
		plan.Sessions = append(plan.Sessions, at)
	}
	return plan
}

func drillOf(p Problem, id string) Drill { return p.Drills[position(p, id)] }

func position(p Problem, id string) int {
	return slices.IndexFunc(p.Drills, func(d Drill) bool { return d.ID == id })
}

// tieBefore is the page's order: fewer drills, more of last week's, file
// positions, smaller doses, fewer short sessions.
func tieBefore(p Problem, a, b []Choice) bool {
	key := func(list []Choice) (k []int) {
		last := 0
		for _, c := range list {
			if drillOf(p, c.ID).LastWeek {
				last--
			}
		}
		k = append(k, len(list), last)
		for _, c := range list {
			k = append(k, position(p, c.ID))
		}
		for _, c := range list {
			k = append(k, c.Sets)
		}
		for _, c := range list {
			k = append(k, c.Shorts)
		}
		return k
	}
	return slices.CompareFunc(key(a), key(b), cmp.Compare[int]) < 0
}
