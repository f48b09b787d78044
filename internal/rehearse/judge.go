package rehearse

import (
	"math"
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/learner"
	"aplomb/internal/practice"
)

// Look is one month's estimate held against the truth: how many of its 80%
// intervals held it, of how many that were claimed.
type Look struct {
	Month      int // from 1
	Chance     Covered
	Components Covered
	Forecast   Covered
	Error      float64 // estimate less truth of the cold chance of Goal; NaN: nothing was claimed
	due        due
}

// Covered counts intervals that held the truth among those claimed.
type Covered struct{ Held, Of int }

func (c *Covered) add(held bool) {
	c.Of++
	if held {
		c.Held++
	}
}

// due is a forecast whose truth is not known yet.
type due struct {
	seconds float64
	week    int // the forecast is made at its end
	lo, hi  int // weeks from it; never is beyond every horizon
	open    bool
}

const never = math.MaxInt

// judge holds the standing against the learner's truth, for a month.
func (c *course) judge(month int) {
	st := &c.last
	l := Look{Month: month, Error: math.NaN()}
	for _, chance := range st.NowCold {
		if chance.Seconds == Goal {
			q := c.who.Chance(Goal, true)
			l.Chance.add(chance.Lo <= q && q <= chance.Hi)
			l.Error = chance.P - q
		}
	}
	for _, level := range st.Components {
		if level.N == 0 {
			continue // nobody looked at it: nothing is claimed
		}
		component, _ := learner.Named(string(level.Name))
		l.Components.add(math.Abs(level.Level-c.who.Level(component)) <= z80*level.SD)
	}
	if f := st.Milestone.Forecast; f != nil {
		l.due = due{seconds: st.Milestone.NextSeconds, week: len(c.record.Chance), lo: weeks(f.WeeksLo), hi: weeks(f.WeeksHi), open: true}
	}
	c.record.Looks = append(c.record.Looks, l)
}

// z80 is the normal quantile of .9: an 80% interval is this many sd either way.
const z80 = 1.2815515655446004

func weeks(n *int) int {
	if n == nil {
		return never
	}
	return *n
}

// settle judges the forecasts once the course is over: the truth is the first
// week at whose end the chance was GoalChance or more. One that had not come by
// the end of the course is held by an interval that reaches beyond it; a
// forecast is judged only where half a year or more followed.
func (c *course) settle(weeks int) {
	for i := range c.record.Looks {
		l := &c.record.Looks[i]
		if !l.due.open || weeks-l.due.week < followed {
			continue
		}
		came, ok := c.cameBy(l.due)
		switch {
		case ok:
			l.Forecast.add(l.due.lo <= came && came <= l.due.hi)
		default:
			l.Forecast.add(l.due.hi > weeks-l.due.week)
		}
	}
}

// followed is how many weeks have to follow a forecast for it to be judged.
const followed = 26

// cameBy is how many weeks after the forecast the chance was there.
func (c *course) cameBy(d due) (int, bool) {
	chances := c.chances[milestoneAt(d.seconds)]
	for w := d.week - 1; w < len(chances); w++ {
		if chances[w] >= assess.TargetP {
			return w + 1 - d.week, true
		}
	}
	return 0, false
}

func milestoneAt(seconds float64) int {
	i := slices.Index(practice.DefaultMilestonesS, seconds)
	if i < 0 {
		panic("rehearse: no such milestone")
	}
	return i
}

// Proof is a milestone that was declared proven, and the true chance of it on
// that day.
type Proof struct {
	Seconds float64
	Chance  float64
}

// truth keeps the true chance of every milestone in the morning of a day.
func (c *course) truth() {
	row := make([]float64, len(practice.DefaultMilestonesS))
	for i, m := range practice.DefaultMilestonesS {
		row[i] = c.who.Chance(m, true)
	}
	c.daily = append(c.daily, row)
}

// weekly keeps it at the end of a week.
func (c *course) weekly() {
	for i, m := range practice.DefaultMilestonesS {
		c.chances[i] = append(c.chances[i], c.who.Chance(m, true))
	}
}

// proofs notes the milestones that were newly declared.
func (c *course) proofs() {
	m := c.last.Milestone
	if m.ReachedSeconds <= c.reached || m.ReachedOn == nil {
		return
	}
	c.reached = m.ReachedSeconds
	if day := int(*m.ReachedOn - start); day >= 0 && day < len(c.daily) {
		c.record.Proofs = append(c.record.Proofs, Proof{Seconds: c.reached, Chance: c.daily[day][milestoneAt(c.reached)]})
	}
}

// LimiterLook is what was said to limit after floor tests, and what did.
type LimiterLook struct {
	Week    int
	Seconds float64 // the next milestone
	Known   bool    // the estimate called itself known
	First   bool    // the likeliest is the true one
	TopTwo  bool    // the true one is among the likeliest two
}

func (c *course) judgeLimiter(w int) {
	st := &c.last
	seconds := st.Milestone.NextSeconds
	if seconds == 0 {
		return
	}
	truth, _ := c.who.Limiter(seconds)
	first, second := twoLikeliest(st.Components)
	name := practice.Component(truth.String())
	c.record.Limiters = append(c.record.Limiters, LimiterLook{Week: w, Seconds: seconds, Known: st.LimiterKnown, First: name == first, TopTwo: name == first || name == second})
}

func twoLikeliest(levels []assess.ComponentLevel) (first, second practice.Component) {
	p1, p2 := -1.0, -1.0
	for _, l := range levels {
		switch {
		case l.PLimits > p1:
			first, second, p1, p2 = l.Name, first, l.PLimits, p1
		case l.PLimits > p2:
			second, p2 = l.Name, l.PLimits
		}
	}
	return first, second
}
