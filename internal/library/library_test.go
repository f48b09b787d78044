package library

import (
	"math"
	"slices"
	"strings"
	"testing"

	"aplomb/internal/practice"
)

// offered is the drills the exact planner chooses from: no mobility and no free
// tries, which it is given as fixed minutes.
func offered(lib *practice.Library, keep func(practice.Drill) bool) (out []practice.Drill) {
	for _, d := range lib.Drills {
		if d.Kind != practice.Mobility && !practice.FreeTry(d.ID) && keep(d) {
			out = append(out, d)
		}
	}
	return out
}

func onlyKit(kit ...practice.Kit) func(practice.Drill) bool {
	return func(d practice.Drill) bool {
		return !slices.ContainsFunc(d.Kit, func(k practice.Kit) bool { return !slices.Contains(kit, k) })
	}
}

// choices counts the easy (p >= .8) and challenge (.45 <= p < .8) drills of a
// component at an ability.
func choices(drills []practice.Drill, c practice.Component, ability float64) (easy, challenge int) {
	for _, d := range drills {
		if d.Component != c {
			continue
		}
		switch p := 1 / (1 + math.Exp(d.Difficulty-ability)); {
		case p >= 0.8:
			easy++
		case p >= 0.45:
			challenge++
		}
	}
	return easy, challenge
}

// asked is the ability that a milestone asks of a component.
func asked(t *testing.T, lib *practice.Library, seconds float64, c practice.Component) float64 {
	t.Helper()
	for _, m := range lib.Milestones {
		for _, ask := range m.Asks {
			if p, _ := lib.Probe(ask.Test); m.Seconds == seconds && p.Component == c {
				return p.Ability(ask.Value)
			}
		}
	}
	t.Fatalf("%v s asks nothing of %s", seconds, c)
	return 0
}

// early is the components of the way up to 15 s.
func early(lib *practice.Library) []practice.ComponentInfo {
	return slices.DeleteFunc(slices.Clone(lib.Components), func(c practice.ComponentInfo) bool { return c.Beyond })
}

// "at least 36 drills, four or more for each component".
func TestSizeOfTheLibrary(t *testing.T) {
	lib := Builtin()
	if len(lib.Drills) < 44 {
		t.Errorf("%d drills", len(lib.Drills))
	}
	for _, c := range early(lib) {
		all, plannable := 0, 0
		for _, d := range lib.Drills {
			if d.Component == c.Name {
				all++
			}
		}
		for _, d := range offered(lib, onlyKit(practice.Kits...)) {
			if d.Component == c.Name {
				plannable++
			}
		}
		if all < 4 || plannable < 4 {
			t.Errorf("%s: %d drills, %d of them for the planner", c.Name, all, plannable)
		}
	}
}

// "enough for sound weeks at every stage up to 15 s": at every ability on the
// way, with a wall and without one, no other kit, each component has something
// easy and something challenging.
func TestSomethingEasyAndSomethingHardAtEveryStage(t *testing.T) {
	lib := Builtin()
	for _, kit := range [][]practice.Kit{nil, {"wall"}} {
		drills := offered(lib, onlyKit(kit...))
		for _, c := range early(lib) {
			for a := c.PriorLogit - 1; a <= asked(t, lib, 15, c.Name)+1; a += 0.25 {
				if easy, challenge := choices(drills, c.Name, a); easy == 0 || challenge == 0 {
					t.Errorf("kit %v, %s at %.2f: %d easy, %d challenge", kit, c.Name, a, easy, challenge)
				}
			}
		}
	}
}

// The same with prerequisites: a student whose components come on together, who
// has shown the tests that the ability reaches and every drill that may be
// begun and is passed as often as not.
func TestPrerequisitesKeepPace(t *testing.T) {
	lib := Builtin()
	for _, kit := range [][]practice.Kit{nil, {"wall"}} {
		for step := 0; step <= 20; step++ {
			ability := map[practice.Component]float64{}
			for _, c := range early(lib) {
				first, last := c.PriorLogit-1, asked(t, lib, 15, c.Name)+1
				ability[c.Name] = first + (last-first)*float64(step)/20
			}
			begun := begin(lib, ability, kit)
			for _, c := range early(lib) {
				if easy, challenge := choices(begun, c.Name, ability[c.Name]); easy == 0 || challenge == 0 {
					t.Errorf("kit %v, step %d, %s at %.2f: %d easy, %d challenge", kit, step, c.Name, ability[c.Name], easy, challenge)
				}
			}
		}
	}
}

