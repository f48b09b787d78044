package practice

import (
	"math"
	"strings"
	"testing"
)

// faultsOf is each fault as code and field.
func faultsOf(fs []Fault) string {
	var out []string
	for _, f := range fs {
		out = append(out, string(f.Code)+" "+f.Field)
	}
	return strings.Join(out, "; ")
}

// spoil changes a sound value in one way and names the faults that follow.
type spoil[T any] struct {
	name  string
	with  func(*T)
	fault string
}

// checks spoils a sound value in each way in turn.
func checks[T any](t *testing.T, sound func() T, check func(T) []Fault, cases []spoil[T]) {
	t.Helper()
	if fs := check(sound()); len(fs) > 0 {
		t.Fatalf("the sound value has faults: %v", fs)
	}
	for _, c := range cases {
		v := sound()
		c.with(&v)
		if got := faultsOf(check(v)); got != c.fault {
			t.Errorf("%s: got %q, want %q", c.name, got, c.fault)
		}
	}
}

func TestAttemptCheck(t *testing.T) {
	sound := func() Attempt {
		return Attempt{ID: "a", Student: "s", Drill: OpenTry, Support: Open, Passed: Known(true), Seconds: Known(2.0), Set: 1, Rep: 1}
	}
	checks(t, sound, Attempt.Check, []spoil[Attempt]{
		{"no ids", func(a *Attempt) { a.ID, a.Student, a.Drill = "", "a b", "é" }, "bad-id id; bad-id student; bad-id drill"},
		{"negative seconds", func(a *Attempt) { a.Seconds = Known(-1.0) }, "out-of-range seconds"},
		{"over an hour", func(a *Attempt) { a.Seconds = Known(3600.5) }, "out-of-range seconds"},
		{"seconds not a number", func(a *Attempt) { a.Seconds = Known(math.NaN()) }, "out-of-range seconds"},
		{"an hour", func(a *Attempt) { a.Seconds = Known(3600.0) }, ""},
		{"a second not passed", func(a *Attempt) { a.Seconds, a.Passed = Known(1.0), Known(false) }, "contradiction passed"},
		{"half a second passed", func(a *Attempt) { a.Seconds = Known(0.99) }, "contradiction passed"},
		{"half a second not passed", func(a *Attempt) { a.Seconds, a.Passed = Known(0.99), Known(false) }, ""},
		{"not known whether passed", func(a *Attempt) { a.Passed = Maybe[bool]{} }, ""},
		{"another drill not passed", func(a *Attempt) { a.Drill, a.Passed = "wall", Known(false) }, ""},
		{"a free try at the wall", func(a *Attempt) { a.Support = WallChest }, "contradiction support"},
		{"a free try with a spotter", func(a *Attempt) { a.Support = Spotter }, ""},
		{"a warm cold try", func(a *Attempt) { a.Drill, a.Cold = ColdTry, Known(false) }, "contradiction cold"},
		{"a negative set", func(a *Attempt) { a.Set = -1 }, "out-of-range set"},
		{"rep 501", func(a *Attempt) { a.Rep = 501 }, "out-of-range rep"},
		{"a session that is no id", func(a *Attempt) { a.Session = "a b" }, "bad-id session"},
	})
}

