package rehearse

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"aplomb/internal/learner"
	"aplomb/internal/practice"
)

// world is what is true of the drills for a student, or for a roster that shares
// it: the difficulty they really have, which the library only guesses.
type world struct {
	lib       *practice.Library
	params    learner.Params
	flaws     learner.Flaws
	exercises []learner.Exercise // one for every drill of lib, one set of it
	openTry   int
	coldTry   int
}

// newWorld draws what is true of the library's drills: a difficulty off the
// guess by the doubt the library states.
func newWorld(lib *practice.Library, params learner.Params, seed uint64) *world {
	w := &world{lib: lib, params: params, exercises: make([]learner.Exercise, len(lib.Drills))}
	rng := rand.New(rand.NewPCG(seed, 0xd1ff1c))
	for i, d := range lib.Drills {
		component, _ := learner.Named(string(d.Component))
		w.exercises[i] = learner.Exercise{
			Trains: component, Difficulty: d.Difficulty + d.DifficultySD*rng.NormFloat64(),
			Capacity: capacity(lib, d.Component), Try: practice.FreeTry(d.ID),
			Reps: max(1, d.Reps), Seconds: d.Seconds, RestSeconds: d.RestSeconds,
			Minutes: d.SetMinutes, HandMinutes: d.HandMinutes,
		}
		switch d.ID {
		case practice.OpenTry:
			w.openTry = i
		case practice.ColdTry:
			w.coldTry = i
		}
	}
	return w
}

func capacity(lib *practice.Library, name practice.Component) bool {
	return slices.ContainsFunc(lib.Components, func(c practice.ComponentInfo) bool { return c.Name == name && c.Capacity })
}

// known is the library without the components that join beyond 15 s: the
// learner does not have them.
func known(lib *practice.Library) (*practice.Library, error) {
	out := *lib
	has := func(c practice.Component) bool { _, ok := learner.Named(string(c)); return ok }
	for _, c := range lib.Components {
		if !c.Beyond && !has(c.Name) {
			return nil, fmt.Errorf("rehearse: the simulated learner has no component %q", c.Name)
		}
	}
	out.Components = slices.DeleteFunc(slices.Clone(lib.Components), func(c practice.ComponentInfo) bool { return c.Beyond })
	out.Probes = slices.DeleteFunc(slices.Clone(lib.Probes), func(p practice.Probe) bool { return !has(p.Component) })
	gone := map[string]bool{}
	for _, d := range lib.Drills {
		gone[d.ID] = !has(d.Component)
	}
	canShow := func(s practice.Shown) bool {
		_, test := out.Probe(s.Test)
		return s.Proven > 0 || s.Drill != "" && !gone[s.Drill] || test
	}
	for grew := true; grew; { // what needs something that is gone is gone
		grew = false
		for _, d := range lib.Drills {
			if !gone[d.ID] && slices.ContainsFunc(d.Needs, func(n practice.Need) bool {
				return !slices.ContainsFunc(n.Any, canShow)
			}) {
				gone[d.ID], grew = true, true
			}
		}
	}
	out.Drills = slices.DeleteFunc(slices.Clone(lib.Drills), func(d practice.Drill) bool { return gone[d.ID] })
	return &out, nil
}

func (w *world) drill(id string) int {
	return slices.IndexFunc(w.lib.Drills, func(d practice.Drill) bool { return d.ID == id })
}
