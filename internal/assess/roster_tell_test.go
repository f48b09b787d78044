package assess

import (
	"math"
	"slices"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

func marked(day int, drill string, mark practice.Mark, cue string) practice.DrillMark {
	return practice.DrillMark{At: at(day, 90), Drill: drill, Mark: mark, Cue: cue}
}

// A student has one voice a drill, the latest; a drill done on a day with marks
// and never marked counts as neither; a day without marks asks nothing.
func TestVoices(t *testing.T) {
	var h heap
	h.add("ada", &practice.Log{
		Tallies: []practice.Tally{tallied(1, "heel-float", 5, 3), tallied(1, "toe-float", 5, 3), tallied(2, "frog-hold", 5, 3)},
		Marks:   []practice.DrillMark{marked(1, "heel-float", practice.Confusing, ""), marked(3, "heel-float", practice.Helped, "shift"), marked(50, "heel-float", practice.Confusing, "")},
	}, monday+20)
	h.add("bo", &practice.Log{Marks: []practice.DrillMark{marked(4, "heel-float", practice.Helped, "shift")}}, monday+20)
	m := h.learn(t).Marks
	if len(m.Drills) != 2 || len(m.Cues) != 1 {
		t.Fatalf("%+v", m)
	}
	if d := m.Drills[0]; d.Drill != "heel-float" || d.Helped != 2 || d.Confusing != 0 || d.Neither != 0 || d.Status != skill.Few {
		t.Errorf("%+v", d)
	}
	if d := m.Drills[1]; d.Drill != "toe-float" || d.Neither != 1 || d.Voices() != 1 {
		t.Errorf("%+v", d)
	}
	if c := m.Cues[0]; c.Cue != "shift" || c.Helped != 2 {
		t.Errorf("%+v", c)
	}
	if m.All.Helped != 2 || m.All.Neither != 1 || m.Drills[0].Helps.P >= 1 || m.Drills[0].Helps.P <= m.All.Helps.P {
		t.Errorf("%+v", m.All)
	}
}

// Twelve students hold 3 s cold, day after day, with the floor tests of strong
// shoulders; twelve do not, and differ in the shoulders alone.
func TestMilestoneAsksLearn(t *testing.T) {
	var h heap
	for i := range 24 {
		log, seconds, degrees := &practice.Log{}, 4., 178.
		if i%2 == 0 {
			seconds, degrees = 1.5, 150
		}
		for day := range 20 {
			log.Attempts = append(log.Attempts, row(day, 0, practice.ColdTry, held(seconds, practice.Over)), row(day, 1, practice.ColdTry, held(seconds, practice.Over)))
		}
		for _, day := range []int{0, 10, 19} {
			log.Probes = append(log.Probes, tested(day, -60, "shoulder-overhead", degrees), tested(day, -59, "tension-hollow", 60),
				tested(day, -58, "confidence-fear", 1), tested(day, -57, "line-wall", 10), tested(day, -56, "wrist-bend", 92),
				tested(day, -55, "entry-kicks", 10), tested(day, -54, "exit-both-sides", 10), tested(day, -53, "balance-floats", 8), tested(day, -52, "endurance-wall", 80))
		}
		h.add(string(rune('a'+i)), log, monday+20)
	}
	for _, m := range h.learn(t).Milestones {
		if m.Seconds != 3 {
			continue
		}
		if m.Reached != 12 || m.NotYet != 12 {
			t.Fatalf("reached %d, not yet %d", m.Reached, m.NotYet)
		}
		for _, a := range m.Asks {
			switch {
			case a.Component == "shoulders" && (a.Value < 150 || a.Value > 178 || a.SD >= skill.AskDoubt || a.ValueLo > a.Value || a.ValueHi < a.Value):
				t.Errorf("%+v", a)
			case a.Component == "tension" && math.Abs(a.Mean-a.Guess) > .5:
				t.Errorf("nobody lacked tension, and yet %+v", a)
			}
		}
	}
}

// Without enough cold tries nobody knows: such a student is on neither side.
func TestFewColdTriesAreNoFailure(t *testing.T) {
	var h heap
	h.add("ada", &practice.Log{Attempts: []practice.Attempt{row(1, 0, practice.ColdTry, held(1.5, practice.Over))}}, monday+5)
	for _, m := range h.learn(t).Milestones {
		if m.Reached+m.NotYet != 0 {
			t.Errorf("%g s: reached %d, not yet %d", m.Seconds, m.Reached, m.NotYet)
		}
	}
}

func TestUnitsAndLogitsAgree(t *testing.T) {
	for _, p := range subject(&practice.Log{}, 0).Library.Probes {
		value := math.Round((p.Min + p.Max) / 2)
		if back := inUnits(p, p.Ability(value)); math.Abs(back-value) > 1e-9 {
			t.Errorf("%s: %g became %g", p.ID, value, back)
		}
	}
}

func TestWhatTheLogCannotTell(t *testing.T) {
	var h heap
	h.add("quiet", &practice.Log{Tallies: []practice.Tally{tallied(1, "toe-float", 5, 3)}}, monday+60)
	h.add("tired", &practice.Log{Tallies: []practice.Tally{tallied(59, "toe-float", 5, 3)},
		Probes: []practice.ProbeResult{tested(59, 60, "balance-floats", 3)}}, monday+60)
	h.add("warm", &practice.Log{Attempts: []practice.Attempt{row(59, 0, "heel-float", passed(true)), row(59, 5, practice.OpenTry, held(4, practice.Over))},
		Probes: []practice.ProbeResult{tested(58, 0, "balance-floats", 3)}}, monday+60)
	l := h.learn(t)
	for code, want := range map[OpenCode][]string{GoneQuiet: {"quiet"}, TiredTests: {"tired"}, NoColdTry: {"warm"}} {
		if o := openOf(l, code); o == nil || !slices.Equal(o.Students, want) {
			t.Errorf("%s: %+v", code, o)
		}
	}
	if o := openOf(l, NeverTested); o == nil || o.Component != "entry" && o.Component != "balance" {
		t.Errorf("%+v", o)
	}
	if o := openOf(l, TestedOnce); o == nil || o.Component != "balance" {
		t.Errorf("%+v", o)
	}
	for _, always := range []OpenCode{NoChance, CommonLevel, OutsideLife} {
		if openOf(l, always) == nil {
			t.Errorf("%s is missing", always)
		}
	}
}

// Two drills that everyone did on the same days are named, however few tests there
// are; one that somebody did alone is not among them.
func TestDrillsOfTheSameDays(t *testing.T) {
	var h heap
	for i := range 2 {
		log := &practice.Log{}
		for day := range 4 {
			log.Tallies = append(log.Tallies, tallied(day, "toe-float", 5, 3), tallied(day, "heel-float", 5, 3), tallied(day, "frog-hold", 5, 3))
		}
		if i == 1 {
			log.Tallies = append(log.Tallies, tallied(9, "frog-hold", 5, 3))
		}
		h.add(string(rune('a'+i)), log, monday+30)
	}
	if o := openOf(h.learn(t), AlwaysTogether); o == nil || o.Component != "balance" || !slices.Equal(o.Drills, []string{"heel-float", "toe-float"}) {
		t.Errorf("%+v", o)
	}
}

// A week with an item left to chance takes that reason away.
func TestChanceIsSeen(t *testing.T) {
	var h heap
	week := practice.Week{Sessions: []practice.PlannedSession{{Blocks: []practice.Block{{Items: []practice.Item{{Choice: &practice.Choice{}}}}}}}}
	h.add("ada", &practice.Log{Weeks: []practice.Week{week}}, monday)
	if o := openOf(h.learn(t), NoChance); o != nil {
		t.Errorf("%+v", o)
	}
}

// Reasons are gathered: a set of drills is named once.
func TestConfoundedAreNamedOnce(t *testing.T) {
	got := confounded([]DrillEffect{
		{Drill: "b", Status: skill.Together, With: []string{"a"}}, {Drill: "a", Status: skill.Together, With: []string{"b"}},
		{Drill: "c", Status: skill.Steady}, {Drill: "d", Status: skill.Returns}, {Drill: "e", Status: skill.Steady},
	}, []Open{{Code: AlwaysTogether, Drills: []string{"a", "b"}}})
	if len(got) != 3 || !slices.Equal(got[0].Drills, []string{"a", "b"}) || !slices.Equal(got[1].Drills, []string{"c", "e"}) || got[2].Code != AfterALowTest {
		t.Errorf("%+v", got)
	}
}