// begin is the drills whose needs such a student has shown.
func begin(lib *practice.Library, ability map[practice.Component]float64, kit []practice.Kit) (begun []practice.Drill) {
	passed := map[string]bool{}
	shown := func(w practice.Shown) bool {
		if p, ok := lib.Probe(w.Test); ok {
			return p.Ability(*w.Value) <= ability[p.Component] && !slices.ContainsFunc(p.Kit, func(k practice.Kit) bool { return !slices.Contains(kit, k) })
		}
		return passed[w.Drill]
	}
	for before := -1; before < len(passed); {
		before = len(passed)
		begun = offered(lib, func(d practice.Drill) bool {
			return onlyKit(kit...)(d) && !slices.ContainsFunc(d.Needs, func(n practice.Need) bool { return !slices.ContainsFunc(n.Any, shown) })
		})
		for _, d := range begun {
			if d.Difficulty <= ability[d.Component] {
				passed[d.ID] = true
			}
		}
	}
	return begun
}

// A new student finds both among the drills that need nothing, on bare floor
// too.
func TestFirstWeekOfANewStudent(t *testing.T) {
	lib := Builtin()
	for _, kit := range [][]practice.Kit{nil, {"wall"}} {
		first := offered(lib, func(d practice.Drill) bool { return len(d.Needs) == 0 && onlyKit(kit...)(d) })
		for _, c := range early(lib) {
			if easy, challenge := choices(first, c.Name, c.PriorLogit); easy == 0 || challenge == 0 {
				t.Errorf("kit %v, %s: %d easy, %d challenge", kit, c.Name, easy, challenge)
			}
		}
	}
}

// Students with less: what they are left with, and that it can be begun.
func TestEnoughIsLeft(t *testing.T) {
	lib := Builtin()
	without := func(s practice.Strain) func(practice.Drill) bool {
		return func(d practice.Drill) bool { return !d.Has(s) }
	}
	for _, c := range []struct {
		name       string
		keep       func(practice.Drill) bool
		components int // that have an easy or challenge drill at the prior, needing nothing
		drills     int
	}{
		{"bare floor", onlyKit(), 9, 40},
		{"no inversion", without(practice.Inverted), 9, 30},
		{"no hand load", without(practice.HandLoad), 8, 18},
		{"no overhead", without(practice.Overhead), 6, 12},
	} {
		left := offered(lib, c.keep)
		first := slices.DeleteFunc(slices.Clone(left), func(d practice.Drill) bool { return len(d.Needs) > 0 })
		components := 0
		for _, info := range early(lib) {
			if easy, challenge := choices(first, info.Name, info.PriorLogit); easy+challenge > 0 {
				components++
			}
		}
		t.Logf("%s: %d drills, %d components to begin with", c.name, len(left), components)
		if components < c.components || len(left) < c.drills {
			t.Errorf("%s: %d drills left, %d components", c.name, len(left), components)
		}
	}
}

// A student who may not invert, may not load the hands, may not reach overhead,
// or has no kit can show what any drill left to them needs.
func TestWhatIsLeftCanBeReached(t *testing.T) {
	lib := Builtin()
	for _, barred := range []practice.Strain{practice.Inverted, practice.HandLoad, practice.Overhead, ""} {
		may := func(strains []practice.Strain, kit []practice.Kit) bool {
			return !slices.Contains(strains, barred) && (barred != "" || len(kit) == 0)
		}
		canShow := func(w practice.Shown) bool {
			if p, ok := lib.Probe(w.Test); ok {
				return may(p.Strains, p.Kit)
			}
			d, _ := lib.Drill(w.Drill)
			return may(d.Strains, d.Kit)
		}
		for _, d := range offered(lib, func(d practice.Drill) bool { return may(d.Strains, d.Kit) }) {
			for i, n := range d.Needs {
				if !slices.ContainsFunc(n.Any, canShow) {
					t.Errorf("%s is left without %q but its need %d cannot be shown", d.ID, barred, i)
				}
			}
		}
	}
}