func TestTallyCheck(t *testing.T) {
	sound := func() Tally {
		return Tally{ID: "t", Student: "s", Drill: OpenTry, Tries: 10, Caught: Known(4), Best: Known(3.0), SecondBest: Known(2.0)}
	}
	checks(t, sound, Tally.Check, []spoil[Tally]{
		{"no ids", func(a *Tally) { a.ID, a.Student, a.Drill = "", "", "" }, "bad-id id; bad-id student; bad-id drill"},
		{"no tries", func(a *Tally) { a.Tries = 0 }, "out-of-range tries"},
		{"501 tries", func(a *Tally) { a.Tries = 501 }, "out-of-range tries"},
		{"more caught than tried", func(a *Tally) { a.Caught = Known(11) }, "out-of-range caught"},
		{"fewer than none caught", func(a *Tally) { a.Caught, a.Best, a.SecondBest = Known(-1), Known(0.5), Known(0.5) }, "out-of-range caught"},
		{"best too long", func(a *Tally) { a.Best = Known(4000.0) }, "out-of-range best"},
		{"second best over best", func(a *Tally) { a.SecondBest = Known(4.0) }, "contradiction second_best"},
		{"second best alone", func(a *Tally) { a.Best = Maybe[float64]{} }, "contradiction second_best"},
		{"two holds, one caught", func(a *Tally) { a.Caught = Known(1) }, "contradiction caught"},
		{"caught, but none held", func(a *Tally) { a.Best, a.SecondBest = Known(0.5), Maybe[float64]{} }, "contradiction best"},
		{"none caught", func(a *Tally) { a.Caught, a.Best, a.SecondBest = Known(0), Known(0.5), Known(0.2) }, ""},
		{"another drill", func(a *Tally) { a.Drill, a.Caught = "wall", Known(1) }, ""},
		{"not known how many", func(a *Tally) { a.Caught = Maybe[int]{} }, ""},
		{"set 501", func(a *Tally) { a.Set = 501 }, "out-of-range set"},
	})
}

func TestNoteCheck(t *testing.T) {
	sound := func() Note {
		return Note{ID: "n", Student: "s", By: "c", Kind: LessonNote, Minutes: 50, Text: "line", Next: "floats"}
	}
	checks(t, sound, Note.Check, []spoil[Note]{
		{"no ids", func(n *Note) { n.ID, n.Student, n.By = "", "", "" }, "bad-id id; bad-id student; bad-id by"},
		{"another kind", func(n *Note) { n.Kind, n.Next = "verse", "" }, "unknown-word kind"},
		{"over ten hours", func(n *Note) { n.Minutes = 601 }, "out-of-range minutes"},
		{"a lesson without a word", func(n *Note) { n.Text, n.Next = "", "" }, ""},
		{"a note without one", func(n *Note) { n.Kind, n.Text, n.Next = PlainNote, " ", "" }, "missing-field text"},
		{"next of a note", func(n *Note) { n.Kind = PlainNote }, "contradiction next"},
		{"next of a private lesson", func(n *Note) { n.Health = true }, "contradiction next"},
		{"too long", func(n *Note) { n.Text, n.Next = strings.Repeat("x", MaxNote+1), strings.Repeat("x", MaxNote+1) }, "out-of-range text; out-of-range next"},
	})
}

func TestSessionCheck(t *testing.T) {
	sound := func() Session {
		return Session{ID: "x", Student: "s", Minutes: Known(30.0), Effort: Known(10.0), Pain: Known(0.0)}
	}
	checks(t, sound, Session.Check, []spoil[Session]{
		{"no ids", func(s *Session) { s.ID, s.Student = "", "" }, "bad-id id; bad-id student"},
		{"over ten hours", func(s *Session) { s.Minutes = Known(601.0) }, "out-of-range minutes"},
		{"effort 11", func(s *Session) { s.Effort = Known(11.0) }, "out-of-range effort"},
		{"negative pain", func(s *Session) {
			s.PainBefore, s.Pain, s.PainMorning = Known(-1.0), Known(-1.0), Known(math.Inf(1))
		}, "out-of-range pain_before; out-of-range pain; out-of-range pain_next_morning"},
	})
}

