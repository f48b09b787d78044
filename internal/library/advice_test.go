package library

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// TestAdviceIsThere: the numbers and names a coach counts on.
func TestAdviceIsThere(t *testing.T) {
	a := Advice()
	if len(a.Troubles) < 20 {
		t.Errorf("%d troubles", len(a.Troubles))
	}
	for _, id := range []string{"under-soft-kick", "under-shoulders-behind", "over-arched-back", "side-uneven-hands", "lost-breathing-in"} {
		if !slices.ContainsFunc(a.Troubles, func(row practice.Trouble) bool { return row.ID == id }) {
			t.Errorf("no row %s", id)
		}
	}
	for _, end := range practice.Ends {
		rows := LookFor(a.Troubles, end, nil, func(string) bool { return true }, 100)
		if directed := end.Fell() && end != practice.SpottedSave; directed != (len(rows) >= 5) {
			t.Errorf("%s: %d rows", end, len(rows))
		}
	}
	for _, id := range []string{"first-time", "set-up", "expectations"} {
		if _, ok := a.Lesson(id); !ok {
			t.Errorf("no lesson %s", id)
		}
	}
	for _, l := range a.Ladders {
		if len(l.Rungs) < 2 {
			t.Errorf("%s: %d rungs", l.ID, len(l.Rungs))
		}
	}
	if len(a.Ladders) != 5 {
		t.Errorf("%d ladders", len(a.Ladders))
	}
}

// TestFirstTimeIsSafe: fear is asked first and last, the way out is learned
// before anything goes upside down, and nothing is in the open.
func TestFirstTimeIsSafe(t *testing.T) {
	lesson, _ := Advice().Lesson("first-time")
	var tests, drills []string
	minutes := 0.0
	for _, s := range lesson.Steps {
		minutes += s.Minutes
		drills = append(drills, s.Drills...)
		if s.Test != "" {
			tests = append(tests, s.Test)
		}
	}
	if !slices.Equal(tests, []string{practice.FearTest, practice.FearTest}) {
		t.Errorf("asks %v", tests)
	}
	if minutes < 20 || minutes > 40 {
		t.Errorf("takes %v minutes", minutes)
	}
	shownOut := false
	for _, id := range drills {
		d, _ := Builtin().Drill(id)
		if d.Support == practice.Open || d.Support == practice.Spotter {
			t.Errorf("%s is %s", id, d.Support)
		}
		if d.Inverted() && !shownOut {
			t.Errorf("%s comes before a way out was shown", id)
		}
		shownOut = shownOut || d.Component == "exit"
	}
}

// Drills of a trouble come easy first, however the file lists them.
func TestTroublesBeginEasy(t *testing.T) {
	drills := []string{"free-five", "turn-walk", "kick-wall", "frog-hold"}
	easyFirst(drills)
	if !slices.Equal(drills, []string{"turn-walk", "frog-hold", "kick-wall", "free-five"}) {
		t.Error(drills)
	}
}

// Texts are sentences, no advice diagnoses, and nothing is said twice.
func TestAdviceReads(t *testing.T) {
	diagnosis := regexp.MustCompile(`(?i)tendon|impingement|diagnos|sprain|fracture|tfcc|syndrome`)
	seen := map[string]bool{}
	text := func(where, s string, most int) {
		if !regexp.MustCompile(`(?s)^[A-Z0-9].*[.!?]$`).MatchString(s) || diagnosis.MatchString(s) || len(s) > most {
			t.Errorf("%s (%d): %q", where, len(s), s)
		}
	}
	once := func(where, s string) {
		if seen[s] {
			t.Errorf("%s: said twice: %q", where, s)
		}
		seen[s] = true
	}
	for _, row := range Advice().Troubles {
		text(row.ID, row.Look, 130)
		text(row.ID, row.Check, 180)
		text(row.ID, row.Cue.Text, 100)
		once(row.ID, row.Look)
		once(row.ID, row.Check)
	}
	for _, l := range Advice().Lessons {
		for _, s := range l.Steps {
			text(l.ID+" "+s.ID, s.Text, 420)
			once(l.ID+" "+s.ID, s.Text)
		}
	}
	for _, l := range Advice().Ladders {
		for _, r := range l.Rungs {
			text(r.ID, r.Setup, 220)
			text(r.ID, r.Counts, 260)
		}
	}
}

