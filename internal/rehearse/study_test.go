package rehearse

import (
	"math"
	"slices"
	"testing"

	"aplomb/internal/desk"
	"aplomb/internal/learner"
	"aplomb/internal/numtest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// TestSameStudentsUnderEveryPolicy: who a student is depends on the seed and
// the number alone.
func TestSameStudentsUnderEveryPolicy(t *testing.T) {
	levels := func(name string, number int, seed uint64) []float64 {
		c := student(t, name, number, learner.Defaults(), seed)
		out := []float64{c.who.Adherence(), c.who.Chance(Goal, true)}
		for k := range learner.Component(learner.N) {
			out = append(out, c.who.Level(k))
		}
		for _, e := range c.world.exercises {
			out = append(out, e.Difficulty)
		}
		return out
	}
	for number := range 5 {
		want := levels("planner", number, 3)
		for _, name := range slices.Concat(plain, planners) {
			if !slices.Equal(levels(name, number, 3), want) {
				t.Errorf("student %d is another under %s", number, name)
			}
		}
		if slices.Equal(levels("planner", number+1, 3)[:2], want[:2]) || slices.Equal(levels("planner", number, 4)[:2], want[:2]) {
			t.Errorf("student %d is also somebody else", number)
		}
	}
}

// TestStudiesAreReproducible, whatever the order and number of workers.
func TestStudiesAreReproducible(t *testing.T) {
	s := small(t, 3, 9, 2, "planner", "random", "randomised")
	one, err := s.Run(workers(1, false), nothing)
	if err != nil {
		t.Fatal(err)
	}
	steps := make(chan bool, 100)
	two, err := s.Run(workers(2, true), func() { steps <- true })
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(one, two, cmpopts.EquateNaNs(), cmp.AllowUnexported(Look{}, due{})); diff != "" || len(steps) != 9 {
		t.Errorf("%d steps; differs:\n%s", len(steps), diff)
	}
	for _, o := range one {
		for i, r := range o.Records {
			if len(r.Chance) != 9 || len(r.Looks) != 2 || r.Minutes <= 0 {
				t.Errorf("%s, student %d: %d weeks, %d looks, %g minutes", o.Policy.Name, i, len(r.Chance), len(r.Looks), r.Minutes)
			}
		}
	}
}

// TestPlainPoliciesNeverAsk: what a plain policy does is the same when nobody
// ever estimates anything.
func TestPlainPoliciesNeverAsk(t *testing.T) {
	for _, name := range plain {
		asked, alone := student(t, name, 6, learner.Defaults(), 3), student(t, name, 6, learner.Defaults(), 3)
		want := asked.run(12)
		if got := unseen(alone, 12); !slices.Equal(got.Chance, want.Chance) || got.Reached != want.Reached {
			t.Errorf("%s: %v\nwithout a look: %v", name, want.Chance, got.Chance)
		}
	}
}

// unseen is a course of a plain policy at which the estimator never looks.
func unseen(c *course, weeks int) Record {
	for w := range weeks {
		c.probe(7*w-1, c.battery(w))
		sessions := c.policy.sessions(c, w)
		for day := range 7 {
			for _, s := range sessions {
				if int(s.Day) == day {
					c.attend(7*w+day, s)
				}
			}
			c.who.Night(1)
		}
		q := c.who.Chance(Goal, true)
		if c.record.Chance = append(c.record.Chance, q); c.record.Reached == 0 && q >= GoalChance {
			c.record.Reached = w + 1
		}
	}
	return c.record
}

// TestATenthIsDrawn: of the randomised policy's drills, with what it was drawn
// among and how likely.
func TestATenthIsDrawn(t *testing.T) {
	drawn, all := 0., 0.
	c := student(t, "randomised", 2, learner.Defaults(), 3)
	for w := range 6 {
		c.week(w)
	}
	for range 40 {
		for _, s := range c.policy.sessions(c, 6) {
			for _, b := range s.Blocks {
				for _, it := range b.Items {
					if b.Kind == "practice" || b.Kind == "strength" {
						all++
					}
					if it.Choice == nil {
						continue
					}
					drawn++
					d, _ := c.world.lib.Drill(it.Drill)
					took := d.SetupMinutes + float64(it.Sets)*d.SetMinutes
					if !slices.Contains(it.Choice.Among, it.Drill) || it.Choice.Probability != 1/float64(len(it.Choice.Among)) || took > it.Minutes+1e-9 {
						t.Errorf("drawn: %+v, which takes %g minutes", it, took)
					}
				}
			}
		}
	}
	if sd := math.Sqrt(drawnShare * (1 - drawnShare) / all); all < 200 || math.Abs(drawn/all-drawnShare) > 4*sd {
		t.Errorf("%g of %g items were drawn", drawn, all)
	}
}

// TestFixedChancesPass: who cannot fail is declared, who cannot reach it is not.
func TestFixedChancesPass(t *testing.T) {
	got := small(t, 4, 0, 1, "planner").Passes([]float64{0, 1}, workers(2, false), nothing)
	if got[0].Declared != wilson(0, 4, .95) || got[1].Declared != wilson(4, 4, .95) || got[0].Chance != 0 || got[1].Chance != 1 {
		t.Errorf("%+v", got)
	}
}

// TestAlarmsAreCounted by hand: two students of twelve weeks, watched from week
// 8; the second stops learning in week 9 and is told in the second week after.
func TestAlarmsAreCounted(t *testing.T) {
	learns, stops := make([]bool, 12), make([]bool, 12)
	learns[3], learns[11] = true, true // the first is before anybody watches
	stops[10], stops[11] = true, true
	a := alarm([][2][]bool{{learns}, {stops}}, 0, 9)
	if a.False != wilson(1, 5, .95) || a.Told != wilson(1, 1, .95) || a.WeeksTo == nil || *a.WeeksTo != 2 {
		t.Errorf("%+v", a)
	}
	quiet := alarm([][2][]bool{{learns}, {make([]bool, 12)}}, 0, 9)
	if quiet.Told != wilson(0, 1, .95) || quiet.WeeksTo != nil {
		t.Errorf("never told: %+v", quiet)
	}
}

func TestStallsAreWatched(t *testing.T) {
	r, err := small(t, 4, 12, 1, "timetable").Stalls(9, workers(2, false), nothing)
	if err != nil {
		t.Fatal(err)
	}
	// Two who learn in weeks 8 to 11, two in week 8 alone.
	if r.Look.False.N != 10 || r.Act.False.N != 10 || r.Look.Told.N != 2 || r.Act.Told.N != 2 || r.Students != 4 || r.StopsAfter != 9 || r.Weeks != 12 {
		t.Errorf("%+v", r)
	}
}

// What the log shows cannot be false; what is inferred is held against the
// truth; the same thing is new once.
func TestNoticesAreJudged(t *testing.T) {
	c := student(t, "timetable", 0, learner.Defaults(), 1)
	q := c.who.Chance(15, true)
	for _, one := range []struct {
		n           desk.Notice
		fact, wrong bool
	}{
		{desk.Notice{Kind: desk.Quiet}, true, false},
		{desk.Notice{Kind: desk.Stalled}, false, true},
		{desk.Notice{Kind: desk.Ready, Evidence: desk.Evidence{Seconds: 15}}, false, q < .8},
		{desk.Notice{Kind: desk.Backwards, Evidence: desk.Evidence{Seconds: 15}}, false, q >= .7},
	} {
		if got := c.held(one.n); got.fact != one.fact || got.false != one.wrong {
			t.Errorf("%s: %+v", one.n.Kind, got)
		}
	}
	if q >= .7 {
		t.Fatal("a new student holds 15 s: this proves nothing")
	}
	r := noticeReport([]noticed{{kind: desk.Ready, false: true}, {kind: desk.Ready}, {kind: desk.Quiet, fact: true}}, 300)
	want := NoticeReport{StudentWeeks: 300, ADay: 3.0 / 7, FalseADay: 1.0 / 7, Kinds: []NoticeRate{
		{Kind: desk.Quiet, New: 1, ADay: 1.0 / 7}, {Kind: desk.Ready, New: 2, ADay: 2.0 / 7, False: r.Kinds[1].False}}}
	if diff := cmp.Diff(want, r, cmpopts.EquateApprox(0, 1e-12)); diff != "" || r.Kinds[1].False.P != .5 || r.Kinds[1].False.N != 2 {
		t.Error(diff)
	}
	for w := range 8 {
		c.week(w)
	}
	c.look(7*8-1, false)
	seen := map[string]bool{}
	first := c.notices(7*8-1, seen)
	if len(seen) != len(first) || len(c.notices(7*8-1, seen)) != 0 {
		t.Errorf("%d notices, then the same again", len(first))
	}
}

// TestEveryFigureIsMoved to both ends, the defaults first.
func TestEveryFigureIsMoved(t *testing.T) {
	if testing.Short() {
		t.Skip("many short studies")
	}
	s := small(t, 2, 4, 1, "once", "timetable")
	runs, err := s.Sensitivity(workers(2, false), nothing)
	if err != nil {
		t.Fatal(err)
	}
	if len(runs) != Ends() || runs[0].Parameter != "" {
		t.Fatalf("%d runs, %d ends; the first is %q", len(runs), Ends(), runs[0].Parameter)
	}
	still := []string{}
	for i, r := range learner.Ranges() {
		low, high := runs[1+2*i], runs[2+2*i]
		if low.Parameter != r.Name || high.Parameter != r.Name || low.Value != r.Low || high.Value != r.High || low.Default != r.Default || high.Report.Policy != "once" {
			t.Errorf("%s: %+v", r.Name, low)
		}
		if low.Report.AtTheEnd == high.Report.AtTheEnd {
			still = append(still, r.Name)
		}
	}
	s.Policies = s.Policies[:1]
	outcomes, err := s.Run(workers(2, false), nothing)
	if err != nil {
		t.Fatal(err)
	}
	numtest.Close(t, "at the defaults", runs[0].Report.AtTheEnd, s.Summarise(outcomes).Policies[0].AtTheEnd, 0)
	if len(still) > 2 {
		t.Errorf("in four weeks nothing comes of %v", still)
	}
}
