package week

import (
	"cmp"
	"fmt"
	"slices"
)

// Why gives, for each drill of the week in r, what the objective loses when
// that drill is taken out and the rest planned anew (a lock on it is lifted).
// Each is a proof of its own, with its own budget.
func Why(p Problem, r Result, o Options) ([]Loss, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	out := []Loss{}
	for _, c := range r.Drills {
		out = append(out, r.loss(c.ID, p.barring(c.ID), o))
	}
	return out, nil
}

// barring is the problem with a ban on the drill and no lock.
func (p Problem) barring(id string) Problem {
	p.Bans = append(slices.Clone(p.Bans), id)
	p.Locks = slices.DeleteFunc(slices.Clone(p.Locks), func(l Lock) bool { return l.Drill == id })
	return p
}

// forcing is the problem with a lock on the drill at any dose.
func (p Problem) forcing(id string) Problem {
	p.Locks = append(slices.Clone(p.Locks), Lock{Drill: id})
	return p
}

// loss solves p, a change of the problem of r, and compares.
func (r Result) loss(id string, p Problem, o Options) Loss {
	late, _ := o.watch()
	s := solve(&p, nil, late)
	l := Loss{Drill: id, Proved: r.Proved && !s.stopped}
	if s.found {
		lost := r.Objective - s.m.gain(s.best)
		l.Loss = &lost
	}
	return l
}

// WhyNot gives, for the candidates that the week in r leaves out, what the
// objective loses when they are forced in and the rest planned anew. Banned
// drills are no candidates. With nearest > 0 only so many are returned, those
// with the least loss, in order of loss; else all, in file order. A drill that
// no week can hold has no loss and comes last.
func WhyNot(p Problem, r Result, nearest int, o Options) ([]Loss, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if !r.Feasible {
		return []Loss{}, nil
	}
	left := p.leftOut(r)
	if nearest <= 0 {
		out := []Loss{}
		for _, id := range left {
			out = append(out, r.loss(id, p.forcing(id), o))
		}
		return out, nil
	}
	return p.nearest(r, left, nearest, o), nil
}

func (p Problem) leftOut(r Result) (ids []string) {
	in := func(id string) bool {
		return slices.ContainsFunc(r.Drills, func(c Choice) bool { return c.ID == id })
	}
	for _, d := range p.Drills {
		if !in(d.ID) && !slices.Contains(p.Bans, d.ID) {
			ids = append(ids, d.ID)
		}
	}
	return ids
}

// nearest takes the drills in order of a bound on their loss and stops when
// no later one can be among the n nearest.
func (p Problem) nearest(r Result, left []string, n int, o Options) []Loss {
	least := p.leastLoss(r, o)
	byBound := slices.Clone(left)
	slices.SortStableFunc(byBound, func(a, b string) int { return cmp.Compare(least[a], least[b]) })
	position := map[string]int{}
	for i, id := range left {
		position[id] = i
	}
	out := []Loss{}
	for _, id := range byBound {
		if len(out) >= n && out[n-1].Loss != nil && least[id] > *out[n-1].Loss {
			break
		}
		out = append(out, r.loss(id, p.forcing(id), o))
		slices.SortFunc(out, func(a, b Loss) int {
			return cmp.Or(CompareLoss(a, b), cmp.Compare(position[a.Drill], position[b.Drill]))
		})
	}
	return out[:min(n, len(out))]
}

// CompareLoss orders losses: it puts the smaller loss first, no loss at all last.
func CompareLoss(a, b Loss) int {
	switch {
	case a.Loss == nil && b.Loss == nil:
		return 0
	case a.Loss == nil:
		return 1
	case b.Loss == nil:
		return -1
	}
	return cmp.Compare(*a.Loss, *b.Loss)
}

// leastLoss bounds from below what forcing in each drill costs: the loss of
// its best card against the bound of the whole; 0 for a drill that the model
// treats as the copy of another.
func (p Problem) leastLoss(r Result, o Options) map[string]int {
	late, _ := o.watch()
	s := newSearch(compile(&p, nil), late)
	s.force()
	out := map[string]int{}
	bound, ok := s.bound()
	if !ok {
		return out
	}
	best := s.bestCards()
	for i, d := range p.Drills {
		if rc, any := best[int32(i)]; any && s.m.twin[i] < 0 {
			g := s.m.groupOf(i)
			out[d.ID] = r.Objective - s.m.gain(floorDiv(bound-s.sigma[g]+rc, scale))
		}
	}
	return out
}

// bestCards is the greatest reduced gain of a card with each drill.
func (s *search) bestCards() map[int32]int64 {
	best := map[int32]int64{}
	note := func(c card, rc int64) {
		for _, i := range []int32{c.a, c.b} {
			if i < 0 {
				continue
			}
			d := s.m.parts[i].drill
			if have, any := best[d]; !any || rc > have {
				best[d] = rc
			}
		}
	}
	for g := range s.m.groups {
		all := int64(-1 << 62)
		s.price.weigh(g)
		s.price.singles(g, note)
		s.price.pairs(g, &all, note)
	}
	return best
}

// MoreTime is the change of the objective when the named sessions, given as
// positions in long_sessions and short_sessions, are five minutes longer and
// the week is planned anew. Doses scale with the length of a session, so it
// can be negative. It is not five times the worth of a minute, nor the dual
// price of the session's time, which overstates it. A nil Gain means that the
// longer sessions hold no week. A position that does not exist panics.
func MoreTime(p Problem, r Result, long, short []int, o Options) (Change, error) {
	p.Long, p.Short = longer(p.Long, long), longer(p.Short, short)
	if err := p.Validate(); err != nil {
		return Change{}, err
	}
	late, _ := o.watch()
	s := solve(&p, nil, late)
	c := Change{Proved: r.Proved && !s.stopped}
	if s.found && r.Feasible {
		gain := s.m.gain(s.best) - r.Objective
		c.Gain = &gain
	}
	return c, nil
}

// longer gives the sessions at those positions five minutes more.
func longer(sessions []Session, at []int) []Session {
	out := slices.Clone(sessions)
	for _, i := range at {
		if i < 0 || i >= len(out) {
			panic(fmt.Sprintf("week: no session %d of %d", i, len(out)))
		}
		out[i].Minutes += Minutes(5)
	}
	return out
}

// Change is a difference in the objective.
type Change struct {
	Gain   *int `json:"gain"`
	Proved bool `json:"proved"`
}
