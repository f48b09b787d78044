package cli

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"aplomb/internal/assess"
	"aplomb/internal/folder"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/skill"
	"aplomb/internal/words"
)

// saidOfLearned prints what was learned of a studio of one student.
func saidOfLearned(t *testing.T, l assess.Learned) string {
	t.Helper()
	var out bytes.Buffer
	studio := &folder.Studio{Library: library.Builtin(), Students: []practice.Student{{ID: "ada", Name: "Ada"}}}
	l.Students, l.Level = 1, skill.RosterLevel
	if err := printLearned(&Env{Stdout: &out}, words.English, studio, &l); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(out.String()), " ")
}

func wants(t *testing.T, said string, texts ...string) {
	t.Helper()
	for _, w := range texts {
		if !strings.Contains(said, w) {
			t.Errorf("no %q in: %s", w, said)
		}
	}
}

// A drill a logit harder than guessed turns an even chance into 27%.
func TestLearnedDifficultiesInWords(t *testing.T) {
	row := func(drill string, mean, sd float64) assess.DrillDifficulty {
		return assess.DrillDifficulty{Drill: drill, Component: "balance", Guess: .5, Told: assess.Told{Mean: mean, Lo: mean - sd, Hi: mean + sd},
			Shift: mean - .5, Tries: 120, Students: 9, Status: skill.Enough}
	}
	thin := row("kick-turn", 0, 1)
	thin.Status = skill.Few
	said := saidOfLearned(t, assess.Learned{Difficulties: []assess.DrillDifficulty{row("toe-float", 1.5, .4), row("heel-float", -.5, .4), row("frog-hold", .6, .4), thin}})
	wants(t, said, "harder than guessed; 27% (20 to 35%) pass. 120 tries, 9 students", "easier than guessed; 73% (65 to 80%)",
		"about as guessed; 48% (38 to 57%)", "of 1 drill: enough students")
}

func TestLearnedEffectsInWords(t *testing.T) {
	row := func(drill string, lo, hi float64, own ...assess.OwnEffect) assess.DrillEffect {
		return assess.DrillEffect{Drill: drill, Component: "balance", Test: "balance-floats", Group: &assess.Told{Mean: (lo + hi) / 2, Lo: lo, Hi: hi},
			Students: 12, Sets: 340, Status: skill.Enough, Own: own}
	}
	more := assess.OwnEffect{Student: "ada", Told: assess.Told{Lo: .01, Hi: .05}, Weight: .28}
	less := assess.OwnEffect{Student: "ada", Told: assess.Told{Lo: -.05, Hi: -.01}, Weight: .46}
	alike := assess.OwnEffect{Student: "ada", Told: assess.Told{Lo: -.05, Hi: .01}, Weight: .11}
	said := saidOfLearned(t, assess.Learned{Effects: []assess.DrillEffect{
		row("toe-float", .02, .06, more), row("heel-float", -.02, .04, alike), row("frog-hold", -.06, -.02, less),
		{Status: skill.Few, Students: 2}, {Status: skill.Few, Students: 8}, {Status: skill.Untested}, {Status: skill.Steady}, {Status: skill.Returns}}})
	wants(t, said, "60% (55 to 65%). 12 students, 340 sets", "so it may help or not", "a step back", "Ada seems to gain more from it than the group; 28%",
		"Ada seems to gain less from it than the group; 46%", "fewer than 5 students each did it", "too few sets", "before and after: 1 drill.", "2 drills cannot be told")
	if strings.Contains(said, "11%") {
		t.Error("a difference that may be none is told")
	}
}

func TestLearnedMarksInWords(t *testing.T) {
	of := assess.SaidOf{Drill: "toe-float", Helped: 4, Neither: 2, Confusing: 1, Helps: assess.Proportion{P: .5, Lo: .3, Hi: .7}, Status: skill.Enough}
	cue := of
	cue.Cue = library.Builtin().Drills[0].Cues[0].ID
	cue.Drill = library.Builtin().Drills[0].ID
	said := saidOfLearned(t, assess.Learned{Marks: assess.Marks{All: of, Drills: []assess.SaidOf{of}, Cues: []assess.SaidOf{cue}}})
	wants(t, said, "4 of 7 say it helped, 1 confusing. Expect of the next: helped 50% (30 to 70%)", library.Builtin().Drills[0].Cues[0].Text)
}

func TestLearnedAsksInWords(t *testing.T) {
	ask := assess.AskTold{Component: "shoulders", Test: "shoulder-overhead", Table: 170, Value: 166.2, ValueLo: 163, ValueHi: 169.5, Status: skill.Enough}
	few := ask
	few.Status = skill.Few
	said := saidOfLearned(t, assess.Learned{Milestones: []assess.MilestoneTold{
		{Seconds: 5, Reached: 12, NotYet: 9, Asks: []assess.AskTold{ask, few}}, {Seconds: 10, Reached: 8, NotYet: 9, Asks: []assess.AskTold{ask}},
		{Seconds: 15, Reached: 3, NotYet: 9, Asks: []assess.AskTold{few}}, {Seconds: 30, NotYet: 9}, {Seconds: 60}}})
	wants(t, said, "166.2 (163 to 169.5) degrees; the table says 170. 12 reached it, 9 not yet", "5 s: of the other components",
		"15 s: too little to say, 3 reached it", "30 s: 0 reached it", "60 s: nobody has")
	if strings.Contains(said, "10 s: ") {
		t.Error("what is told whole is called thin")
	}
}

// Every reason has its sentence, and names who and what it is about.
func TestEveryOpenQuestionHasItsSentence(t *testing.T) {
	codes := constants(t, "assess", "OpenCode")
	if len(codes) < 10 {
		t.Fatalf("only %v found: the test is blind", codes)
	}
	var open []assess.Open
	for _, code := range codes {
		open = append(open, assess.Open{Code: assess.OpenCode(code), Component: "balance", Students: []string{"ada"}, Drills: []string{"toe-float", "frog-hold"}})
	}
	toe, _ := library.Builtin().Drill("toe-float")
	wants(t, saidOfLearned(t, assess.Learned{CannotTell: open}), "Where Ada stands in balance", "Why Ada went quiet", "Whether Ada is tired or has forgotten", toe.Name+" and ")
}

// A long list of students is cut short with a count.
func TestManyStudentsAreCounted(t *testing.T) {
	everyone := assess.Open{Code: assess.GoneQuiet, Students: strings.Fields(strings.Repeat("ada ", manyNames+3))}
	wants(t, saidOfLearned(t, assess.Learned{CannotTell: []assess.Open{everyone}}), "Ada and 3 others went quiet")
}

// BenchmarkLearn1000 learns from 1,000 students with 360,000 tries, reading the
// folder and every standing included. Run it once: -benchtime 1x.
func BenchmarkLearn1000(b *testing.B) {
	dir := writeStudio(b, 1000, 360)
	for b.Loop() {
		var out, talk bytes.Buffer
		start := time.Now()
		if code := Run(&Env{Args: []string{"learn", dir, "--as-of", "2026-03-29"}, Stdout: &out, Stderr: &talk, Now: time.Now}); code != 0 {
			b.Fatalf("exit status %d: %s", code, talk.String())
		}
		b.ReportMetric(time.Since(start).Seconds(), "s/learn")
	}
}
