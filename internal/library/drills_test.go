package library

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"aplomb/internal/practice"
)

func upToHalf(minutes float64) float64 { return math.Ceil(minutes*2-1e-9) / 2 }

// The minutes of a set are its reps with their rests, up to the next half.
func TestMinutesAddUp(t *testing.T) {
	for _, d := range Builtin().Drills {
		if d.Reps < 1 || d.Seconds <= 0 {
			t.Errorf("%s: no dose", d.ID)
		}
		if want := upToHalf(float64(d.Reps) * (d.Seconds + d.RestSeconds) / 60); d.SetMinutes != want {
			t.Errorf("%s: set_minutes %v, its reps take %v", d.ID, d.SetMinutes, want)
		}
		want := 0.0
		if d.Has(practice.HandLoad) {
			want = upToHalf(float64(d.Reps) * d.Seconds / 60)
		}
		if d.HandMinutes != want {
			t.Errorf("%s: hand_minutes %v, its reps take %v", d.ID, d.HandMinutes, want)
		}
	}
}

// A session of 20 minutes has 14 for practice: the smallest dose of
// any drill leaves room for another, and two such sessions give it enough sets.
func TestAShortStudentGetsEnough(t *testing.T) {
	for _, d := range offered(Builtin(), onlyKit(practice.Kits...)) {
		if least := float64(d.MinSets)*d.SetMinutes + d.SetupMinutes; least > 8 {
			t.Errorf("%s: its smallest dose takes %v minutes", d.ID, least)
		}
		most := min(d.MaxSets, int((14-d.SetupMinutes)/d.SetMinutes))
		if 2*most < d.WeekSets {
			t.Errorf("%s: two sessions of 20 minutes hold %d sets, it wants %d", d.ID, 2*most, d.WeekSets)
		}
		if d.WeekSets < 4 || d.WeekSets > 8 {
			t.Errorf("%s: %d sets a week", d.ID, d.WeekSets)
		}
	}
}

// Hard tries are rested, and so are the shoulders after a long hold.
func TestRests(t *testing.T) {
	for _, d := range Builtin().Drills {
		if d.Difficulty >= 1.5 && d.Inverted() && d.Measure != practice.Count && d.RestSeconds < 45 {
			t.Errorf("%s: %v s of rest", d.ID, d.RestSeconds)
		}
		if d.Component == "endurance" && (d.Measure == practice.HoldFor && d.Seconds >= 20 || d.Inverted()) && d.RestSeconds < 90 {
			t.Errorf("%s: %v s of rest after a long hold", d.ID, d.RestSeconds)
		}
	}
}

// "exit comes before any unsupported try": read off each drill's own needs.
func TestExitBeforeAnythingUnsupported(t *testing.T) {
	lib := Builtin()
	saysExit := func(n practice.Need) bool {
		return !slices.ContainsFunc(n.Any, func(w practice.Shown) bool {
			d, _ := lib.Drill(w.Drill)
			p, _ := lib.Probe(w.Test)
			return d.Component != "exit" && p.Component != "exit"
		})
	}
	direct := 0
	for _, d := range lib.Drills {
		if d.Support == practice.Open || d.Support == practice.Spotter {
			if slices.ContainsFunc(d.Needs, saysExit) {
				direct++
			}
		}
		if practice.FreeTry(d.ID) && !slices.ContainsFunc(d.Needs, saysExit) {
			t.Errorf("%s does not ask for an exit", d.ID)
		}
	}
	if direct < 10 {
		t.Errorf("only %d unsupported drills ask for an exit themselves", direct)
	}
	for _, d := range lib.Drills {
		if d.Component == "exit" && d.Inverted() && len(d.Needs) == 0 && d.Support != practice.WallChest {
			t.Errorf("%s: the first ways out are learned on the floor or at the wall", d.ID)
		}
	}
}

// Kit follows support: a wall drill needs a wall, a spotted one a spotter.
func TestKitFitsSupport(t *testing.T) {
	for _, d := range Builtin().Drills {
		wall := d.Support == practice.WallBack || d.Support == practice.WallChest
		if wall != slices.Contains(d.Kit, "wall") || (d.Support == practice.Spotter) != slices.Contains(d.Kit, "spotter") {
			t.Errorf("%s: support %s with kit %v", d.ID, d.Support, d.Kit)
		}
		if d.Inverted() && !d.Has(practice.Overhead) {
			t.Errorf("%s: upside down on the hands the arms are overhead", d.ID)
		}
	}
}

// The wall teaches what it should: back to the wall the fingers press, chest
// to the wall the weight moves to the fingers.
func TestFloatsKeepToPhysics(t *testing.T) {
	for _, c := range []struct {
		id, says string
		support  practice.Support
	}{
		{"heel-float", "Press the fingertips until the heels float", practice.WallBack},
		{"toe-float", "move the weight towards the fingers until the toes float", practice.WallChest},
	} {
		d, _ := Builtin().Drill(c.id)
		if steps := strings.Join(d.Steps, " "); d.Support != c.support || !regexp.MustCompile(c.says).MatchString(steps) {
			t.Errorf("%s: %s, %q", c.id, d.Support, steps)
		}
	}
}