// Ladders say plainly where no source stands behind them.
func TestLaddersSayTheyHaveNoSource(t *testing.T) {
	for _, l := range Advice().Ladders {
		for _, r := range l.Rungs {
			if r.Source != "common practice, no source" {
				t.Errorf("%s: %q", r.ID, r.Source)
			}
		}
	}
}

func TestCheckAdviceFinds(t *testing.T) {
	tooMuch := 1000.0
	for name, c := range map[string]struct {
		spoil func(a *practice.Advice)
		code  practice.Code
		field string
	}{
		"an unknown drill":     {func(a *practice.Advice) { a.Troubles[0].Drills = []string{"turn-wlak"} }, practice.UnknownID, "troubles[over-no-way-out].drills"},
		"no drills":            {func(a *practice.Advice) { a.Troubles[0].Drills = nil }, practice.MissingField, "troubles[over-no-way-out].drills"},
		"an unknown cue":       {func(a *practice.Advice) { a.Troubles[0].Cue.ID = "odrer" }, practice.UnknownID, "troubles[over-no-way-out].cue"},
		"an unknown end":       {func(a *practice.Advice) { a.Troubles[0].Ends = []practice.End{"ovre"} }, practice.UnknownWord, "troubles[over-no-way-out].ends"},
		"an end that is none":  {func(a *practice.Advice) { a.Troubles[0].Ends = []practice.End{practice.Lowered} }, practice.Contradiction, "troubles[over-no-way-out].ends"},
		"an unknown component": {func(a *practice.Advice) { a.Troubles[0].Component = "exti" }, practice.UnknownWord, "troubles[over-no-way-out].component"},
		"a row twice":          {func(a *practice.Advice) { a.Troubles[1].ID = a.Troubles[0].ID }, practice.RepeatedID, "troubles[over-no-way-out].id"},
		"a silent row":         {func(a *practice.Advice) { a.Troubles[0].Check = " " }, practice.MissingField, "troubles[over-no-way-out].text"},
		"a silent step":        {func(a *practice.Advice) { a.Lessons[0].Steps[0].Text = "" }, practice.MissingField, "lessons[first-time].steps[may-i].text"},
		"a step's drill":       {func(a *practice.Advice) { a.Lessons[0].Steps[0].Drills = []string{"x"} }, practice.UnknownID, "lessons[first-time].drills"},
		"a step's test":        {func(a *practice.Advice) { a.Lessons[0].Steps[0].Test = "x" }, practice.UnknownID, "lessons[first-time].test"},
		"a step's minutes":     {func(a *practice.Advice) { a.Lessons[0].Steps[0].Minutes = -1 }, practice.OutOfRange, "lessons[first-time].minutes"},
		"an unknown block":     {func(a *practice.Advice) { a.Smaller[0].Blocks = []practice.BlockKind{"rest"} }, practice.UnknownWord, "smaller[tired].blocks"},
		"an unknown support":   {func(a *practice.Advice) { a.Smaller[0].Supports = []practice.Support{"wal"} }, practice.UnknownWord, "smaller[tired].supports"},
		"no sets":              {func(a *practice.Advice) { a.Smaller[0].SetShare = 0 }, practice.OutOfRange, "smaller[tired].set_share"},
		"a rule without sets":  {func(a *practice.Advice) { a.Stop.WorseSets = 0 }, practice.OutOfRange, "stop.worse_sets"},
		"a rung's drill":       {func(a *practice.Advice) { a.Ladders[0].Rungs[0].Drills = []string{"x"} }, practice.UnknownID, "rungs[hold-30].drills"},
		"a rung below":         {func(a *practice.Advice) { a.Ladders[0].Rungs[0].After = []string{"x"} }, practice.UnknownID, "rungs[hold-30].after"},
		"rungs going round":    {func(a *practice.Advice) { a.Ladders[0].Rungs[0].After = []string{"hold-60"} }, practice.Contradiction, "rungs[hold-30].after"},
		"a rung twice":         {func(a *practice.Advice) { a.Ladders[0].Rungs[1].ID = "hold-30" }, practice.RepeatedID, "rungs[hold-30].id"},
		"a rung too early":     {func(a *practice.Advice) { a.Ladders[0].Rungs[0].Needs[0].Any[0].Proven = 10 }, practice.Contradiction, "rungs[hold-30].needs"},
		"no such milestone":    {func(a *practice.Advice) { a.Ladders[0].Rungs[0].Needs[0].Any[0].Proven = 17 }, practice.UnknownID, "rungs[hold-30].needs"},
		"a need's test":        {func(a *practice.Advice) { a.Ladders[0].Rungs[0].Needs[1].Any[0].Test = "x" }, practice.UnknownID, "rungs[hold-30].needs"},
		"a need's drill":       {func(a *practice.Advice) { a.Ladders[0].Rungs[0].Needs[1].Any[0].Drill = "x" }, practice.UnknownID, "rungs[hold-30].needs"},
		"a need's value":       {func(a *practice.Advice) { a.Ladders[0].Rungs[0].Needs[1].Any[0].Value = &tooMuch }, practice.OutOfRange, "rungs[hold-30].needs"},
		"a test of nothing":    {func(a *practice.Advice) { a.Ladders[0].Rungs[0].Test.Seconds = 0 }, practice.Contradiction, "rungs[hold-30].test"},
	} {
		bare := bareAdvice() // read anew: a test may break it
		a := bare.Told(words.English.Advice(), Builtin())
		c.spoil(&a)
		faults := CheckAdvice(Builtin(), &a)
		if !slices.ContainsFunc(faults, func(f practice.Fault) bool { return f.Code == c.code && f.Field == c.field }) {
			t.Errorf("%s: %v", name, practice.Faults(faults))
		}
	}
}