func TestProbeChecks(t *testing.T) {
	checks(t, func() ProbeResult { return ProbeResult{ID: "p", Student: "s", Test: "hollow"} }, ProbeResult.Check, []spoil[ProbeResult]{
		{"no ids", func(p *ProbeResult) { *p = ProbeResult{} }, "bad-id id; bad-id student; bad-id test"},
	})
	kicks := Probe{ID: "kicks", Component: "entry", Unit: "passes", Max: 10, N: 10, Link: OfN}
	sound := func() ProbeResult {
		return ProbeResult{Test: "kicks", Unit: "passes", Component: "entry", Value: 10}
	}
	checks(t, sound, kicks.CheckResult, []spoil[ProbeResult]{
		{"another unit", func(p *ProbeResult) { p.Unit = "s" }, "contradiction unit"},
		{"another component", func(p *ProbeResult) { p.Component = "exit" }, "contradiction component"},
		{"no component", func(p *ProbeResult) { p.Component = "" }, ""},
		{"eleven of ten", func(p *ProbeResult) { p.Value = 11 }, "out-of-range value"},
		{"not a number", func(p *ProbeResult) { p.Value = math.NaN() }, "out-of-range value"},
		{"half a pass", func(p *ProbeResult) { p.Value = 2.5 }, "out-of-range value"},
	})
	checks(t, func() DrillMark { return DrillMark{ID: "m", Student: "s", Drill: "d"} }, DrillMark.Check, []spoil[DrillMark]{
		{"no ids", func(m *DrillMark) { *m = DrillMark{} }, "bad-id id; bad-id student; bad-id drill"},
	})
}

func TestStudioCheck(t *testing.T) {
	sound := func() Studio { return Studio{ID: "m", Name: "Millgate Hall", MilestonesS: []float64{1, 3}} }
	checks(t, sound, Studio.Check, []spoil[Studio]{
		{"no id", func(s *Studio) { s.ID = "" }, "bad-id id"},
		{"no name", func(s *Studio) { s.Name = " " }, "missing-field name"},
		{"falling milestones", func(s *Studio) { s.MilestonesS = []float64{3, 1} }, "out-of-range milestones_s[1]"},
		{"a milestone of nothing", func(s *Studio) { s.MilestonesS = []float64{0} }, "out-of-range milestones_s[0]"},
		{"none", func(s *Studio) { s.MilestonesS = nil }, ""},
	})
}

func TestStudentCheck(t *testing.T) {
	born, fear := DateOf(1990, 1, 1), 4.0
	sound := func() Student {
		return Student{ID: "a", Name: "Ada", Born: &born, HeightM: 1.7, MassKg: 60, Fear: &fear,
			Slots: []Slot{{Day: 1, Start: "18:30", Minutes: 30}, {Day: 5, Minutes: 60}}, MinutesOff: []Away{{From: 10, To: 10}}}
	}
	day := func(d Date) *Date { return &d }
	checks(t, sound, Student.Check, []spoil[Student]{
		{"no id", func(s *Student) { s.ID = "a b" }, "bad-id id"},
		{"no name", func(s *Student) { s.Name = "" }, "missing-field name"},
		{"a group that is no id", func(s *Student) { s.Group = "on tuesdays" }, "bad-id group"},
		{"centimetres", func(s *Student) { s.HeightM = 170 }, "out-of-range height_m"},
		{"grams", func(s *Student) { s.MassKg = 60000 }, "out-of-range mass_kg"},
		{"fear 11", func(s *Student) { f := 11.0; s.Fear = &f }, "out-of-range tips_over_fear"},
		{"born too early", func(s *Student) { s.Born = day(DateOf(1899, 12, 31)) }, "out-of-range born"},
		{"two minutes", func(s *Student) { s.Slots[0].Minutes = 2 }, "out-of-range sessions[0].minutes"},
		{"no time of day", func(s *Student) { s.Slots[0].Start = "24:00" }, "out-of-range sessions[0].start"},
		{"half past", func(s *Student) { s.Slots[0].Start = "6:30pm" }, "out-of-range sessions[0].start"},
		{"twice a day", func(s *Student) { s.Slots[1].Day = 1 }, "contradiction sessions[1].day"},
		{"away backwards", func(s *Student) { s.MinutesOff[0].To = 9 }, "contradiction minutes_off[0].to"},
		{"a stop of nothing", func(s *Student) { s.Stops = []Stop{{}} }, "missing-field stops[0].no"},
		{"cleared by nobody", func(s *Student) { s.Stops = []Stop{{No: Strains, ClearedOn: day(3)}} }, "missing-field stops[0].cleared_by"},
		{"cleared before", func(s *Student) { s.Stops = []Stop{{No: Strains, Since: 4, ClearedOn: day(3), ClearedBy: "x"}} },
			"contradiction stops[0].cleared_on"},
		{"a restriction of nothing", func(s *Student) { s.Restrictions = []Restriction{{Site: "wrist"}} }, "missing-field restrictions[0].no"},
		{"a restriction of no site", func(s *Student) { s.Restrictions = []Restriction{{Site: "hand", No: Strains}} },
			"unknown-word restrictions[0].site"},
		{"over before it began", func(s *Student) {
			s.Restrictions = []Restriction{{Site: "wrist", No: Strains, Since: 4, Until: day(3)}}
		},
			"contradiction restrictions[0].until"},
	})
}

