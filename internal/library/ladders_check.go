package library

import (
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// openSeconds is the hold in the open that every ladder begins from.
const openSeconds = 15.0

func (c *adviceChecker) ladders(ladders []practice.Ladder) {
	var all []string
	for _, l := range ladders {
		c.said("ladders", l.ID, l.Name, l.For, l.Source)
		for _, r := range l.Rungs {
			all = append(all, r.ID)
			c.rungs[r.ID] = r
		}
	}
	c.unique("rungs", all)
	done := map[string]bool{}
	for _, id := range all {
		c.rung(c.rungs[id])
		c.climb(id, nil, done)
	}
}

func (c *adviceChecker) rung(r practice.Rung) {
	c.said("rungs", r.ID, r.Name, r.Setup, r.Counts, r.Source)
	c.known(at("rungs", r.ID, "drills"), r.Drills)
	if (r.Test.Seconds > 0) == (r.Test.Count > 0) || r.Test.TriesDay < 1 || !(r.Test.Minutes > 0) {
		c.add(practice.Contradiction, at("rungs", r.ID, "test"), "", "seconds or a count, tries_a_day and minutes")
	}
	for _, id := range r.After {
		if _, ok := c.rungs[id]; !ok {
			c.unknown(at("rungs", r.ID, "after"), id, keys(c.rungs))
		}
	}
	proven := false
	for _, n := range r.Needs {
		proven = proven || len(n.Any) > 0 && !slices.ContainsFunc(n.Any, func(s practice.Shown) bool { return s.Proven < openSeconds })
		for _, s := range n.Any {
			c.rungWay(r.ID, s)
		}
	}
	if !proven {
		c.add(practice.Contradiction, at("rungs", r.ID, "needs"), "", "15 s or more proven")
	}
}

// rungWay checks one way to show a need of a rung.
func (c *adviceChecker) rungWay(id string, s practice.Shown) {
	field := at("rungs", id, "needs")
	if s.Drill != "" {
		c.known(field, []string{s.Drill})
	}
	c.test(field, s.Test)
	if p := c.probes[s.Test]; s.Test != "" && (s.Value == nil || !(*s.Value >= p.Min && *s.Value <= p.Max)) {
		c.add(practice.OutOfRange, field, s.Test, "a value the test can show")
	}
	milestone := func(m practice.MilestoneAsk) bool { return m.Seconds == s.Proven }
	if s.Proven > 0 && !slices.ContainsFunc(c.lib.Milestones, milestone) {
		c.add(practice.UnknownID, field, "", "the seconds of a milestone of the library")
	}
}

// climb walks what a rung comes after and reports a way round once.
func (c *adviceChecker) climb(id string, path []string, done map[string]bool) {
	if i := slices.Index(path, id); i >= 0 {
		c.add(practice.Contradiction, at("rungs", id, "after"), strings.Join(append(path[i:], id), " "), "rungs that begin somewhere")
		return
	}
	if done[id] {
		return
	}
	path = append(slices.Clip(path), id)
	for _, below := range c.rungs[id].After {
		c.climb(below, path, done)
	}
	done[id] = true
}
