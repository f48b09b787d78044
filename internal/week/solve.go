package week

import (
	"slices"
	"time"
)

// DefaultBudget is the time a proof may take.
const DefaultBudget = 200 * time.Millisecond

// Options say how long a proof may take and by what customs a week is written.
type Options struct {
	// Budget for one proof; 0 is DefaultBudget. When it is spent the best
	// week found is returned with its bound, not proved.
	Budget time.Duration
	// Now reads the clock. Nil: no budget, and no time is reported.
	Now func() time.Time
	// Habits place the short sessions and order each session; nil is
	// DefaultHabits.
	Habits *Habits
}

// watch starts the budget: late says when it is spent, spent how much.
func (o Options) watch() (late func() bool, spent func() time.Duration) {
	if o.Now == nil {
		return func() bool { return false }, func() time.Duration { return 0 }
	}
	budget := o.Budget
	if budget <= 0 {
		budget = DefaultBudget
	}
	start := o.Now()
	spent = func() time.Duration { return o.Now().Sub(start) }
	return func() bool { return spent() > budget }, spent
}

// Solve finds the best week, with proof. A problem that fails Validate gives
// its error. Feasible false with Proved true means that there is no week: ask
// [Conflict] why. Same input, same output, as long as the budget suffices.
func Solve(p Problem, o Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	late, spent := o.watch()
	s := solve(&p, nil, late)
	took := spent()
	return s.result(o, took), nil
}

// solve runs the search over p without some groups of rules.
func solve(p *Problem, without dropped, late func() bool) *search {
	s := newSearch(compile(p, without), late)
	s.run()
	return s
}

func (s *search) result(o Options, took time.Duration) Result {
	r := Result{Feasible: s.found, Proved: !s.stopped, Milliseconds: float64(took) / float64(time.Millisecond),
		Why: []Loss{}, WhyNot: []Loss{}, Conflict: []string{}}
	r.Drills, r.Sessions = []Choice{}, []Planned{}
	if s.found {
		r.Objective = s.m.gain(s.best)
		r.Plan = s.plan(o)
	}
	r.Bound = r.Objective
	if s.stopped {
		r.Bound = s.bestBound()
	}
	return r
}

// bestBound is the gain that no week exceeds, after a search cut short.
func (s *search) bestBound() int {
	return s.m.gain(max(s.best, floorDiv(s.open, scale)))
}

// plan writes out the best week.
func (s *search) plan(o Options) Plan {
	h := o.Habits
	if h == nil {
		standard := DefaultHabits()
		h = &standard
	}
	parts := s.m.partsOf(s.week, nil)
	plan := Plan{Drills: []Choice{}}
	var drills []*Drill
	dose := map[*Drill]*part{}
	for _, t := range parts {
		d := &s.m.p.Drills[t.drill]
		plan.Drills = append(plan.Drills, Choice{ID: d.ID, Sets: int(t.k), Shorts: int(t.y)})
		drills = append(drills, d)
		dose[d] = t
	}
	shorts, _ := arrange(s.m.p, parts, h)
	add := func(at Session, l Length, i int, list []*Drill, sets func(*Drill) int) {
		h.inOrder(list)
		planned := Planned{Day: at.Day, Length: l, Index: i, Drills: []Dose{}}
		for _, d := range list {
			planned.Drills = append(planned.Drills, Dose{ID: d.ID, Sets: sets(d)})
		}
		plan.Sessions = append(plan.Sessions, planned)
	}
	for i, at := range s.m.p.Long {
		add(at, LongSession, i, slices.Clone(drills), func(d *Drill) int {
			return s.m.dose(d, int(dose[d].k), length{minutes: at.Minutes})
		})
	}
	for i, at := range s.m.p.Short {
		add(at, ShortSession, i, shorts[i], func(d *Drill) int { return d.MinSets })
	}
	slices.SortStableFunc(plan.Sessions, func(a, b Planned) int { return a.Day - b.Day })
	return plan
}