func TestOrderOfASession(t *testing.T) {
	infos := early(Builtin())
	slices.SortFunc(infos, func(a, b practice.ComponentInfo) int { return a.Order - b.Order })
	var names []string
	for _, c := range infos {
		names = append(names, string(c.Name))
	}
	if got := strings.Join(names, " "); got != "entry exit confidence balance line tension endurance wrists shoulders" {
		t.Error(got)
	}
}

// Each component has a floor test, and every milestone asks each component for
// no less than the one before.
func TestMilestonesRise(t *testing.T) {
	lib := Builtin()
	if len(lib.Milestones) != len(practice.DefaultMilestonesS) {
		t.Fatalf("%d milestones", len(lib.Milestones))
	}
	for _, c := range early(lib) {
		if !slices.ContainsFunc(lib.Probes, func(p practice.Probe) bool { return p.Component == c.Name }) {
			t.Errorf("%s has no floor test", c.Name)
		}
		last := math.Inf(-1)
		for i, m := range lib.Milestones {
			if m.Seconds != practice.DefaultMilestonesS[i] {
				t.Errorf("milestone %v", m.Seconds)
			}
			a := asked(t, lib, m.Seconds, c.Name)
			if a < last {
				t.Errorf("%s: %v s asks %v, less than before", c.Name, m.Seconds, a)
			}
			last = a
		}
		if first := asked(t, lib, 1, c.Name); last <= first {
			t.Errorf("%s: 60 s asks no more than 1 s", c.Name)
		}
		if a := asked(t, lib, 15, c.Name); a <= c.PriorLogit {
			t.Errorf("%s: 15 s asks %v, a new student has %v", c.Name, a, c.PriorLogit)
		}
	}
}

// Norms of science read as they should on the scale: better is higher.
func TestProbesPointUp(t *testing.T) {
	for _, p := range Builtin().Probes {
		lo, hi := p.Ability(p.Min), p.Ability(p.Max)
		if less := strings.Contains(p.Unit, "less is better"); less != (lo > hi) {
			t.Errorf("%s: %v gives %v, %v gives %v", p.ID, p.Min, lo, p.Max, hi)
		}
		if p.Norm == "" || p.Source == "" || p.Setup == "" || p.Counts == "" || p.Minutes <= 0 {
			t.Errorf("%s leaves the coach guessing", p.ID)
		}
	}
}

func TestMerge(t *testing.T) {
	base := Builtin()
	if Merge(base, nil) != base {
		t.Error("nothing to merge, but a new library")
	}
	mine, _ := base.Drill("frog-hold")
	mine.Name = "Frog, our way"
	extra := mine
	extra.ID = "frog-ours"
	got := Merge(base, []practice.Drill{extra, mine})
	if d, _ := got.Drill("frog-hold"); d.Name != "Frog, our way" || len(got.Drills) != len(base.Drills)+1 {
		t.Errorf("%q, %d drills", d.Name, len(got.Drills))
	}
	if d, _ := base.Drill("frog-hold"); d.Name == mine.Name {
		t.Error("merging changed the base")
	}
	if got.Version == base.Version {
		t.Error("another library under the same version")
	}
	if faults := Check(got); len(faults) > 0 {
		t.Error(faults)
	}
	if faults := Check(Merge(base, []practice.Drill{mine, mine})); len(faults) != 1 || faults[0].Code != practice.RepeatedID {
		t.Errorf("given twice: %v", faults)
	}
}

func TestDecodeIsStrict(t *testing.T) {
	for _, raw := range []string{`[{"id":"a","nmae":"b"}]`, `[] []`, `[`, `{}`} {
		var drills []practice.Drill
		if err := decode([]byte(raw), &drills); err == nil {
			t.Errorf("%s was read", raw)
		}
	}
}

func TestBrokenDataPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	var nothing []string
	mustRead("components", &nothing)
}

func BenchmarkCheck(b *testing.B) {
	lib := Builtin()
	for b.Loop() {
		Check(lib)
	}
}
