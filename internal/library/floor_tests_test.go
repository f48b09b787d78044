package library

import (
	"cmp"
	"slices"
	"testing"

	"aplomb/internal/practice"
)

// Over two days: what bends, entry and exit; balance, line, strength and
// endurance. No two tests stand in one place, and none that tires an arm comes
// before one that asks for skill.
func TestOrderOfFloorTests(t *testing.T) {
	tests := slices.Clone(Builtin().Probes)
	slices.SortFunc(tests, func(a, b practice.Probe) int { return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Order, b.Order)) })
	rank := map[practice.Component]int{"shoulders": 1, "wrists": 1, "straddle": 1, "compression": 1, "entry": 2, "exit": 2, "confidence": 3,
		"balance": 11, "line": 12, "tension": 13, "side line": 14, "endurance": 15}
	last := 0
	for i, p := range tests {
		if i > 0 && p.Day == tests[i-1].Day && p.Order == tests[i-1].Order {
			t.Errorf("%s and %s stand in one place", tests[i-1].ID, p.ID)
		}
		if r := rank[p.Component]; r < last || (r > 10) != (p.Day == 2) {
			t.Errorf("%s (%s) comes too late or too early", p.ID, p.Component)
		} else {
			last = r
		}
	}
}

// The short form takes ten minutes and asks a skill, a shape, a capacity and
// the fear, none of them shown by the tries of the day.
func TestShortForm(t *testing.T) {
	minutes, of := 0.0, map[practice.Component]bool{}
	for _, p := range Builtin().Probes {
		if p.Short {
			minutes += p.Minutes
			of[p.Component] = true
		}
	}
	if minutes > 10 || len(of) < 4 || of["entry"] || of["balance"] {
		t.Errorf("%v minutes, of %v", minutes, of)
	}
}

// Every component has a floor test, those beyond 15 s too.
func TestEveryComponentIsTested(t *testing.T) {
	for _, c := range Builtin().Components {
		if !slices.ContainsFunc(Builtin().Probes, func(p practice.Probe) bool { return p.Component == c.Name }) {
			t.Errorf("%s has no floor test", c.Name)
		}
	}
}

func TestDoubtOfATest(t *testing.T) {
	kicks, _ := Builtin().Probe("entry-kicks") // ten tries, half of them passed: sqrt(10 x 1/2 x 1/2)
	line, _ := Builtin().Probe("line-wall")    // half a logit of eight degrees
	if got := kicks.Doubt(); got < 1.58 || got > 1.59 {
		t.Errorf("kicks: %v", got)
	}
	if got := line.Doubt(); got != 4 {
		t.Errorf("line: %v degrees", got)
	}
}