func TestDrillCheck(t *testing.T) {
	value := 20.0
	sound := func() Drill {
		return Drill{ID: "d", Name: "n", Purpose: "w", Setup: "s", Criterion: "c", Source: "x", Support: Open, Kind: Skill,
			Strains: []Strain{Inverted, HandLoad}, SetMinutes: 2, SetupMinutes: 0.5, HandMinutes: 1.5, MinSets: 1, MaxSets: 3, WeekSets: 2,
			DifficultySD: 1, Needs: []Need{{Any: []Shown{{Drill: "e", Passes: 3}, {Test: "t", Value: &value}}}}}
	}
	checks(t, sound, Drill.Check, []spoil[Drill]{
		{"no texts", func(d *Drill) { d.ID, d.Name, d.Purpose, d.Setup, d.Criterion, d.Source = "", "", " ", "", "", "" },
			"bad-id id; missing-field name; missing-field purpose; missing-field setup; missing-field criterion; missing-field source"},
		{"a third of a minute", func(d *Drill) { d.SetMinutes = 2.3 }, "out-of-range set_minutes"},
		{"more on the hands than there is", func(d *Drill) { d.HandMinutes = 2.5 }, "out-of-range hand_minutes"},
		{"set-up not a number", func(d *Drill) { d.SetupMinutes = math.NaN() }, "out-of-range setup_minutes"},
		{"most below least", func(d *Drill) { d.MinSets = 4 }, "out-of-range max_sets"},
		{"a week of 41 sets", func(d *Drill) { d.WeekSets = 41 }, "out-of-range week_sets"},
		{"negative rest", func(d *Drill) { d.RestSeconds = -1 }, "out-of-range reps"},
		{"difficulty 9", func(d *Drill) { d.Difficulty = 9 }, "out-of-range difficulty"},
		{"no doubt", func(d *Drill) { d.DifficultySD = 0 }, "out-of-range difficulty_sd"},
		{"inverted on the floor", func(d *Drill) { d.Support = Floor }, "contradiction support"},
		{"inverted without hands", func(d *Drill) { d.Strains = []Strain{Inverted} }, "contradiction strains; contradiction hand_minutes"},
		{"mobility on the hands", func(d *Drill) { d.Kind = Mobility }, "contradiction hand_minutes"},
		{"a need of nothing", func(d *Drill) { d.Needs[0].Any = nil }, "missing-field needs[0].any"},
		{"a need of both", func(d *Drill) { d.Needs[0].Any[0].Test, d.Needs[0].Any[0].Value = "t", &value }, "contradiction needs[0].any[0]"},
		{"a need of a drill without passes", func(d *Drill) { d.Needs[0].Any[0].Passes = 0 }, "contradiction needs[0].any[0]"},
	})
}

