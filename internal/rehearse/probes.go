package rehearse

import (
	"fmt"
	"math"

	"aplomb/internal/learner"
	"aplomb/internal/practice"
)

// probeWeeks is how many weeks lie between two whole batteries of floor tests.
const probeWeeks = 5

// tests are the floor tests of a week: the whole battery at intake and every
// fifth week, the first of each component that the student can do.
func (c *course) tests(w int) (out []practice.Probe) {
	if !c.policy.tested() || w%probeWeeks != 0 {
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

func (c *course) probedThis(w int) bool { return c.policy.tested() && w%probeWeeks == 0 }

// probe takes floor tests on the morning of a day.
func (c *course) probe(day int, tests []practice.Probe) {
	c.day = day
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
