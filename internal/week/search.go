package week

import (
	"cmp"
	"math"
	"slices"
)

// search is one branch and bound over a model.
type search struct {
	m            *model
	price        *pricer
	lp           *lp
	pool         []card // card of lp column first+i
	owner        []int  // its group
	sigma        []int64
	top          []priced // scratch of addSingles
	best         int64    // folded gain of the best week, or the floor
	week         []card
	found        bool
	open         int64 // greatest bound of a branch left unfinished
	late         func() bool
	stopped      bool
	sweep        sweep
	placer       placer
	parts, other []*part // scratch
	enough       bool    // the first week will do
}

func newSearch(m *model, late func() bool) *search {
	s := &search{m: m, price: newPricer(m), late: late, best: m.floor, open: math.MinInt64,
		sigma: make([]int64, len(m.groups)), placer: placer{m: m, known: map[demand]bool{}}}
	s.lp = newLP(m.rows, len(m.groups), s.penalty())
	s.sweep.s = s
	return s
}

// penalty is well over the difference between any two weeks.
func (s *search) penalty() float64 {
	most := 1.0
	for _, g := range s.m.groups {
		for i := g.lo; i < g.hi; i++ {
			most += math.Abs(float64(s.m.parts[i].gain))
		}
		most += float64(s.m.fold) * 1e4 * g.need
	}
	return 1e3 * (most - float64(s.m.floor))
}

// run solves the model.
func (s *search) run() {
	if s.force() {
		s.branch(math.MaxInt64)
	}
}

// force makes locked drills forced ones; false if one has no part.
func (s *search) force() bool {
	for d, k := range s.m.lock {
		if k < 0 {
			continue
		}
		g := s.m.groupOf(d)
		if g < 0 {
			return false
		}
		s.price.dom[d].in = true
		s.price.must[g]++
	}
	return true
}

// branch solves the problem within the present domains, a part of one with
// the given bound.
func (s *search) branch(within int64) {
	if s.stopped {
		s.open = max(s.open, within)
		return
	}
	bound, ok := s.bound()
	within = min(within, bound)
	if !ok || bound < s.best*scale || s.sweep.run(bound) {
		return
	}
	if s.stopped = s.late(); s.stopped {
		s.open = max(s.open, within)
		return
	}
	was := slices.Clone(s.price.gone)
	s.discard(bound)
	s.split(within)
	copy(s.price.gone, was)
}

// discard marks the parts that are in no card within reach of the best week:
// none of the branch needs them.
func (s *search) discard(bound int64) {
	if !s.found {
		return
	}
	for g, grp := range s.m.groups {
		threshold := s.sigma[g] - (bound - s.best*scale)
		s.price.weigh(g)
		for i := grp.lo; i < grp.hi; i++ {
			s.price.gone[i] = true
		}
		s.price.singles(g, s.revive(threshold))
		s.price.pairs(g, &threshold, s.revive(threshold))
	}
}

// revive takes back the parts of cards that reach the threshold.
func (s *search) revive(threshold int64) func(c card, rc int64) {
	return func(c card, rc int64) {
		for _, i := range []int32{c.a, c.b} {
			if i >= 0 && rc >= threshold {
				s.price.gone[i] = false
			}
		}
	}
}

// rounds is the most of one column generation.
const rounds = 200

// bound generates columns until none improves, or the time is up, and gives
// the Lagrangian bound of the branch; false if a group has no card left.
func (s *search) bound() (bound int64, ok bool) {
	s.bar()
	for round := 1; ; round++ {
		s.lp.solve()
		s.setPrices()
		last := round >= rounds || s.late()
		if !last && s.addSingles() {
			continue
		}
		bound, added, ok := s.addPairs()
		if last || !ok || !added || bound < s.best*scale {
			return bound, ok
		}
	}
}

// bar prices the cards outside the branch like artificial columns.
func (s *search) bar() {
	for i, c := range s.pool {
		cost := -s.lp.penalty
		if s.price.allowed(s.owner[i], c) {
			cost = float64(c.gain)
		}
		s.lp.cost[s.lp.first+i] = cost
	}
}

func (s *search) setPrices() {
	for r, most := range s.price.most {
		s.price.price[r] = 0
		if p := math.Round(s.lp.dual[r] * scale); p > 0 { // false for NaN
			s.price.price[r] = int64(min(p, float64(most)))
		}
	}
}

