package planning

import (
	"math"
	"slices"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// Tired is the session for a tired day: the wall and the floor only. Like every
// smaller version it only leaves things out: what a stop kept out of the
// session stays out.
func Tired(s practice.PlannedSession, lib *practice.Library) practice.PlannedSession {
	return Smaller(s, version("tired"), lib)
}

// FiveMinutes is the session in five minutes: short prep and one of its drills.
func FiveMinutes(s practice.PlannedSession, lib *practice.Library) practice.PlannedSession {
	return Smaller(s, version("five-minutes"), lib)
}

func version(id string) practice.Smaller {
	rule, ok := library.Advice().Version(id)
	if !ok {
		panic("planning: no smaller version " + id)
	}
	return rule
}

// Smaller is the session cut down by the rule: fewer blocks, drills, sets and
// minutes, in their order, never more. A drill the library does not know is
// left out, since what holds the student up in it is not known. The session
// given stays as it is.
func Smaller(s practice.PlannedSession, rule practice.Smaller, lib *practice.Library) practice.PlannedSession {
	cut := cutter{rule: rule, lib: lib, room: math.Inf(1), items: math.MaxInt}
	if rule.Minutes > 0 {
		cut.room = rule.Minutes
	}
	if rule.Items > 0 {
		cut.items = rule.Items
	}
	blocks := s.Blocks
	s.Blocks, s.Minutes = []practice.Block{}, 0
	for _, b := range blocks {
		if !slices.Contains(rule.Blocks, b.Kind) {
			continue
		}
		if b = cut.block(b); b.Minutes > 0 {
			s.Blocks = append(s.Blocks, b)
			s.Minutes += b.Minutes
		}
	}
	return s
}

// cutter is the room that is left while a session is cut down.
type cutter struct {
	rule  practice.Smaller
	lib   *practice.Library
	room  float64 // minutes
	items int
}

func (c *cutter) block(b practice.Block) practice.Block {
	items := b.Items
	b.Items = []practice.Item{}
	if len(items) == 0 {
		if b.Kind == practice.PrepBlock && c.rule.PrepMinutes > 0 {
			b.Minutes = min(b.Minutes, c.rule.PrepMinutes)
		}
		b.Minutes = min(b.Minutes, c.room)
		c.room -= b.Minutes
		return b
	}
	b.Minutes = 0
	for _, it := range items {
		if it, ok := c.item(it); ok {
			b.Items = append(b.Items, it)
			b.Minutes += it.Minutes
		}
	}
	return b
}

// item is the item with as many sets as the rule and the room allow.
func (c *cutter) item(it practice.Item) (practice.Item, bool) {
	d, ok := c.lib.Drill(it.Drill)
	if !ok || c.items == 0 || !slices.Contains(c.rule.Supports, d.Support) {
		return practice.Item{}, false
	}
	planned := max(1, it.Sets)
	setup := max(0, it.Minutes-float64(planned)*d.SetMinutes)
	sets := int(math.Ceil(float64(planned) * c.rule.SetShare))
	if most := (c.room - setup) / d.SetMinutes; most < float64(sets) {
		sets = int(math.Floor(most))
	}
	if sets < 1 {
		return practice.Item{}, false
	}
	it = withSets(it, &d, sets)
	c.room -= it.Minutes
	c.items--
	return it, true
}

// withSets is the item with fewer sets of its drill; minutes of setting up stay.
func withSets(it practice.Item, d *practice.Drill, sets int) practice.Item {
	planned := max(1, it.Sets)
	it.Minutes -= min(it.Minutes, float64(planned-sets)*d.SetMinutes)
	it.HandMinutes *= float64(sets) / float64(planned)
	it.Sets = sets
	return it
}

// WorseAndWorse says whether the stop rule holds after these sets: the last of
// them each worse than the one before. A set is one number, more is better:
// seconds held, or passes.
func WorseAndWorse(sets []float64) bool {
	n := library.Advice().Stop.WorseSets
	if len(sets) <= n {
		return false
	}
	last := sets[len(sets)-n-1:]
	for i := 1; i < len(last); i++ {
		if !(last[i] < last[i-1]) {
			return false
		}
	}
	return true
}

// LastSet is the easy one to finish with once the stop rule holds: one set of
// the easiest drill of the session's own practice and strength. It is false
// where the session has none.
func LastSet(s practice.PlannedSession, lib *practice.Library) (practice.Item, bool) {
	var easiest practice.Item
	difficulty := math.Inf(1)
	for _, b := range s.Blocks {
		if b.Kind != practice.PracticeBlock && b.Kind != practice.StrengthBlock {
			continue
		}
		for _, it := range b.Items {
			if d, ok := lib.Drill(it.Drill); ok && d.Difficulty < difficulty {
				easiest, difficulty = withSets(it, &d, 1), d.Difficulty
			}
		}
	}
	return easiest, !math.IsInf(difficulty, 1)
}
