package week

import (
	"fmt"
	"math"
	"sort"
)

// Evaluate works out what a plan is worth and which rules of the program it
// breaks, from the plan and the problem alone: it shares nothing with the
// solver but the types, so that every week can be checked by other code than
// that which wrote it. The objective is that of Plan.Drills; the sessions are
// checked against it. The problem must be valid.
func Evaluate(p Problem, plan Plan) (objective int, violations []Violation) {
	e := evaluation{p: p, drill: map[string]Drill{}, chosen: map[string]Choice{}}
	for _, d := range p.Drills {
		e.drill[d.ID] = d
	}
	for _, s := range p.Long {
		e.longest = max(e.longest, int(s.Minutes))
	}
	for _, c := range plan.Drills {
		if _, known := e.drill[c.ID]; !known {
			e.fault("drill %q is not in the problem", c.ID)
			continue
		}
		if _, twice := e.chosen[c.ID]; twice {
			e.fault("drill %q is listed twice", c.ID)
		}
		e.chosen[c.ID] = c
	}
	e.choices()
	e.week()
	e.wishes()
	e.sessions(plan.Sessions)
	return e.objective(), e.faults
}

// Violation is a rule that a plan breaks.
type Violation struct {
	Group string // as [Conflict] names it; empty for what no plan may do
	What  string
}

func (v Violation) String() string { return v.What }

type evaluation struct {
	p       Problem
	drill   map[string]Drill
	chosen  map[string]Choice
	longest int
	faults  []Violation
}

// fault notes what no plan may do, broken a rule of a named group.
func (e *evaluation) fault(format string, args ...any) { e.broken("", format, args...) }

func (e *evaluation) broken(group, format string, args ...any) {
	e.faults = append(e.faults, Violation{group, fmt.Sprintf(format, args...)})
}

// list gives the chosen drills in file order.
func (e *evaluation) list() (out []Drill) {
	for _, d := range e.p.Drills {
		if _, in := e.chosen[d.ID]; in {
			out = append(out, d)
		}
	}
	return out
}

// sets is the dose of a chosen drill in the long session l: the main dose in
// proportion to the minutes, rounded half up, never under the smallest.
func (e *evaluation) sets(d Drill, l int) int {
	share := float64(e.chosen[d.ID].Sets) * float64(e.p.Long[l].Minutes) / float64(e.longest)
	return max(d.MinSets, int(math.Floor(share+0.5)))
}

// inLong is the number of sets in long sessions; inWeek adds the short ones.
func (e *evaluation) inLong(d Drill) (n int) {
	for l := range e.p.Long {
		n += e.sets(d, l)
	}
	return n
}

func (e *evaluation) inWeek(d Drill) int {
	return e.inLong(d) + e.chosen[d.ID].Shorts*d.MinSets
}

func (e *evaluation) choices() {
	perComponent := map[string]int{}
	for _, d := range e.list() {
		c := e.chosen[d.ID]
		if c.Sets < d.MinSets || c.Sets > d.MaxSets {
			e.fault("%s: %d sets, allowed %d to %d", d.ID, c.Sets, d.MinSets, d.MaxSets)
		}
		if c.Shorts < 0 || c.Shorts > len(e.p.Short) || d.Kind == Strength && c.Shorts > 0 {
			e.fault("%s: cannot be in %d short sessions", d.ID, c.Shorts)
		}
		if n := e.inWeek(d); n < d.WeekSets {
			e.broken("minimum sets per week", "%s: %d sets in the week, at least %d", d.ID, n, d.WeekSets)
		}
		if perComponent[d.Component]++; perComponent[d.Component] == 3 {
			e.fault("more than two drills of %s", d.Component)
		}
	}
}

// mix gives the set half-minutes of one kind over all long sessions.
func (e *evaluation) mix(k Kind) (sum int) {
	for _, d := range e.list() {
		if d.Kind == k {
			sum += e.inLong(d) * int(d.Set)
		}
	}
	return sum
}

func (e *evaluation) week() {
	n, hand, long := 0, 0, 0
	for _, d := range e.list() {
		n++
		hand += e.inWeek(d) * int(d.Hand)
	}
	for _, s := range e.p.Long {
		long += int(s.Minutes)
	}
	if n > e.p.MaxDrills {
		e.broken("drills per week", "%d drills in the week, at most %d", n, e.p.MaxDrills)
	}
	if n > e.p.MaxDrillsLong {
		e.broken("drills per session", "%d drills in a long session, at most %d", n, e.p.MaxDrillsLong)
	}
	if hand > int(e.p.HandWeek) {
		e.broken("hand load per week", "%d hand half-minutes in the week, at most %d", hand, e.p.HandWeek)
	}
	if s := e.mix(Strength); s > long/4 {
		e.broken("strength share", "%d strength half-minutes, at most %d", s, long/4)
	}
	if easy, challenge := e.mix(Easy), e.mix(Challenge); 3*challenge > 7*easy || 3*easy > 7*challenge {
		e.broken("easy/challenge mix", "%d easy to %d challenge half-minutes, at most 3 to 7 either way", easy, challenge)
	}
}

