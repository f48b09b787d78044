package week

import "slices"

// Habits are the coach's customs that the program itself does not know.
type Habits struct {
	// Spaced components are hard work: in short sessions they are kept 48
	// hours from other hard work where possible, like strength.
	Spaced []string
	// HeavyHand makes a drill hard work too if its sets in a short session
	// load the hands for so long or longer.
	HeavyHand HalfMinutes
	// Stages are the components in order of practice; a component not named
	// comes after them, strength after all. Easy comes before challenge in
	// each stage.
	Stages [][]string
}

// DefaultHabits are common practice, no source: endurance and four minutes on
// the hands count as hard work; entry, exit, confidence and balance are
// practised fresh, then line, tension and the shapes.
func DefaultHabits() Habits {
	return Habits{
		Spaced:    []string{"endurance"},
		HeavyHand: Minutes(4),
		Stages: [][]string{
			{"entry", "exit", "confidence", "balance"},
			{"line", "tension", "compression", "straddle", "side line"},
		},
	}
}

// hard says whether a drill is to be kept 48 hours from other hard work.
func (h *Habits) hard(d *Drill) bool {
	return d.Kind == Strength || slices.Contains(h.Spaced, d.Component) || shortHand(d) >= h.HeavyHand
}

// inOrder sorts drills by stage, then easy before challenge, then as they are.
func (h *Habits) inOrder(drills []*Drill) {
	stage := func(d *Drill) int {
		s := len(h.Stages)
		if d.Kind == Strength {
			s++
		} else if i := slices.IndexFunc(h.Stages, func(c []string) bool { return slices.Contains(c, d.Component) }); i >= 0 {
			s = i
		}
		s *= 2
		if d.Kind == Challenge {
			s++
		}
		return s
	}
	slices.SortStableFunc(drills, func(a, b *Drill) int { return stage(a) - stage(b) })
}

// crowding counts what a placement of the short sessions is judged by, in this
// order: pairs of sessions with hard work less than 48 hours apart, one of
// them short; the same round the end of the week, as if the next were alike;
// short sessions left empty.
type crowding struct{ near, round, empty int }

func (c crowding) plus(d crowding) crowding {
	return crowding{c.near + d.near, c.round + d.round, c.empty + d.empty}
}

func (c crowding) less(d crowding) bool {
	if c.near != d.near {
		return c.near < d.near
	}
	if c.round != d.round {
		return c.round < d.round
	}
	return c.empty < d.empty
}

// An arranger finds the least crowded placement of the chosen drills in the
// short sessions by dynamic programming over the sessions in order of day. A
// state is the sessions still to be found for each drill and which of the
// earlier short sessions that later ones can crowd hold hard work.
type arranger struct {
	p      *Problem
	drills []*Drill
	hard   []bool
	long   bool     // the long sessions hold hard work
	order  []int    // short sessions by day
	near   []uint16 // by session: the earlier ones that it or a later one can crowd, as bits
	memo   map[arrangement]outcome
}

type arrangement struct {
	session int
	hard    uint16
	left    [2 * maxSessions]int8
}

type outcome struct {
	ok     bool
	cost   crowding
	first  int // drills put in this session, or -1
	second int
}

// arrange places parts, given in file order, and returns the drills of each
// short session; false if there is no placement.
func arrange(p *Problem, parts []*part, h *Habits) ([][]*Drill, bool) {
	a := arranger{p: p, memo: map[arrangement]outcome{}}
	var start arrangement
	total := 0
	for _, t := range parts {
		d := &p.Drills[t.drill]
		a.long = a.long || h.hard(d)
		if total += int(t.y); total > 2*len(p.Short) {
			return nil, false
		}
		if t.y > 0 {
			start.left[len(a.drills)] = int8(t.y)
			a.drills = append(a.drills, d)
			a.hard = append(a.hard, h.hard(d))
		}
	}
	for i := range p.Short {
		a.order = append(a.order, i)
	}
	slices.SortStableFunc(a.order, func(i, j int) int { return p.Short[i].Day - p.Short[j].Day })
	a.neighbours()
	if !a.best(start).ok {
		return nil, false
	}
	out := make([][]*Drill, len(p.Short))
	for at := start; at.session < len(a.order); {
		o := a.best(at)
		for _, d := range []int{o.first, o.second} {
			if d >= 0 {
				s := a.order[at.session]
				out[s] = append(out[s], a.drills[d])
			}
		}
		at = a.next(at, o.first, o.second)
	}
	return out, true
}

func (a *arranger) neighbours() {
	a.near = make([]uint16, len(a.order)+1)
	for s := range a.near {
		for i := range a.order[:s] {
			for _, j := range a.order[s:] {
				if apart(a.p.Short[a.order[i]].Day, a.p.Short[j].Day) != (crowding{}) {
					a.near[s] |= 1 << i
				}
			}
		}
	}
}

// next is the state after a session with those drills.
func (a *arranger) next(at arrangement, first, second int) arrangement {
	for _, d := range []int{first, second} {
		if d < 0 {
			continue
		}
		at.left[d]--
		if a.hard[d] {
			at.hard |= 1 << at.session
		}
	}
	at.session++
	at.hard &= a.near[at.session]
	return at
}

// best is the least crowded way from a state to the end of the week, the
// first of equals: two drills before one, earlier drills before later.
func (a *arranger) best(at arrangement) outcome {
	if at.session == len(a.order) {
		return outcome{ok: at.left == [2 * maxSessions]int8{}}
	}
	if o, seen := a.memo[at]; seen {
		return o
	}
	var best outcome
	try := func(first, second int) {
		if !a.fits(at, first, second) {
			return
		}
		next := a.next(at, first, second)
		o := a.best(next)
		if !o.ok {
			return
		}
		cost := o.cost.plus(a.cost(at, first, second))
		if !best.ok || cost.less(best.cost) {
			best = outcome{ok: true, cost: cost, first: first, second: second}
		}
	}
	for i := range a.drills {
		for j := i + 1; j < len(a.drills); j++ {
			try(i, j)
		}
		try(i, -1)
	}
	try(-1, -1)
	a.memo[at] = best
	return best
}

func (a *arranger) fits(at arrangement, first, second int) bool {
	var minutes, hand HalfMinutes
	for _, d := range []int{first, second} {
		if d < 0 {
			continue
		}
		if at.left[d] == 0 {
			return false
		}
		minutes += shortMinutes(a.drills[d])
		hand += shortHand(a.drills[d])
	}
	return a.p.Short[a.order[at.session]].fits(minutes, hand)
}

// cost of what a session adds to the crowding.
func (a *arranger) cost(at arrangement, first, second int) (c crowding) {
	if first < 0 {
		c.empty = 1
	}
	if !(first >= 0 && a.hard[first] || second >= 0 && a.hard[second]) {
		return c
	}
	day := a.p.Short[a.order[at.session]].Day
	if a.long {
		for _, s := range a.p.Long {
			c = c.plus(apart(day, s.Day))
		}
	}
	for i := range at.session {
		if at.hard&(1<<i) != 0 {
			c = c.plus(apart(day, a.p.Short[a.order[i]].Day))
		}
	}
	return c
}

// apart says whether two days leave less than 48 hours between them, within
// the week or round its end.
func apart(a, b int) (c crowding) {
	d := max(a-b, b-a)
	switch {
	case d < 2:
		c.near = 1
	case d == 6:
		c.round = 1
	}
	return c
}
