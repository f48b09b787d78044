package week

import (
	"slices"
	"testing"
)

// TestArrangeByEnumeration compares the placement with every placement of
// random lists.
func TestArrangeByEnumeration(t *testing.T) {
	h := DefaultHabits()
	placed, crowded := 0, 0
	for seed := range uint64(400) {
		p := generate(seed, size{drills: 6, components: 8, long: 2, short: 3})
		g := generator{tinyRand(seed)}
		for i := range p.Short {
			p.Short[i].Minutes, p.Short[i].Hand = Minutes(g.between(6, 12)), Minutes(g.between(5, 10))
		}
		var parts []*part
		for i := range 3 {
			parts = append(parts, &part{drill: int32(2 * i), y: int16(g.IntN(3))})
		}
		shorts, ok := arrange(&p, parts, &h)
		least, any := leastCrowding(&p, parts, &h)
		q := placer{m: &model{p: &p}, known: map[demand]bool{}}
		if quick := q.placeable(parts); ok != any || quick != any {
			t.Fatalf("seed %d: placed %v and %v, by enumeration %v", seed, ok, quick, any)
		}
		if !ok {
			continue
		}
		placed++
		if got := crowdingOf(&p, parts, shorts, &h); got != least {
			t.Fatalf("seed %d: crowding %v, least %v", seed, got, least)
		}
		if least.near > 0 {
			crowded++
		}
	}
	if placed < 50 || placed > 390 || crowded < 20 {
		t.Errorf("%d of 400 placed, %d crowded: the problems do not cover what they should", placed, crowded)
	}
}

// crowdingOf counts from the page's words, not from the arranger's states.
func crowdingOf(p *Problem, parts []*part, shorts [][]*Drill, h *Habits) (c crowding) {
	type session struct {
		day         int
		short, hard bool
	}
	var all []session
	hard := slices.ContainsFunc(parts, func(t *part) bool { return h.hard(&p.Drills[t.drill]) })
	for _, s := range p.Long {
		all = append(all, session{s.Day, false, hard})
	}
	for i, s := range p.Short {
		all = append(all, session{s.Day, true, slices.ContainsFunc(shorts[i], h.hard)})
		if len(shorts[i]) == 0 {
			c.empty++
		}
	}
	for i, a := range all {
		for _, b := range all[:i] {
			if !a.hard || !b.hard || !a.short && !b.short {
				continue
			}
			switch gap := max(a.day-b.day, b.day-a.day); {
			case 24*gap < 48:
				c.near++
			case 24*(7-gap) < 48:
				c.round++
			}
		}
	}
	return c
}

func leastCrowding(p *Problem, parts []*part, h *Habits) (best crowding, any bool) {
	shorts := make([][]*Drill, len(p.Short))
	var walk func(d int)
	walk = func(d int) {
		if d == len(parts) {
			for i, s := range p.Short {
				var minutes, hand HalfMinutes
				for _, x := range shorts[i] {
					minutes += HalfMinutes(x.MinSets)*x.Set + x.Setup
					hand += HalfMinutes(x.MinSets) * x.Hand
				}
				if minutes > s.Minutes || hand > s.Hand || len(shorts[i]) > 2 {
					return
				}
			}
			if c := crowdingOf(p, parts, shorts, h); !any || c.less(best) {
				best, any = c, true
			}
			return
		}
		drill := &p.Drills[parts[d].drill]
		for set := range 1 << len(shorts) {
			n := 0
			for i := range shorts {
				if set&(1<<i) != 0 {
					shorts[i] = append(shorts[i], drill)
					n++
				}
			}
			if n == int(parts[d].y) {
				walk(d + 1)
			}
			for i := range shorts {
				if set&(1<<i) != 0 {
					shorts[i] = shorts[i][:len(shorts[i])-1]
				}
			}
		}
	}
	walk(0)
	return best, any
}

func TestOrderOfPractice(t *testing.T) {
	drills := []*Drill{
		{ID: "press", Component: "shoulders", Kind: Strength},
		{ID: "wrists", Component: "wrists", Kind: Easy},
		{ID: "hollow hard", Component: "tension", Kind: Challenge},
		{ID: "hollow", Component: "line", Kind: Easy},
		{ID: "kick", Component: "entry", Kind: Challenge},
		{ID: "float", Component: "balance", Kind: Easy},
		{ID: "bail", Component: "exit", Kind: Easy},
	}
	h := DefaultHabits()
	h.inOrder(drills)
	var got []string
	for _, d := range drills {
		got = append(got, d.ID)
	}
	if want := []string{"float", "bail", "kick", "hollow", "hollow hard", "wrists", "press"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
