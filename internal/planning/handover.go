package planning

import (
	"encoding/json"
	"fmt"

	"aplomb/internal/practice"
)

// HandOver is the draft's week as it is frozen when the student gets it: the
// names, cues and reasons of its items as they read now, its floor tests with
// what they were weighed at, what the planner was given, the seed of chance, and
// when. It fails only where the problem has a
// number no file can hold.
func (d Draft) HandOver(at practice.Instant, seed uint64, lib *practice.Library, why func(drill string) string) (practice.Week, error) {
	w := d.Week
	w.Status, w.HandedAt, w.Seed = practice.HandedOver, &at, seed
	problem, err := json.Marshal(d.Problem)
	if err != nil {
		return w, fmt.Errorf("planning: %w", err)
	}
	w.Problem = problem
	told := func(items []practice.Item) []practice.Item {
		out := make([]practice.Item, len(items))
		for i, it := range items {
			if drill, ok := lib.Drill(it.Drill); ok && it.Name == "" {
				it.Name = drill.Name
			}
			if it.Why == "" {
				it.Why = why(it.Drill)
			}
			out[i] = it
		}
		return out
	}
	w.Sessions = make([]practice.PlannedSession, len(d.Week.Sessions))
	for i, s := range d.Week.Sessions {
		blocks := make([]practice.Block, len(s.Blocks))
		for j, b := range s.Blocks {
			b.Items = told(b.Items)
			blocks[j] = b
		}
		s.Blocks = blocks
		w.Sessions[i] = s
	}
	w.DaysOff = told(d.Week.DaysOff)
	w.Tests = d.plannedTests(lib)
	return w, nil
}

// plannedTests are the draft's floor tests as its week keeps them.
func (d Draft) plannedTests(lib *practice.Library) (out []practice.PlannedTest) {
	for _, t := range d.Tests {
		probe, _ := lib.Probe(t.ID)
		out = append(out, practice.PlannedTest{Day: t.Day, Test: t.ID, Name: probe.Name, Minutes: t.Minutes,
			Worth: t.Worth, Cost: t.Cost, Between: t.Between[:]})
	}
	return out
}