// The tail of a fair coin, by hand: 1/16 for 4 of 4, 7/64 for 5 of 6,
// 56/1024 for 8 of 10, 176/1024 for 7 of 10.
func TestOneWay(t *testing.T) {
	for _, c := range []struct {
		ends map[practice.End]int
		want practice.End
		ok   bool
	}{
		{nil, "", false},
		{map[practice.End]int{practice.Lowered: 40, practice.Pain: 3}, "", false},
		{map[practice.End]int{practice.SpottedSave: 40}, "", false},
		{map[practice.End]int{practice.Under: 3}, practice.Under, false},
		{map[practice.End]int{practice.Under: 4, practice.Lowered: 9}, practice.Under, true},
		{map[practice.End]int{practice.Over: 5, practice.Under: 1}, practice.Over, false},
		{map[practice.End]int{practice.Over: 8, practice.Under: 1, practice.Sideways: 1}, practice.Over, true},
		{map[practice.End]int{practice.Over: 7, practice.Under: 3}, practice.Over, false},
		{map[practice.End]int{practice.Over: 200, practice.Under: 200}, practice.Over, false},
	} {
		if way, ok := OneWay(c.ends); ok != c.ok || way != c.want {
			t.Errorf("%v: %s %v", c.ends, way, ok)
		}
	}
}

