package week

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// size of a generated problem.
type size struct {
	drills, components, long, short int
	maxSets                         int // cap on max_sets, 0 for none
	wishes                          bool
}

var (
	typical = size{drills: 80, components: 8, long: 2, short: 2, wishes: true}
	large   = size{drills: 160, components: 8, long: 3, short: 4, wishes: true}
)

var componentNames = []string{"entry", "exit", "line", "tension", "balance", "shoulders", "wrists", "endurance"}

// generate invents a problem of the kind of the reference ones: figures are
// drawn from ranges read off those files.
func generate(seed uint64, z size) Problem {
	g := generator{rand.New(rand.NewPCG(seed, 7))}
	p := Problem{
		Name: fmt.Sprintf("seed %d", seed), DrillCost: 60, ContinuityBonus: 120, MixPenalty: 3,
		MaxDrills: g.between(3, 5), MaxDrillsLong: g.between(4, 6),
		Massing: []int{0, 100, 200, 285, 350, 395, 435, 470, 500, 525, 545, 560, 570, 578, 584, 588, 590},
	}
	if z.drills >= 80 {
		p.MaxDrills, p.MaxDrillsLong = g.between(5, 8), g.between(5, 6)
	}
	for i := range z.components {
		c := Component{Name: fmt.Sprint(componentNames[i%8], i/8), Need: .08 + .27*g.Float64(), Tau: 2.5 + 4*g.Float64()}
		if i < 8 {
			c.Name = componentNames[i]
		}
		p.Components = append(p.Components, c)
	}
	for _, i := range g.Perm(z.components)[:min(z.components, g.between(2, 3))] {
		p.Components[i].Need = .7 + .3*g.Float64()
	}
	g.sessions(&p, z)
	g.drills(&p, z)
	if z.wishes {
		g.wishes(&p)
	}
	return p
}

type generator struct{ *rand.Rand }

func (g generator) between(lo, hi int) int { return lo + g.IntN(hi-lo+1) }

func (g generator) sessions(p *Problem, z size) {
	days := g.Perm(7)
	for len(days) < z.long+z.short {
		days = append(days, g.IntN(7))
	}
	hand := 0.0
	for i := range z.long {
		s := Session{Day: days[i], Minutes: Minutes([]int{40, 45, 50, 60, 60}[g.IntN(5)])}
		s.Hand = HalfMinutes(float64(s.Minutes) * (.4 + .2*g.Float64()))
		hand += float64(s.Hand)
		p.Long = append(p.Long, s)
	}
	for i := range z.short {
		p.Short = append(p.Short, Session{Day: days[z.long+i], Minutes: 12, Hand: HalfMinutes(g.between(8, 12))})
	}
	p.HandWeek = HalfMinutes(hand * (.78 + .4*g.Float64() + .04*float64(z.short)))
}

func (g generator) drills(p *Problem, z size) {
	of := make([]int, z.drills)
	for i := range of {
		of[i] = g.IntN(z.components)
	}
	slices.Sort(of)
	for i, c := range of {
		d := Drill{ID: fmt.Sprintf("d%03d", i), Component: p.Components[c].Name, MinSets: 2,
			Setup: HalfMinutes(g.IntN(5)), WeekSets: g.between(4, 6)}
		spread := 0.0
		switch u := g.Float64(); {
		case u < .4:
			d.Kind, d.Set, d.MinSets, d.MaxSets, spread = Challenge, HalfMinutes(g.between(3, 8)), g.between(2, 3), g.between(5, 6), 22
			d.Value = 70
		case u < .77:
			d.Kind, d.Set, d.MaxSets, spread = Easy, HalfMinutes(g.between(2, 5)), g.between(4, 6), 14
			d.Value = 43
		default:
			d.Kind, d.Set, d.MaxSets, spread = Strength, HalfMinutes(g.between(4, 8)), g.between(4, 5), 22
			d.Value = 65
		}
		d.Value = min(100, max(20, d.Value+int(spread*g.NormFloat64())))
		d.Hand = max(0, d.Set-HalfMinutes(math.Abs(2.2*g.NormFloat64())))
		if d.Kind == Strength {
			d.Hand = HalfMinutes(g.IntN(int(d.Set)/2 + 1))
		}
		if g.Float64() < .3 {
			d.Bonus = g.between(1, 15)
		}
		if z.maxSets > 0 {
			d.MaxSets = max(d.MinSets, min(d.MaxSets, z.maxSets))
		}
		p.Drills = append(p.Drills, d)
	}
	for range 5 {
		p.Drills[g.IntN(z.drills)].LastWeek = true
	}
}

// wishes adds a few bans, and a lock to one problem in three.
func (g generator) wishes(p *Problem) {
	for range g.IntN(5) {
		p.Bans = append(p.Bans, p.Drills[g.IntN(len(p.Drills))].ID)
	}
	d := p.Drills[g.IntN(len(p.Drills))]
	if g.IntN(3) == 0 && !slices.Contains(p.Bans, d.ID) {
		p.Locks = append(p.Locks, Lock{Drill: d.ID, Sets: g.IntN(2) * d.MinSets})
	}
}
