package planning

import (
	"fmt"
	"math"
	"testing"

	"aplomb/internal/assess"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/week"
)

// stage is how far a student is: what the milestone of so many seconds asks is
// there, to a tenth of a logit more; 0 is a beginner at the library's priors.
type stage struct {
	name    string
	at      float64 // seconds of the milestone whose asks are met
	reached float64 // proven
}

var stages = []stage{
	{"not yet inverted", 0, 0}, {"wall", 1, 0}, {"first second", 1, 1}, {"1 to 5 s", 3, 3}, {"5 to 10 s", 5, 5}, {"10 to 15 s", 10, 10}, {"beyond 15 s", 30, 15},
}

// standingAt is a student at a stage who has shown everything easier than they
// are able to, and every floor test as the stage asks.
func standingAt(lib *practice.Library, s stage) assess.Standing {
	st := assess.Standing{Student: "orla", AsOf: sunday, Tests: map[string]float64{}, LastTrained: map[practice.Component]practice.Date{},
		Drills: make([]assess.DrillStanding, len(lib.Drills)), Milestone: assess.Milestone{ReachedSeconds: s.reached}}
	st.Load.Ceiling = 25 + 2*s.at
	level := map[practice.Component]float64{}
	for _, info := range lib.Components {
		level[info.Name] = info.PriorLogit
	}
	next := map[practice.Component]float64{}
	for _, m := range lib.Milestones {
		for _, ask := range m.Asks {
			p, _ := lib.Probe(ask.Test)
			switch {
			case m.Seconds <= s.at:
				level[p.Component] = p.Ability(ask.Value) + 0.1
				st.Tests[ask.Test] = ask.Value
			case m.Seconds > s.reached && next[p.Component] == 0:
				next[p.Component] = p.Ability(ask.Value)
			}
		}
	}
	for _, info := range lib.Components {
		c := assess.ComponentLevel{Name: info.Name, Level: level[info.Name], SD: 0.5, PLimits: 1 / float64(len(lib.Components))}
		if ask, asked := next[info.Name]; asked {
			c.Asked = &ask
		}
		st.Components = append(st.Components, c)
		if s.at > 0 {
			st.LastTrained[info.Name] = sunday - 3
		}
	}
	for i, d := range lib.Drills {
		logit := level[d.Component] - d.Difficulty
		st.Drills[i] = assess.DrillStanding{Logit: logit, SD: 0.6, P: 1 / (1 + math.Exp(-logit/math.Sqrt(1+math.Pi*0.36/8)))}
		if logit > 0 && s.at > 0 {
			st.Drills[i].Passes = 50
		}
	}
	return st
}

// TestEveryStageKitAndTimeHasItsWeek: for every stage, kit and amount of time,
// free or with any strain ruled out, the week is proved and, unless it says
// why, not empty and at least half filled.
func TestEveryStageKitAndTimeHasItsWeek(t *testing.T) {
	lib := library.Builtin()
	weeks, thin := 0, 0
	for _, s := range stages {
		base := standingAt(lib, s)
		for kitName, kit := range map[string][]practice.Kit{"wall": {"wall"}, "floor": nil} {
			for _, minutes := range [][]int{{20}, {45}, {45, 45}, {50, 50, 50, 50}} {
				for _, no := range [][]practice.Strain{nil, {practice.Inverted}, {practice.HandLoad}, {practice.Overhead}, practice.Strains} {
					name := fmt.Sprintf("%s, %s, %v minutes, without %v", s.name, kitName, minutes, no)
					st := base
					for _, strain := range no {
						st.Stops = append(st.Stops, assess.StopNow{No: strain, Since: sunday, Source: assess.SourceStop})
					}
					in := For(practice.Student{ID: "orla", Kit: kit, Slots: slots(minutes...)}, st, lib, nil, &practice.Log{})
					d, err := Make(in, Solver{Budget: solver.Budget, Now: still})
					if err != nil {
						t.Fatalf("%s: %v", name, err)
					}
					weeks++
					thin += checkFilled(t, name, in, d)
				}
			}
		}
	}
	t.Logf("%d weeks, %d of them empty or under half filled and saying why", weeks, thin)
	if 4*thin > weeks {
		t.Errorf("%d of %d weeks are thin: too many even if they say why", thin, weeks)
	}
}

func checkFilled(t *testing.T, name string, in Input, d Draft) (thin int) {
	t.Helper()
	for _, it := range itemsOf(d) {
		drill, _ := in.Library.Drill(it.Drill)
		for _, stop := range in.Standing.Stops {
			if drill.Has(stop.No) {
				t.Errorf("%s: %s is in the week", name, it.Drill)
			}
		}
	}
	switch {
	case d.Empty != NotEmpty:
		if d.Empty == NothingFits && len(d.Fill.Reliefs) == 0 && d.Fill.Reason != week.HeldTogether && d.Fill.Reason != week.NothingGained {
			t.Errorf("%s: empty without a reason: %+v", name, d.Fill)
		}
		if len(in.Standing.Stops) == 0 {
			t.Errorf("%s: nothing is ruled out, yet the week is empty: %s, %+v", name, d.Empty, d.Fill)
		}
		return 1
	case !d.Result.Proved:
		t.Errorf("%s: not proved", name)
	case d.Fill.Share < 0.5:
		if d.Fill.Reason == week.Filled || d.Fill.Reason == week.HeldDown && len(d.Fill.Reliefs) == 0 {
			t.Errorf("%s: %.0f%% filled without a reason: %+v", name, 100*d.Fill.Share, d.Fill)
		}
		return 1
	}
	return 0
}