// The likelier component comes first, a drill that is not allowed never comes,
// and the table stays as it is.
func TestLookFor(t *testing.T) {
	rows := Advice().Troubles
	all := func(string) bool { return true }
	first := LookFor(rows, practice.Under, map[practice.Component]float64{"confidence": 0.6, "entry": 0.2}, all, 3)
	if first[0].ID != "under-afraid" {
		t.Errorf("first %s", first[0].ID)
	}
	if usual := LookFor(rows, practice.Under, nil, all, 2); usual[0].ID != "under-soft-kick" || usual[1].ID != "under-shoulders-behind" {
		t.Errorf("usually %s, %s", usual[0].ID, usual[1].ID)
	}
	if none := LookFor(rows, practice.Under, nil, func(string) bool { return false }, 3); len(none) != 0 {
		t.Errorf("nothing is allowed, and %d come", len(none))
	}
	before := slices.Clone(rows[0].Drills)
	rapid.Check(t, func(t *rapid.T) {
		barred := rapid.SliceOfDistinct(rapid.SampledFrom(Builtin().Drills), func(d practice.Drill) string { return d.ID }).Draw(t, "barred")
		may := func(id string) bool {
			return !slices.ContainsFunc(barred, func(d practice.Drill) bool { return d.ID == id })
		}
		end := rapid.SampledFrom(practice.Ends).Draw(t, "end")
		for _, row := range LookFor(rows, end, nil, may, 3) {
			if len(row.Drills) == 0 || slices.ContainsFunc(row.Drills, func(id string) bool { return !may(id) }) || !slices.Contains(row.Ends, end) {
				t.Fatalf("%s with %v", row.ID, row.Drills)
			}
		}
		if !slices.Equal(rows[0].Drills, before) {
			t.Fatalf("the table was changed: %v", rows[0].Drills)
		}
	})
}

// Another language is one folder: German names and purposes for every drill,
// the rest English.
func TestGerman(t *testing.T) {
	german := In(words.German)
	names := map[string]bool{}
	for i, english := range Builtin().Drills {
		own, d := words.German.Drill(english.ID), german.Drills[i]
		if own.Name == "" || own.Purpose == "" || own.Name == english.Name || own.Purpose == english.Purpose {
			t.Errorf("%s: %q, %q", english.ID, own.Name, own.Purpose)
		}
		if d.Name != own.Name || d.Purpose != own.Purpose || d.Setup != english.Setup && words.German.Drill(d.ID).Setup == "" {
			t.Errorf("%s is told as %q", d.ID, d.Name)
		}
		if names[d.Name] || len(own.Purpose) > 115 || !strings.HasSuffix(own.Purpose, ".") || strings.Contains(own.Purpose, "Kerze") {
			t.Errorf("%s: %q, %q", d.ID, own.Name, own.Purpose)
		}
		names[d.Name] = true
	}
	if a := AdviceIn(words.German); a.Troubles[0].Look != Advice().Troubles[0].Look || a.Stop.Do == "" {
		t.Errorf("German advice: %+v", a.Troubles[0])
	}
}

// No text is left over for something that is not there.
func TestNoTextIsLeftOver(t *testing.T) {
	a, texts := Advice(), words.English.Advice()
	rungs, steps := 0, 0
	for _, l := range a.Ladders {
		rungs += len(l.Rungs) - len(texts.Ladders[l.ID].Rungs)
	}
	for _, l := range a.Lessons {
		steps += len(l.Steps) - len(texts.Lessons[l.ID].Steps)
	}
	if len(texts.Troubles) != len(a.Troubles) || len(texts.Smaller) != len(a.Smaller)+1 || len(texts.Lessons) != len(a.Lessons) ||
		len(texts.Ladders) != len(a.Ladders) || rungs != 0 || steps != 0 {
		t.Errorf("%d, %d, %d, %d texts; %d rungs and %d steps too few", len(texts.Troubles), len(texts.Smaller), len(texts.Lessons), len(texts.Ladders), rungs, steps)
	}
	for _, id := range words.German.Drills() {
		if _, ok := Builtin().Drill(id); !ok {
			t.Errorf("German tells of %s", id)
		}
	}
}