func (e *evaluation) wishes() {
	for _, id := range e.p.Bans {
		if _, in := e.chosen[id]; in {
			e.broken("bans", "%s is banned", id)
		}
	}
	for i, l := range e.p.Locks {
		c, in := e.chosen[l.Drill]
		if !in || l.Sets != 0 && c.Sets != l.Sets {
			e.broken(fmt.Sprintf("lock #%d", i+1), "lock #%d on %s is not met", i+1, l.Drill)
		}
	}
}

// sessions checks every session's list, time and hand load, and that each
// drill is in as many short sessions as its choice says.
func (e *evaluation) sessions(planned []Planned) {
	seen := map[string]bool{}
	shorts := map[string]int{}
	for _, s := range planned {
		from := e.p.Long
		if s.Length == ShortSession {
			from = e.p.Short
		}
		name := fmt.Sprintf("%s session %d", s.Length, s.Index)
		if s.Index < 0 || s.Index >= len(from) || seen[name] || from[s.Index].Day != s.Day {
			e.fault("%s is not in the problem, twice here, or on another day", name)
			continue
		}
		seen[name] = true
		e.session(name, from[s.Index], s, shorts)
	}
	for l := range e.p.Long {
		if len(e.chosen) > 0 && !seen[fmt.Sprintf("long session %d", l)] {
			e.fault("long session %d is missing", l)
		}
	}
	for _, d := range e.list() {
		if shorts[d.ID] != e.chosen[d.ID].Shorts {
			e.fault("%s: in %d short sessions, chosen for %d", d.ID, shorts[d.ID], e.chosen[d.ID].Shorts)
		}
	}
}

func (e *evaluation) session(name string, limit Session, s Planned, shorts map[string]int) {
	minutes, hand := 0, 0
	here := map[string]bool{}
	for _, dose := range s.Drills {
		d := e.drill[dose.ID]
		if _, in := e.chosen[dose.ID]; !in || here[dose.ID] {
			e.fault("%s: %s is not on the main list or twice here", name, dose.ID)
			continue
		}
		here[dose.ID] = true
		want := d.MinSets
		if s.Length == LongSession {
			want = e.sets(d, s.Index)
		} else {
			shorts[dose.ID]++
		}
		if dose.Sets != want {
			e.fault("%s: %d sets of %s, want %d", name, dose.Sets, dose.ID, want)
		}
		minutes += dose.Sets*int(d.Set) + int(d.Setup)
		hand += dose.Sets * int(d.Hand)
	}
	timeRule, handRule := "session time", "hand load per session"
	if s.Length == ShortSession {
		timeRule, handRule = "short sessions", "short sessions"
		if len(here) > 2 {
			e.broken("short sessions", "%s holds %d drills, at most two", name, len(here))
		}
	} else if len(here) != len(e.chosen) {
		e.fault("%s holds %d drills of %d", name, len(here), len(e.chosen))
	}
	if minutes > int(limit.Minutes) {
		e.broken(timeRule, "%s: %d half-minutes, at most %d", name, minutes, limit.Minutes)
	}
	if hand > int(limit.Hand) {
		e.broken(handRule, "%s: %d half-minutes on the hands, at most %d", name, hand, limit.Hand)
	}
}

// step is what the nth set of a component in one session adds, in hundredths.
func (e *evaluation) step(n int) int {
	if n >= len(e.p.Massing) {
		return 0
	}
	return e.p.Massing[n] - e.p.Massing[n-1]
}

// effort of a component, in 1e-4 sets.
func (e *evaluation) effort(component string) (sum int) {
	var drills []Drill
	for _, d := range e.list() {
		if d.Component == component {
			drills = append(drills, d)
		}
	}
	sort.SliceStable(drills, func(i, j int) bool { return drills[i].Value > drills[j].Value })
	for l := range e.p.Long {
		nth := 0
		for _, d := range drills {
			for range e.sets(d, l) {
				nth++
				sum += e.step(nth) * d.Value
			}
		}
	}
	for _, d := range drills {
		for nth := 1; nth <= d.MinSets; nth++ {
			sum += e.chosen[d.ID].Shorts * e.step(nth) * d.Value
		}
	}
	return sum
}

func (e *evaluation) objective() (gain int) {
	for _, c := range e.p.Components {
		sets := float64(e.effort(c.Name)/100) / 100
		met := 1e4 * c.Need * (1 - math.Exp(-sets/c.Tau))
		gain += int(math.Floor(met + 0.5))
	}
	for _, d := range e.list() {
		gain += e.inWeek(d)*d.Bonus - e.p.DrillCost
		if d.LastWeek {
			gain += e.p.ContinuityBonus
		}
	}
	easy, challenge := e.mix(Easy), e.mix(Challenge)
	return gain - e.p.MixPenalty*(max(0, 4*challenge-6*easy)+max(0, 4*easy-6*challenge))
}
