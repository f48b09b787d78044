package practice

import "testing"

// Told puts in the texts there are, keeps the others, and leaves the advice it
// is told from as it is.
func TestAdviceTold(t *testing.T) {
	lib := &Library{Drills: []Drill{{ID: "frog", Cues: []Cue{{ID: "press", Text: "Press."}}}}}
	bare := Advice{
		Troubles: []Trouble{{ID: "over", Look: "old", Cue: CueOf{Drill: "frog", ID: "press"}}, {ID: "side", Cue: CueOf{}}},
		Lessons:  []Lesson{{ID: "first", Steps: []LessonStep{{ID: "lane", Head: "old"}}}},
		Smaller:  []Smaller{{ID: "tired"}},
		Ladders:  []Ladder{{ID: "long", Rungs: []Rung{{ID: "hold-30", Setup: "old"}}}},
	}
	told := bare.Told(AdviceText{
		Troubles: map[string]TroubleText{"over": {Check: "nails"}, "side": {Cue: "Tape."}},
		Lessons:  map[string]LessonText{"first": {Name: "First time", Steps: map[string]StepText{"lane": {Text: "Clear."}}}},
		Smaller:  map[string]SmallerText{"tired": {Do: "wall"}, StopID: {When: "worse"}},
		Ladders:  map[string]LadderText{"long": {Rungs: map[string]RungText{"hold-30": {Counts: "30 s"}}}},
	}, lib)
	for _, c := range []struct{ got, want string }{
		{told.Troubles[0].Look, "old"}, {told.Troubles[0].Check, "nails"}, {told.Troubles[0].Cue.Text, "Press."}, {told.Troubles[1].Cue.Text, "Tape."},
		{told.Lessons[0].Name, "First time"}, {told.Lessons[0].Steps[0].Head, "old"}, {told.Lessons[0].Steps[0].Text, "Clear."},
		{told.Smaller[0].Do, "wall"}, {told.Stop.When, "worse"},
		{told.Ladders[0].Rungs[0].Setup, "old"}, {told.Ladders[0].Rungs[0].Counts, "30 s"},
		{bare.Troubles[0].Check, ""}, {bare.Lessons[0].Steps[0].Text, ""}, {bare.Ladders[0].Rungs[0].Counts, ""}, {bare.Smaller[0].Do, ""},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestAdviceFinds(t *testing.T) {
	a := Advice{Lessons: []Lesson{{ID: "first", Steps: []LessonStep{{ID: "lane"}}}}, Smaller: []Smaller{{ID: "tired"}}}
	l, ok := a.Lesson("first")
	if _, step := l.Step("lane"); !ok || !step {
		t.Error("the step is not found")
	}
	if _, ok := l.Step("x"); ok {
		t.Error("a step that is not there")
	}
	if _, ok := a.Lesson("x"); ok {
		t.Error("a lesson that is not there")
	}
	if s, ok := a.Version("tired"); !ok || s.ID != "tired" {
		t.Error("the version is not found")
	}
	if _, ok := a.Version("x"); ok {
		t.Error("a version that is not there")
	}
}
