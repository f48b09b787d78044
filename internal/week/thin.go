package week

import "slices"

// Fill says how far the long sessions of a week are filled and, where that is
// under half, why.
type Fill struct {
	Used    HalfMinutes `json:"used_minutes"`    // sets and setup in long sessions
	Offered HalfMinutes `json:"offered_minutes"` // minutes of the long sessions
	Share   float64     `json:"share"`           // Used / Offered
	Reason  Reason      `json:"reason"`
	// Reliefs are the groups of rules that hold the week down, each dropped
	// alone and the week planned anew: the greatest gain first.
	Reliefs []Relief `json:"reliefs"`
}

// Relief is what a week would be without one group of rules.
type Relief struct {
	Group  string  `json:"group"`
	Gain   int     `json:"gain"`  // in the objective, above 0
	Share  float64 `json:"share"` // how far the long sessions would be filled
	Proved bool    `json:"proved"`
}

// Reason says why a week is empty or under half filled.
type Reason string

// The reasons.
const (
	Filled        Reason = "filled"         // half filled or more
	NoWeek        Reason = "no week"        // nothing fits: ask Conflict
	NoCandidates  Reason = "no candidates"  // no drill, or all are banned
	HeldDown      Reason = "held down"      // by each of Reliefs alone
	HeldTogether  Reason = "held together"  // by several groups at once; none alone
	NothingGained Reason = "nothing gained" // more drills would cost more than they give
)

// Filling works out how full the week in r is and, under half, why. Each
// relief is a proof of its own, with its own budget.
func Filling(p Problem, r Result, o Options) (Fill, error) {
	if err := p.Validate(); err != nil {
		return Fill{}, err
	}
	f := Fill{Reason: Filled, Reliefs: []Relief{}}
	for _, s := range p.Long {
		f.Offered += s.Minutes
	}
	if !r.Feasible {
		f.Reason = NoWeek
		return f, nil
	}
	f.Used = p.longMinutes(r.Plan)
	f.Share = float64(f.Used) / float64(f.Offered)
	if 2*f.Used < f.Offered {
		f.explain(&p, r, o)
	}
	return f, nil
}

// longMinutes is the time that a plan's drills take in long sessions.
func (p *Problem) longMinutes(plan Plan) (used HalfMinutes) {
	drills := map[string]*Drill{}
	for i := range p.Drills {
		drills[p.Drills[i].ID] = &p.Drills[i]
	}
	for _, s := range plan.Sessions {
		if s.Length == LongSession {
			for _, d := range s.Drills {
				used += HalfMinutes(d.Sets)*drills[d.ID].Set + drills[d.ID].Setup
			}
		}
	}
	return used
}

// longMinutes is the same of the best week of a search.
func (s *search) longMinutes() (used HalfMinutes) {
	for _, t := range s.m.partsOf(s.week, nil) {
		d := &s.m.p.Drills[t.drill]
		for i, sets := range s.m.doses[t.profile] {
			used += HalfMinutes(s.m.lengths[i].count) * (HalfMinutes(sets)*d.Set + d.Setup)
		}
	}
	return used
}

func (f *Fill) explain(p *Problem, r Result, o Options) {
	for _, name := range p.groupNames() {
		if l := f.relief(p, r, o, name); l.Gain > 0 {
			f.Reliefs = append(f.Reliefs, l)
		}
	}
	slices.SortStableFunc(f.Reliefs, func(a, b Relief) int { return b.Gain - a.Gain })
	candidate := func(d Drill) bool { return !slices.Contains(p.Bans, d.ID) }
	switch {
	case !slices.ContainsFunc(p.Drills, candidate):
		f.Reason = NoCandidates
	case len(f.Reliefs) > 0:
		f.Reason = HeldDown
	case f.relief(p, r, o, p.groupNames()...).Gain > 0:
		f.Reason = HeldTogether
	default:
		f.Reason = NothingGained
	}
}

// relief plans the week without the named groups.
func (f *Fill) relief(p *Problem, r Result, o Options, names ...string) Relief {
	without := dropped{}
	for _, n := range names {
		without[n] = true
	}
	late, _ := o.watch()
	s := solve(p, without, late)
	l := Relief{Group: names[0], Proved: r.Proved && !s.stopped}
	if s.found {
		l.Gain = s.m.gain(s.best) - r.Objective
		l.Share = float64(s.longMinutes()) / float64(f.Offered)
	}
	return l
}
