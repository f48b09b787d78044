package week

import (
	"fmt"
	"strings"
	"testing"
)

// handmade is a plan for the sample problem worked out by hand.
func handmade() Plan {
	return Plan{
		Drills: []Choice{{"a", 3, 1}, {"b", 3, 0}},
		Sessions: []Planned{
			{Day: 1, Length: LongSession, Drills: []Dose{{"a", 3}, {"b", 3}}},
			{Day: 3, Length: ShortSession, Drills: []Dose{{"a", 2}}},
		},
	}
}

// TestEvaluateByHand: a has 2.40 and 1.80 sets' worth at .80, so 3.36 sets:
// 5000 (1 - exp(-.84)) = 2841.4; b has 2.40 at .90, so 2.16: 10000
// (1 - exp(-.72)) = 5132.5. Terms of a: 120 - 60; of b: 3 * 2 - 60. Easy and
// challenge work are equal.
func TestEvaluateByHand(t *testing.T) {
	p, err := Decode(strings.NewReader(small))
	if err != nil {
		t.Fatal(err)
	}
	got, faults := Evaluate(p, handmade())
	if want := 2841 + 60 + 5132 - 54; got != want || len(faults) > 0 {
		t.Errorf("got %d with %v, want %d", got, faults, want)
	}
	p.Drills[1].Set = Minutes(4) // 24 challenge to 12 easy half-minutes: 4*24 - 6*12 over
	if got, _ := Evaluate(p, handmade()); got != 2841+60+5132-54-3*24 {
		t.Errorf("with twice the challenge work: got %d", got)
	}
}

// TestEvaluateFinds: every rule that a plan can break is reported under its
// group.
func TestEvaluateFinds(t *testing.T) {
	for _, c := range []struct {
		group, what string
		change      func(p *Problem, plan *Plan)
	}{
		{sessionTime, "long session 0: 25 half-minutes", func(p *Problem, _ *Plan) { p.Long[0].Minutes = Minutes(12) }},
		{handPerSession, "long session 0: 18 half-minutes on the hands", func(p *Problem, _ *Plan) { p.Long[0].Hand = 17 }},
		{handPerWeek, "22 hand half-minutes", func(p *Problem, _ *Plan) { p.HandWeek = 21 }},
		{drillsPerSession, "2 drills in a long session", func(p *Problem, _ *Plan) { p.MaxDrillsLong = 1 }},
		{drillsPerWeek, "2 drills in the week", func(p *Problem, _ *Plan) { p.MaxDrills = 1 }},
		{strengthShare, "24 strength half-minutes, at most 15", func(p *Problem, _ *Plan) { p.Drills[1].Kind, p.Drills[1].Set = Strength, Minutes(4) }},
		{mix, "0 easy to 24 challenge", func(p *Problem, _ *Plan) { p.Drills[0].Kind = Challenge }},
		{setsPerWeek, "b: 3 sets in the week", func(p *Problem, _ *Plan) { p.Drills[1].WeekSets = 4 }},
		{shortSessions, "short session 0: 9 half-minutes", func(p *Problem, _ *Plan) { p.Short[0].Minutes = Minutes(4) }},
		{shortSessions, "short session 0: 4 half-minutes on the hands", func(p *Problem, _ *Plan) { p.Short[0].Hand = 3 }},
		{bans, "b is banned", func(p *Problem, _ *Plan) { p.Bans = []string{"b"} }},
		{"lock #1", "lock #1 on a", func(p *Problem, _ *Plan) { p.Locks[0].Sets = 2 }},
		{"", "not in the problem", func(_ *Problem, plan *Plan) { plan.Drills[0].ID = "z" }},
		{"", "listed twice", func(_ *Problem, plan *Plan) { plan.Drills[0].ID = "b" }},
		{"", "5 sets, allowed", func(_ *Problem, plan *Plan) { plan.Drills[1].Sets = 5 }},
		{"", "a: cannot be in 1 short", func(p *Problem, _ *Plan) { p.Drills[0].Kind = Strength }},
		{"", "long session 0 is missing", func(_ *Problem, plan *Plan) { plan.Sessions = plan.Sessions[1:] }},
		{"", "on another day", func(_ *Problem, plan *Plan) { plan.Sessions[1].Day = 4 }},
		{"", "holds 1 drills of 2", func(_ *Problem, plan *Plan) { plan.Sessions[0].Drills = plan.Sessions[0].Drills[:1] }},
		{"", "2 sets of b, want 3", func(_ *Problem, plan *Plan) { plan.Sessions[0].Drills[1].Sets = 2 }},
		{"", "a: in 0 short sessions, chosen for 1", func(_ *Problem, plan *Plan) { plan.Sessions[1].Drills = nil }},
		{"", "twice here", func(_ *Problem, plan *Plan) { plan.Sessions[1].Drills = []Dose{{"a", 2}, {"a", 2}} }},
	} {
		p, err := Decode(strings.NewReader(small))
		if err != nil {
			t.Fatal(err)
		}
		plan := handmade()
		c.change(&p, &plan)
		_, faults := Evaluate(p, plan)
		found := false
		for _, f := range faults {
			found = found || f.Group == c.group && strings.Contains(f.What, c.what)
		}
		if !found {
			t.Errorf("%q of %q is not among %s", c.what, c.group, fmt.Sprint(faults))
		}
	}
}
