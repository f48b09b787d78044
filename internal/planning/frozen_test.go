package planning

import (
	"slices"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/week"
)

// Two weeks that differ in everything, and one that differs in nothing.
func TestCompare(t *testing.T) {
	item := func(drill, cue string, sets int) practice.Item {
		return practice.Item{Drill: drill, Name: drill, Sets: sets, Reps: 3, Minutes: float64(sets), Cue: cue}
	}
	session := func(day practice.Weekday, minutes float64, items ...practice.Item) practice.PlannedSession {
		return practice.PlannedSession{Day: day, Minutes: minutes, Blocks: []practice.Block{{Kind: practice.PracticeBlock, Items: items}}}
	}
	was := practice.Week{Sessions: []practice.PlannedSession{session(4, 30, item("a", "long", 2), item("b", "", 2)), session(0, 20, item("a", "long", 2), item("c", "", 1))},
		Tests: []practice.PlannedTest{{Test: "line-wall"}, {Test: "wrist-bend"}}}
	is := practice.Week{Sessions: []practice.PlannedSession{session(0, 30, item("a", "tall", 2), item("d", "", 1)), session(2, 30, item("c", "", 1), item("a", "tall", 1))},
		Tests: []practice.PlannedTest{{Test: "wrist-bend"}, {Test: "entry-kicks"}}}
	if same := Compare(was, was); !same.None() {
		t.Errorf("the same week: %+v", same)
	}
	d := Compare(was, is)
	if d.None() || len(d.Added) != 1 || d.Added[0].Drill != "d" || len(d.Dropped) != 1 || d.Dropped[0].Drill != "b" {
		t.Errorf("added %+v, dropped %+v", d.Added, d.Dropped)
	}
	if len(d.Doses) != 1 || d.Doses[0].Was.Sets != 4 || d.Doses[0].Is.Sets != 3 || d.Doses[0].Is.Minutes != 3 || d.Doses[0].Is.Sessions != 2 {
		t.Errorf("doses %+v", d.Doses)
	}
	if len(d.Cues) != 1 || d.Cues[0].Was.First.Cue != "long" || d.Cues[0].Is.First.Cue != "tall" {
		t.Errorf("cues %+v", d.Cues)
	}
	if d.Minutes != [2]float64{50, 60} || !slices.Equal(d.Days[0], []practice.Weekday{0, 4}) || !slices.Equal(d.Days[1], []practice.Weekday{0, 2}) {
		t.Errorf("minutes %v, days %v", d.Minutes, d.Days)
	}
	if len(d.Tests[0]) != 1 || d.Tests[0][0].Test != "line-wall" || len(d.Tests[1]) != 1 || d.Tests[1][0].Test != "entry-kicks" {
		t.Errorf("tests %+v", d.Tests)
	}
}

// A frozen week keeps which drills were a challenge and why it was tested; one
// without its problem, as older folders have, is read all the same.
func TestFrozen(t *testing.T) {
	w := practice.Week{Problem: []byte(`{"drills":[{"id":"a","kind":"challenge"},{"id":"b","kind":"easy"}]}`),
		Tests: []practice.PlannedTest{{Day: 2, Test: "line-wall", Minutes: 3, Worth: .2, Cost: .1, Between: []practice.Component{"line", "entry"}}}}
	d, err := Frozen(w)
	if err != nil || d.Reasons["a"].Kind != week.Challenge || d.Reasons["b"].Kind != week.Easy {
		t.Errorf("%+v, %v", d.Reasons, err)
	}
	if want := (FloorTest{ID: "line-wall", Day: 2, Minutes: 3, Worth: .2, Cost: .1, Between: [2]practice.Component{"line", "entry"}}); len(d.Tests) != 1 || d.Tests[0] != want {
		t.Errorf("%+v", d.Tests)
	}
	if d, err := Frozen(practice.Week{}); err != nil || len(d.Reasons) != 0 {
		t.Errorf("%+v, %v", d, err)
	}
	if _, err := Frozen(practice.Week{Problem: []byte("{")}); !practice.HasCode(err, practice.StoreBroken) {
		t.Errorf("a broken problem: %v", err)
	}
}
