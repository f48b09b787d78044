package assess

import (
	"testing"

	"aplomb/internal/library"
	"aplomb/internal/numtest"
	"aplomb/internal/practice"
)

// What no drill was done for in three weeks has no part in other work, and falls
// back; what was practised keeps its share and its level.
func TestWhatIsLeftAloneFallsBack(t *testing.T) {
	lib := library.Builtin()
	c := newComponents(lib)
	line, balance := c.place["line"], c.place["balance"]
	on := func(day practice.Date, component practice.Component) []float64 {
		for i, d := range lib.Drills {
			if d.Component == component && !practice.FreeTry(d.ID) {
				return c.work(lib, []item{{day: day, drill: i, tally: &practice.Tally{Drill: d.ID, Tries: 10}}})
			}
		}
		t.Fatalf("no drill of %s", component)
		return nil
	}
	const start = 20000
	on(start, "line")
	numtest.Close(t, "line, still fresh", on(start+leftAlone, "balance")[line], spill, 1e-12)
	work := on(start+leftAlone+1, "balance")
	numtest.Close(t, "line, left alone", work[line], 0, 0)
	numtest.Close(t, "balance", work[balance], spill+(1-spill)*float64(len(work)), 1e-12)

	c.filter.Measure(line, 2, .5)
	c.filter.Measure(balance, 2, .5)
	before := [2]float64{c.filter.Level(line).Mean, c.filter.Level(balance).Mean}
	c.advance(start+leftAlone-7, start+leftAlone)
	numtest.Close(t, "line after three weeks", c.filter.Level(line).Mean, before[0], 0)
	c.advance(start+leftAlone, start+leftAlone+14)
	if after := c.filter.Level(line).Mean; after >= before[0] {
		t.Errorf("line stays at %v after five weeks alone", after)
	}
	numtest.Close(t, "balance, practised", c.filter.Level(balance).Mean, before[1], 0)
}
