package rehearse

import (
	"errors"
	"math"
	"testing"

	"aplomb/internal/learner"
	"aplomb/internal/practice"
)

func TestFlawsAreRead(t *testing.T) {
	got, err := ParseFlaws([]string{"best-only=0.3", "quit=1", "whole-seconds=.5", "fives=.5"})
	if want := (learner.Flaws{BestOnly: .3, Quit: 1, WholeS: .5, FiveS: .5}); err != nil || got != want {
		t.Errorf("%+v, %v", got, err)
	}
	for _, name := range FlawNames() {
		if got, err := ParseFlaws([]string{name + "=.25"}); err != nil || got == (learner.Flaws{}) {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
	for _, bad := range [][]string{{"ill"}, {"ill="}, {"ill=x"}, {"ill=-.1"}, {"ill=1.1"}, {"ill=NaN"}, {"sloth=.1"}, {""}, {"whole-seconds=.6", "fives=.5"}} {
		if _, err := ParseFlaws(bad); !errors.Is(err, ErrFlaw) {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// TestFlawsShowInTheLog, each as itself, and rows stay fit to keep.
func TestFlawsShowInTheLog(t *testing.T) {
	flawed := func(f learner.Flaws) *course {
		c := student(t, "timetable", 1, learner.Defaults(), 5)
		c.flaws = f
		c.run(16)
		for _, a := range c.log.Attempts {
			if faults := a.Check(); len(faults) > 0 {
				t.Errorf("%+v: %v", f, faults)
			}
		}
		for _, a := range c.log.Tallies {
			if faults := a.Check(); len(faults) > 0 {
				t.Errorf("%+v: %v", f, faults)
			}
		}
		return c
	}
	sound := flawed(learner.Flaws{})
	all := rowsOf(sound)
	for _, c := range []struct {
		what  string
		flaws learner.Flaws
		shows func(c *course) bool
	}{
		{"half forgotten", learner.Flaws{Forgotten: .5}, func(c *course) bool { return rowsOf(c) > .4*all && rowsOf(c) < .6*all }},
		{"half missed", learner.Flaws{Missed: .5}, func(c *course) bool {
			return len(c.log.Sessions) < len(sound.log.Sessions)*2/3 && len(c.log.Sessions) > len(sound.log.Sessions)/3
		}},
		{"always ill", learner.Flaws{Ill: 1}, func(c *course) bool { return len(c.log.Sessions) == 0 && rowsOf(c) == 0 && c.record.Minutes == 0 }},
		{"quit at once", learner.Flaws{Quit: 1}, func(c *course) bool { return len(c.log.Sessions) == 0 }},
		{"whole seconds", learner.Flaws{WholeS: 1}, func(c *course) bool { return multiplesOf(1, c) && !multiplesOf(1, sound) }},
		{"fives", learner.Flaws{FiveS: 1}, func(c *course) bool { return multiplesOf(5, c) }},
		{"best only", learner.Flaws{BestOnly: 1}, func(c *course) bool { return oneRowASet(c) && !oneRowASet(sound) }},
		{"warm as cold", learner.Flaws{WarmAsCold: 1}, func(c *course) bool { return onlyCold(c) && !onlyCold(sound) }},
	} {
		if got := flawed(c.flaws); !c.shows(got) {
			t.Errorf("%s does not show: %d sessions, %g rows of %g", c.what, len(got.log.Sessions), rowsOf(got), all)
		}
	}
}

func rowsOf(c *course) float64 { return float64(len(c.log.Attempts) + len(c.log.Tallies)) }

// multiplesOf says whether holds of five seconds and more were written so.
func multiplesOf(seconds float64, c *course) bool {
	for _, a := range c.log.Attempts {
		if a.Seconds.Value >= 5 && math.Mod(a.Seconds.Value, seconds) != 0 {
			return false
		}
	}
	return len(c.log.Attempts) > 0
}

func oneRowASet(c *course) bool {
	for _, a := range c.log.Attempts {
		if a.Rep != 1 {
			return false
		}
	}
	for _, a := range c.log.Tallies {
		if a.Tries != 1 {
			return false
		}
	}
	return rowsOf(c) > 0
}

func onlyCold(c *course) bool {
	for _, a := range c.log.Attempts {
		if a.Drill != practice.ColdTry {
			return false
		}
	}
	return len(c.log.Attempts) > 0 && len(c.log.Tallies) == 0
}
