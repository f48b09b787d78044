package rehearse

import (
	"math"
	"slices"
	"strings"
	"testing"

	"aplomb/internal/learner"
	"aplomb/internal/library"
	"aplomb/internal/numtest"
	"aplomb/internal/practice"
)

func TestKnownLibraryIsClosed(t *testing.T) {
	whole := library.Builtin()
	before := len(whole.Drills)
	lib, err := known(whole)
	if err != nil {
		t.Fatal(err)
	}
	if len(whole.Drills) != before || len(lib.Drills) == 0 || len(lib.Drills) >= before || len(lib.Components) != learner.N {
		t.Fatalf("%d of %d drills, %d components; the library given has %d now", len(lib.Drills), before, len(lib.Components), len(whole.Drills))
	}
	has := func(c practice.Component) bool {
		return slices.ContainsFunc(lib.Components, func(i practice.ComponentInfo) bool { return i.Name == c })
	}
	for _, d := range lib.Drills {
		if !has(d.Component) {
			t.Errorf("%s trains %s, which is gone", d.ID, d.Component)
		}
		for _, n := range d.Needs {
			if !slices.ContainsFunc(n.Any, func(s practice.Shown) bool { return canBeShown(lib, s) }) {
				t.Errorf("%s needs what nobody can show: %v", d.ID, n)
			}
		}
	}
	for _, p := range lib.Probes {
		if !has(p.Component) {
			t.Errorf("%s tests %s, which is gone", p.ID, p.Component)
		}
	}
}

func canBeShown(lib *practice.Library, s practice.Shown) bool {
	_, drill := lib.Drill(s.Drill)
	_, test := lib.Probe(s.Test)
	return drill || test || s.Proven > 0
}

// TestUnknownComponentsAreRefused: a studio's own component that no learner has
// is an error, not a component that is left out in silence.
func TestUnknownComponentsAreRefused(t *testing.T) {
	lib := *library.Builtin()
	lib.Components = append(slices.Clone(lib.Components), practice.ComponentInfo{Name: "patience"})
	s := small(t, 2, 4, 1, "timetable")
	s.Library = &lib
	do := workers(1, false)
	_, run := s.Run(do, nothing)
	_, stall := s.Stalls(1, do, nothing)
	_, _, recover := s.Recover(do, nothing)
	_, ends := s.Sensitivity(do, nothing)
	for _, err := range []error{run, stall, recover, ends} {
		if err == nil || !strings.Contains(err.Error(), `"patience"`) {
			t.Errorf("an unknown component: %v", err)
		}
	}
}

// TestTruthIsOffTheGuessByTheDoubt: over worlds, true less guessed difficulty
// in units of the library's doubt is standard normal.
func TestTruthIsOffTheGuessByTheDoubt(t *testing.T) {
	lib, err := known(library.Builtin())
	if err != nil {
		t.Fatal(err)
	}
	var sum, squares, n float64
	for seed := range uint64(80) {
		w := newWorld(lib, learner.Defaults(), seed)
		for i, d := range lib.Drills {
			z := (w.exercises[i].Difficulty - d.Difficulty) / d.DifficultySD
			sum, squares, n = sum+z, squares+z*z, n+1
		}
	}
	numtest.Close(t, "mean", sum/n, 0, 4/math.Sqrt(n))
	numtest.Close(t, "sd", math.Sqrt(squares/n), 1, 4/math.Sqrt(2*n))
}

func TestWorldsAreTheirSeeds(t *testing.T) {
	lib, _ := known(library.Builtin())
	a, b, c := newWorld(lib, learner.Defaults(), 3), newWorld(lib, learner.Defaults(), 3), newWorld(lib, learner.Defaults(), 4)
	if !slices.Equal(a.exercises, b.exercises) || slices.Equal(a.exercises, c.exercises) {
		t.Error("a world is not that of its seed")
	}
	if a.drill(practice.OpenTry) != a.openTry || a.drill(practice.ColdTry) != a.coldTry || a.drill("no-such") != -1 {
		t.Error("drills are not found by their id")
	}
	for i, e := range a.exercises {
		d := lib.Drills[i]
		if e.Trains.String() != string(d.Component) || e.Try != practice.FreeTry(d.ID) || e.Capacity != (e.Trains >= learner.Shoulders) {
			t.Errorf("%s became %+v", d.ID, e)
		}
	}
}

// TestFloorTestsTellTheLevel: over students, what a floor test shows, taken back
// to logits, goes with the level it is a test of.
func TestFloorTestsTellTheLevel(t *testing.T) {
	var levels, shown [learner.N][]float64
	for number := range 150 {
		c := student(t, "planner", number, learner.Defaults(), 9)
		tests := c.battery(0)
		if len(tests) != learner.N {
			t.Fatalf("%d floor tests at intake", len(tests))
		}
		c.probe(-1, tests)
		for _, r := range c.log.Probes {
			component, _ := learner.Named(string(r.Component))
			p, _ := c.world.lib.Probe(r.Test)
			levels[component] = append(levels[component], c.who.Level(component))
			shown[component] = append(shown[component], p.Ability(r.Value))
		}
	}
	for k := range levels {
		if r := correlation(levels[k], shown[k]); !(r > .5) {
			t.Errorf("%s: correlation %.2f with its floor test", learner.Component(k), r)
		}
	}
}

// TestWhoIsTestedWhen: a battery at intake for all that are tested; later the
// planner takes those it chose, in their session and of its minutes.
func TestWhoIsTestedWhen(t *testing.T) {
	for name, want := range map[string][3]int{"planner": {9, 0, 0}, "randomised": {9, 0, 0}, "battery": {9, 0, 9}, "timetable": {9, 0, 9}, "untested": {0, 0, 0}} {
		c := student(t, name, 1, learner.Defaults(), 3)
		for i, w := range []int{0, 1, probeWeeks} {
			if n := len(c.battery(w)); n != want[i] {
				t.Errorf("%s: a battery of %d in week %d, want %d", name, n, w, want[i])
			}
		}
	}
	c := student(t, "planner", 1, with(t, "adherence", 1), 3)
	for w := range 12 {
		before := len(c.log.Probes)
		c.week(w)
		if w == 0 {
			before += learner.N
		}
		if taken := len(c.log.Probes) - before; taken != len(c.due) {
			t.Errorf("week %d: %d tests were chosen, %d taken", w, len(c.due), taken)
		}
	}
	if c.record.Tests <= learner.N {
		t.Error("no test was chosen in twelve weeks")
	}
}

func correlation(x, y []float64) float64 {
	var mx, my, sxx, syy, sxy float64
	for i := range x {
		mx, my = mx+x[i]/float64(len(x)), my+y[i]/float64(len(x))
	}
	for i := range x {
		sxx, syy, sxy = sxx+(x[i]-mx)*(x[i]-mx), syy+(y[i]-my)*(y[i]-my), sxy+(x[i]-mx)*(y[i]-my)
	}
	return sxy / math.Sqrt(sxx*syy)
}
