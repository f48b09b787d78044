package library

import (
	"maps"
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// ways is every way of every need of the drill.
func ways(d practice.Drill) (out []practice.Shown) {
	for _, n := range d.Needs {
		out = append(out, n.Any...)
	}
	return out
}

// circles finds drills that need themselves, by whatever way. Without a circle
// and without an unknown id every drill can be reached from nothing.
func (c *checker) circles() {
	done := map[string]bool{}
	for _, d := range c.lib.Drills {
		c.follow(d.ID, nil, done)
	}
}

// follow walks the prerequisites of a drill along path and reports the first
// circle through each drill once.
func (c *checker) follow(id string, path []string, done map[string]bool) {
	if i := slices.Index(path, id); i >= 0 {
		c.add(practice.Contradiction, at("drills", id, "needs"), strings.Join(append(path[i:], id), " "), "prerequisites that begin somewhere")
		return
	}
	if done[id] {
		return
	}
	path = append(slices.Clip(path), id)
	for _, way := range ways(c.drills[id]) {
		if way.Drill != "" {
			c.follow(way.Drill, path, done)
		}
	}
	done[id] = true
}

// exitFirst finds inverted drills without a wall that a student may come to
// without having shown any way out, in a drill or a test.
func (c *checker) exitFirst() {
	open := c.withoutExit()
	for _, d := range c.lib.Drills {
		if open[d.ID] && d.Inverted() && (d.Support == practice.Open || d.Support == practice.Spotter) {
			c.add(practice.Contradiction, at("drills", d.ID, "needs"), "", "an exit drill or exit test to be shown first")
		}
	}
}

// withoutExit is the drills that can be reached by someone who has shown
// nothing of the exit, drill or test.
func (c *checker) withoutExit() map[string]bool {
	reached := map[string]bool{}
	shown := func(way practice.Shown) bool {
		if way.Test != "" {
			return c.probes[way.Test].Component != exit
		}
		if way.Proven > 0 { // by cold tries
			return reached[practice.ColdTry]
		}
		return reached[way.Drill] && c.drills[way.Drill].Component != exit
	}
	for grew := true; grew; {
		grew = false
		for _, d := range c.lib.Drills {
			missing := func(n practice.Need) bool { return !slices.ContainsFunc(n.Any, shown) }
			if !reached[d.ID] && !slices.ContainsFunc(d.Needs, missing) {
				reached[d.ID], grew = true, true
			}
		}
	}
	return reached
}

func keys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
