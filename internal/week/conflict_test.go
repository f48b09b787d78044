package week

import (
	"slices"
	"testing"
)

// TestConflictByEnumeration builds tiny problems without a week and checks the
// conflict against the enumeration of all plans: kept alone, its groups leave
// no plan; without any one of them there is a plan; and it is what deletion in
// the given order leaves.
func TestConflictByEnumeration(t *testing.T) {
	seen := 0
	for seed := uint64(0); seen < 60; seed++ {
		p := crowded(seed)
		names, proved, err := Conflict(p, Options{})
		if err != nil || !proved {
			t.Fatal(err, proved)
		}
		plans := brokenGroups(p)
		if want := deletion(p, plans); !slices.Equal(names, want) {
			t.Fatalf("seed %d: conflict %v, by enumeration %v", seed, names, want)
		}
		if len(names) > 0 {
			seen++
		}
	}
}

// crowded is a problem of four drills with so many wishes that often no week
// keeps them.
func crowded(seed uint64) Problem {
	g := generator{tinyRand(seed)}
	p := generate(seed, size{drills: 4, components: g.between(1, 3), long: g.between(1, 2), short: g.IntN(2), maxSets: 3})
	p.MaxDrills, p.MaxDrillsLong = g.between(1, 3), g.between(1, 3)
	p.HandWeek = Minutes(g.between(5, 30))
	for i := range p.Long {
		p.Long[i].Minutes, p.Long[i].Hand = Minutes(g.between(10, 30)), Minutes(g.between(5, 20))
	}
	for i, d := range p.Drills {
		switch g.IntN(3) {
		case 0:
			p.Locks = append(p.Locks, Lock{Drill: d.ID, Sets: d.MinSets * g.IntN(2)})
		case 1:
			p.Bans = append(p.Bans, d.ID)
		}
		p.Drills[i].WeekSets = g.between(0, 7)
	}
	return p
}

// brokenGroups lists, for every plan that could be made, the groups it breaks;
// plans that no rule allows are left out.
func brokenGroups(p Problem) (out [][]string) {
	var list []Choice
	var shorts []int
	var walk func(d int)
	walk = func(d int) {
		if d == len(p.Drills) {
			_, faults := Evaluate(p, wholePlan(p, list, shorts))
			var names []string
			for _, f := range faults {
				if f.Group == "" {
					return
				}
				names = append(names, f.Group)
			}
			out = append(out, names)
			return
		}
		walk(d + 1)
		for k := p.Drills[d].MinSets; k <= p.Drills[d].MaxSets; k++ {
			for set := range 1 << len(p.Short) {
				list, shorts = append(list, Choice{p.Drills[d].ID, k, set}), append(shorts, set)
				walk(d + 1)
				list, shorts = list[:len(list)-1], shorts[:len(shorts)-1]
			}
		}
	}
	walk(0)
	return out
}

// deletion runs the filter over the enumerated plans.
func deletion(p Problem, plans [][]string) []string {
	possible := func(kept []string) bool {
		return slices.ContainsFunc(plans, func(broken []string) bool {
			return !slices.ContainsFunc(broken, func(b string) bool { return slices.Contains(kept, b) })
		})
	}
	kept := p.groupNames()
	if possible(kept) {
		return []string{}
	}
	for _, name := range p.groupNames() {
		rest := slices.DeleteFunc(slices.Clone(kept), func(k string) bool { return k == name })
		if !possible(rest) {
			kept = rest
		}
	}
	return kept
}

func TestThreeLocksOfAComponent(t *testing.T) {
	p := generate(5, size{drills: 4, components: 1, long: 1})
	p.Long[0].Minutes, p.Long[0].Hand, p.HandWeek = Minutes(600), Minutes(600), Minutes(600)
	for _, d := range p.Drills[:3] {
		p.Locks = append(p.Locks, Lock{Drill: d.ID})
	}
	names, proved, err := Conflict(p, Options{})
	if want := []string{"lock #1", "lock #2", "lock #3"}; err != nil || !proved || !slices.Equal(names, want) {
		t.Errorf("got %v (%v, %v), want %v", names, proved, err, want)
	}
}
