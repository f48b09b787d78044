package picture

import (
	"strings"
	"testing"

	"aplomb/internal/practice"
)

// TestCheckFigure: what is physically wrong is found, and named.
func TestCheckFigure(t *testing.T) {
	type pose = practice.Pose
	num := func(v float64) *float64 { return &v }
	wall := func(side practice.WallSide, touch practice.Touch, d *float64) *practice.Beside {
		return &practice.Beside{Side: side, Touch: touch, Distance: d}
	}
	for _, c := range []struct {
		name    string
		start   pose
		support practice.Support
		field   string
		value   string // part of it; empty: no fault
	}{
		{"a free handstand", pose{Preset: "handstand"}, practice.Open, "", ""},
		{"tipped past the fingers", pose{Preset: "handstand", Trunk: num(195)}, practice.Open, "start", "ahead of what carries it"},
		{"tipped to the feet", pose{Preset: "handstand", Trunk: num(170)}, practice.Open, "start", "behind what carries it"},
		{"passing through", pose{Preset: "handstand", Trunk: num(170), Moment: practice.Passing}, practice.Open, "", ""},
		{"leaning sideways", pose{Preset: "handstand", View: practice.FrontView, Lean: num(25)}, practice.Open, "start", "beside what carries it"},
		{"standing, leaning over", pose{Preset: "stand", Trunk: num(20)}, practice.Floor, "start", "ahead of what carries it"},
		{"not upside down", pose{Preset: "front-support"}, practice.Open, "start", "no pose is upside down"},
		{"upside down", pose{Preset: "handstand"}, practice.Floor, "start", "upside down"},
		{"free with a wall", pose{Preset: "chest-to-wall"}, practice.Open, "start", "a wall or a spotter"},
		{"no wall", pose{Preset: "handstand"}, practice.WallChest, "start.wall", " "},
		{"the wrong side", pose{Preset: "back-to-wall"}, practice.WallChest, "start.wall", " "},
		{"heels on the chest side", pose{Preset: "handstand", Wall: wall(practice.ChestSide, practice.TouchHeels, num(0.2))}, practice.WallChest, "start.wall", " "},
		{"toes on the chest side", pose{Preset: "chest-to-wall"}, practice.WallChest, "", ""},
		{"heels on the back side", pose{Preset: "back-to-wall"}, practice.WallBack, "", ""},
		{"heels short of the wall", pose{Preset: "back-to-wall", Trunk: num(178)}, practice.WallBack, "start.wall.touch", "short of the wall"},
		{"through the wall", pose{Preset: "handstand", Trunk: num(200), Wall: wall(practice.BackSide, practice.TouchNone, num(0.3)), Moment: practice.Passing}, practice.WallBack, "start.wall", "through the wall"},
		{"no spotter", pose{Preset: "handstand"}, practice.Spotter, "start.spotter", " "},
		{"a spotter", pose{Preset: "handstand", Spotter: "thighs"}, practice.Spotter, "", ""},
		{"through the floor", pose{Preset: "stand", Shoulders: []float64{0}, On: []practice.Carrier{"seat"}}, practice.Floor, "start", "under the floor"},
		{"out of reach", pose{Preset: "stand", On: []practice.Carrier{"feet", "hands"}}, practice.Floor, "start", "the pose"},
		{"unsound", pose{Preset: "stand", Hips: []float64{5}}, practice.Floor, "start.hips[0]", "5"},
	} {
		fs := CheckFigure(practice.Figure{Start: c.start, Alt: c.name}, c.support)
		if c.value == "" {
			if len(fs) > 0 {
				t.Errorf("%s: %v", c.name, practice.Faults(fs))
			}
			continue
		}
		if len(fs) == 0 || fs[0].Field != c.field || !strings.Contains(fs[0].Value, strings.TrimSpace(c.value)) {
			t.Errorf("%s: %v", c.name, practice.Faults(fs))
		}
	}
}