func (s *search) groupDual(g int) int64 {
	d := s.lp.dual[len(s.m.rows)+g] * scale
	return int64(math.Ceil(min(max(d, -1e17), 1e17))) + scale
}

// addSingles adds, for every group, the cards of at most one part that would
// enter the basis: the best of each drill, three at most.
func (s *search) addSingles() (added bool) {
	for g := range s.m.groups {
		s.price.weigh(g)
		least := s.groupDual(g)
		s.top = s.top[:0]
		s.price.singles(g, func(c card, rc int64) {
			if rc > least {
				s.keep(priced{c, rc})
			}
		})
		slices.SortFunc(s.top, func(a, b priced) int { return cmp.Compare(b.rc, a.rc) })
		for _, c := range s.top[:min(3, len(s.top))] {
			added = s.addCard(g, c.card) || added
		}
	}
	return added
}

// priced is a card with its reduced gain.
type priced struct {
	card
	rc int64
}

// keep notes a card of one part if it is the best with its drill.
func (s *search) keep(c priced) {
	for i, have := range s.top {
		if c.a >= 0 && have.a >= 0 && s.m.parts[c.a].drill == s.m.parts[have.a].drill {
			if c.rc > have.rc {
				s.top[i] = c
			}
			return
		}
	}
	s.top = append(s.top, c)
}

// addPairs does the same with two parts, and gives the bound.
func (s *search) addPairs() (bound int64, added, ok bool) {
	for r, row := range s.m.rows {
		bound += s.price.price[r] * row.rhs
	}
	for g := range s.m.groups {
		s.price.weigh(g)
		best, most := noCard, int64(math.MinInt64)
		s.price.singles(g, func(c card, rc int64) {
			if rc > most {
				best, most = c, rc
			}
		})
		least := most + 1
		s.price.pairs(g, &least, func(c card, rc int64) {
			best, most = c, rc
			least = rc + 1
		})
		if most == math.MinInt64 {
			return 0, false, false
		}
		s.sigma[g] = most
		bound += most
		if most > s.groupDual(g) {
			added = s.addCard(g, best) || added
		}
	}
	return bound, added, true
}

// addCard adds a column; false if it is there already.
func (s *search) addCard(g int, c card) bool {
	for i, have := range s.pool {
		if have == c && s.owner[i] == g {
			return false
		}
	}
	j := s.lp.add(float64(c.gain))
	a := s.lp.coef[j*s.lp.m:]
	rows := len(s.m.rows)
	for _, i := range []int32{c.a, c.b} {
		if i < 0 {
			continue
		}
		for r, u := range s.m.use[int(i)*rows : (int(i)+1)*rows] {
			a[r] += float64(u)
		}
	}
	a[rows+g] = 1
	s.pool = append(s.pool, c)
	s.owner = append(s.owner, g)
	return true
}

// offer takes a complete week if it is better than the best, or as good and
// first in the order of ties.
func (s *search) offer(value int64, cards []card) {
	if value < s.best || s.found && value == s.best && !s.before(cards, s.week) {
		return
	}
	s.parts = s.m.partsOf(cards, s.parts)
	if !s.placer.placeable(s.parts) {
		return
	}
	s.best, s.found = value, true
	if s.enough {
		s.best = math.MaxInt64 / (2 * scale)
	}
	s.week = append(s.week[:0], cards...)
}

// partsOf lists the parts of a week in file order, in the room of out.
func (m *model) partsOf(cards []card, out []*part) []*part {
	out = out[:0]
	for _, c := range cards {
		for _, i := range []int32{c.a, c.b} {
			if i >= 0 {
				out = append(out, &m.parts[i])
			}
		}
	}
	slices.SortFunc(out, func(a, b *part) int { return int(a.drill - b.drill) })
	return out
}

// before is the order among weeks of one folded gain.
func (s *search) before(x, y []card) bool {
	a, b := s.m.partsOf(x, s.parts), s.m.partsOf(y, s.other)
	s.parts, s.other = a, b
	for _, key := range []func(*part) int{
		func(t *part) int { return int(t.drill) },
		func(t *part) int { return int(t.k) },
		func(t *part) int { return int(t.y) },
	} {
		for i := range min(len(a), len(b)) {
			if d := key(a[i]) - key(b[i]); d != 0 {
				return d < 0
			}
		}
	}
	return false
}
