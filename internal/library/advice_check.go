package library

import (
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// CheckAdvice lists what is wrong with advice against the library it speaks of:
// words it does not know, ids that are repeated or not there, texts that are
// missing, rungs that go round in a circle or can be come to without 15 s
// proven. Nil means it is sound.
func CheckAdvice(lib *practice.Library, a *practice.Advice) []practice.Fault {
	c := adviceChecker{checker: checker{lib: lib, components: map[practice.Component]bool{}, drills: map[string]practice.Drill{}, probes: map[string]practice.Probe{}},
		rungs: map[string]practice.Rung{}}
	c.collect()
	c.faults = nil // of the library itself: Check has them
	c.troubles(a.Troubles)
	for _, l := range a.Lessons {
		c.lesson(l)
	}
	for _, s := range a.Smaller {
		c.smaller(s)
	}
	c.said("stop", "", a.Stop.Name, a.Stop.When, a.Stop.Do, a.Stop.Source)
	if a.Stop.WorseSets < 1 {
		c.add(practice.OutOfRange, "stop.worse_sets", "", "1 or more")
	}
	c.ladders(a.Ladders)
	return c.faults
}

type adviceChecker struct {
	checker
	rungs map[string]practice.Rung
}

// said finds texts that are not there.
func (c *adviceChecker) said(list, id string, texts ...string) {
	for _, t := range texts {
		if strings.TrimSpace(t) == "" {
			c.add(practice.MissingField, at(list, id, "text"), "", "every text and the source")
			return
		}
	}
}

// unique checks the ids of a list.
func (c *adviceChecker) unique(list string, ids []string) {
	seen := map[string]bool{}
	for _, id := range ids {
		if !practice.ValidID(id) || seen[id] {
			c.add(practice.RepeatedID, at(list, id, "id"), id, "each id once")
		}
		seen[id] = true
	}
}

func (c *adviceChecker) known(field string, drills []string) {
	for _, id := range drills {
		if _, ok := c.drills[id]; !ok {
			c.unknown(field, id, keys(c.drills))
		}
	}
}

func (c *adviceChecker) test(field, id string) {
	if _, ok := c.probes[id]; id != "" && !ok {
		c.unknown(field, id, keys(c.probes))
	}
}

func (c *adviceChecker) troubles(rows []practice.Trouble) {
	c.unique("troubles", ids(rows, func(t practice.Trouble) string { return t.ID }))
	for _, t := range rows {
		c.said("troubles", t.ID, t.Look, t.Check, t.Cue.Text, t.Source)
		c.component(at("troubles", t.ID, "component"), t.Component)
		c.known(at("troubles", t.ID, "drills"), t.Drills)
		if len(t.Drills) == 0 || len(t.Ends) == 0 || !(t.Common > 0) {
			c.add(practice.MissingField, at("troubles", t.ID, "drills"), "", "drills, ends, and common over 0")
		}
		for _, end := range t.Ends {
			word(&c.checker, at("troubles", t.ID, "ends"), practice.Ends, end)
			if !end.Fell() {
				c.add(practice.Contradiction, at("troubles", t.ID, "ends"), string(end), "an end that is a fall")
			}
		}
		c.cue(t)
	}
}

func (c *adviceChecker) cue(t practice.Trouble) {
	if t.Cue.Drill == "" && t.Cue.ID == "" {
		return
	}
	has := func(cue practice.Cue) bool { return cue.ID == t.Cue.ID }
	if d, ok := c.drills[t.Cue.Drill]; !ok || !slices.ContainsFunc(d.Cues, has) {
		c.unknown(at("troubles", t.ID, "cue"), t.Cue.Drill+"/"+t.Cue.ID, nil)
	}
}

func (c *adviceChecker) lesson(l practice.Lesson) {
	c.said("lessons", l.ID, l.Name, l.For, l.Source)
	c.unique("lessons["+l.ID+"].steps", ids(l.Steps, func(s practice.LessonStep) string { return s.ID }))
	for _, s := range l.Steps {
		c.said("lessons["+l.ID+"].steps", s.ID, s.Head, s.Text)
		c.known(at("lessons", l.ID, "drills"), s.Drills)
		c.test(at("lessons", l.ID, "test"), s.Test)
		if !(s.Minutes >= 0) {
			c.add(practice.OutOfRange, at("lessons", l.ID, "minutes"), "", "0 or more")
		}
	}
}

func (c *adviceChecker) smaller(s practice.Smaller) {
	c.said("smaller", s.ID, s.Name, s.When, s.Do, s.Source)
	for _, b := range s.Blocks {
		word(&c.checker, at("smaller", s.ID, "blocks"), practice.BlockKinds, b)
	}
	for _, support := range s.Supports {
		word(&c.checker, at("smaller", s.ID, "supports"), practice.Supports, support)
	}
	if !(s.SetShare > 0 && s.SetShare <= 1) || s.Items < 0 || !(s.Minutes >= 0) || !(s.PrepMinutes >= 0) {
		c.add(practice.OutOfRange, at("smaller", s.ID, "set_share"), "", "a set_share over 0 up to 1; items and minutes not negative")
	}
}

func ids[T any](list []T, id func(T) string) []string {
	out := make([]string, len(list))
	for i, v := range list {
		out[i] = id(v)
	}
	return out
}