func TestWeekCheck(t *testing.T) {
	sound := func() Week {
		items := []Item{{Drill: "d", Sets: 2, Minutes: 5, Choice: &Choice{Among: []string{"d", "e"}, Probability: 0.5}}}
		return Week{Student: "s", Version: 1, DaysOff: []Item{{Drill: "stretch"}},
			Tests:    []PlannedTest{{Test: "hollow-hold", Minutes: 2, Worth: 0.04, Cost: 0.01, Between: []Component{"line", "press"}}},
			Sessions: []PlannedSession{{Minutes: 30, Blocks: []Block{{Kind: PrepBlock, Items: items}}}}}
	}
	item := func(w *Week) *Item { return &w.Sessions[0].Blocks[0].Items[0] }
	const at = "sessions[0].blocks[0].items[0]."
	checks(t, sound, Week.Check, []spoil[Week]{
		{"no student", func(w *Week) { w.Student = "" }, "bad-id student"},
		{"version 0", func(w *Week) { w.Version = 0 }, "out-of-range version"},
		{"a long session", func(w *Week) { w.Sessions[0].Minutes = 601 }, "out-of-range sessions[0].minutes"},
		{"no drill", func(w *Week) { item(w).Drill = "" }, "bad-id " + at + "drill"},
		{"negative sets", func(w *Week) { item(w).Sets = -1 }, "out-of-range " + at + "minutes"},
		{"certain to have been left out", func(w *Week) { item(w).Choice.Probability = 0 }, "out-of-range " + at + "choice.probability"},
		{"more than certain", func(w *Week) { item(w).Choice.Probability = 1.5 }, "out-of-range " + at + "choice.probability"},
		{"no drill on a day off", func(w *Week) { w.DaysOff[0].Drill = "" }, "bad-id days_off[0].drill"},
		{"no test", func(w *Week) { w.Tests[0].Test = "" }, "bad-id tests[0].test"},
		{"a test of a day", func(w *Week) { w.Tests[0].Minutes = 601 }, "out-of-range tests[0].minutes"},
		{"an answer worth less than none", func(w *Week) { w.Tests[0].Worth = -0.1 }, "out-of-range tests[0].worth"},
		{"minutes that cost less than none", func(w *Week) { w.Tests[0].Cost = -0.1 }, "out-of-range tests[0].cost"},
	})
}

func TestWishCheck(t *testing.T) {
	share := 0.7
	sound := func() Wish { return Wish{Student: "s", Minutes: &share, Locks: []WishLock{{Drill: "d", Sets: 20}}} }
	checks(t, sound, Wish.Check, []spoil[Wish]{
		{"for nobody", func(w *Wish) { w.Student = "" }, "contradiction student"},
		{"for both", func(w *Wish) { w.Group = "g" }, "contradiction student"},
		{"twice the minutes", func(w *Wish) { m := 2.0; w.Minutes = &m }, "out-of-range minutes_share"},
		{"a cue of two lines", func(w *Wish) { w.Cues = []WishCue{{"d", "one\ntwo"}} }, "out-of-range cues[0].text"},
		{"two cues for one drill", func(w *Wish) { w.Cues = []WishCue{{"d", "one"}, {"d", "two"}} }, "contradiction cues[1].drill"},
		{"21 sets", func(w *Wish) { w.Locks[0].Sets = 21 }, "out-of-range locks[0].sets"},
	})
	week := ISOWeek{2026, 14}
	ada, ben := Student{ID: "ada", Group: "tuesday"}, Student{ID: "ben"}
	for _, c := range []struct {
		wish Wish
		of   Student
		want bool
	}{
		{Wish{Student: "ada"}, ada, true}, {Wish{Student: "ada"}, ben, false}, {Wish{Group: "tuesday"}, ada, true},
		{Wish{Group: "tuesday"}, ben, false}, {Wish{}, ben, false}, {Wish{Student: "ada", Week: &week}, ada, true},
		{Wish{Student: "ada", Week: &ISOWeek{2026, 15}}, ada, false},
	} {
		if got := c.wish.For(c.of, week); got != c.want {
			t.Errorf("%+v for %s: %v", c.wish, c.of.ID, got)
		}
	}
}
