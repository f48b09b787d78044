package rehearse

import (
	"fmt"
	"math"
	"slices"

	"aplomb/internal/learner"
	"aplomb/internal/practice"
)

// probeWeeks is how many weeks lie between two whole batteries of floor tests,
// where the planner does not choose them.
const probeWeeks = 5

// battery is the floor tests of a week that nobody chose: one of each component
// at intake and, unless the planner chooses, every fifth week.
func (c *course) battery(w int) (out []practice.Probe) {
	if !c.policy.tested() || w%probeWeeks != 0 || w > 0 && c.policy.chooses() {
		return nil
	}
	of := map[practice.Component]bool{}
	for _, p := range c.world.lib.Probes {
		if !of[p.Component] {
			of[p.Component] = true
			out = append(out, p)
		}
	}
	return out
}

// judged says whether the limiter is held against the truth this week: in the
// weeks of a battery, taken or not.
func (c *course) judged(w int) bool { return c.policy.tested() && w%probeWeeks == 0 }

// pay takes the minutes of a battery from the sessions of its week, from each its
// share. Plain policies do not pay: they make no use of what a test says of a
// component, and are tested so that the estimate can be judged.
func (c *course) pay(tests []practice.Probe) {
	c.student.Slots = c.policy.Slots
	if !c.policy.plans() || len(tests) == 0 {
		return
	}
	minutes := 0.0
	for _, p := range tests {
		minutes += p.Minutes
	}
	c.record.Minutes += minutes
	left := 1 - minutes/float64(c.policy.MinutesAWeek())
	c.student.Slots = slices.Clone(c.policy.Slots)
	all, paid := 0.0, 0 // rounded as they add up, so that no minute is lost
	for i := range c.student.Slots {
		all += left * float64(c.student.Slots[i].Minutes)
		c.student.Slots[i].Minutes = int(math.Round(all)) - paid
		paid += c.student.Slots[i].Minutes
	}
}

// chosen takes the tests the planner put into the session of a day.
func (c *course) chosen(day int, weekday practice.Weekday) {
	var tests []practice.Probe
	for _, t := range c.due {
		if t.Day == weekday {
			p, _ := c.world.lib.Probe(t.ID)
			tests = append(tests, p)
		}
	}
	c.probe(day, tests)
}

// probe takes floor tests on the morning of a day.
func (c *course) probe(day int, tests []practice.Probe) {
	c.day = day
	c.record.Tests += len(tests)
	for k, p := range tests {
		component, _ := learner.Named(string(p.Component))
		value := c.result(component, p)
		c.tested[p.ID] = value
		c.rows++
		c.log.Probes = append(c.log.Probes, practice.ProbeResult{ID: fmt.Sprintf("p%d", c.rows), Student: c.student.ID,
			At: at(day, float64(k-8*3600)), Component: p.Component, Test: p.ID, Value: value, Unit: p.Unit})
	}
}

// result turns the learner's level on a floor test into its unit: what the test
// can show, no more and no less.
func (c *course) result(component learner.Component, p practice.Probe) float64 {
	if p.Link == practice.OfN {
		passed := 0
		for range p.N {
			if c.who.Test(component, p.Mid) {
				passed++
			}
		}
		return float64(passed)
	}
	logit := c.who.Measured(component)
	return math.Max(p.Min, math.Min(p.Max, p.Mid+p.Scale*logit))
}
