package library

import (
	"slices"
	"strings"
	"testing"

	"aplomb/internal/practice"
)

// copyOf is a library a test may break: lists and drills are its own.
func copyOf(lib *practice.Library) *practice.Library {
	c := *lib
	c.Components = slices.Clone(lib.Components)
	c.Drills = slices.Clone(lib.Drills)
	for i := range c.Drills {
		c.Drills[i].Cues = slices.Clone(c.Drills[i].Cues)
		c.Drills[i].Needs = slices.Clone(c.Drills[i].Needs)
	}
	c.Probes = slices.Clone(lib.Probes)
	c.Milestones = slices.Clone(lib.Milestones)
	return &c
}

func shown(drill string) []practice.Need {
	return []practice.Need{{Any: []practice.Shown{{Drill: drill, Passes: 1}}}}
}

func TestBuiltinIsSound(t *testing.T) {
	if faults := Check(Builtin()); len(faults) > 0 {
		t.Error(practice.Faults(faults))
	}
}

// Each way to break a library is found, and named.
func TestCheckFinds(t *testing.T) {
	value := 200.0
	for _, c := range []struct {
		name  string
		spoil func(lib *practice.Library, d map[string]*practice.Drill)
		code  practice.Code
		field string
	}{
		{"unknown component", func(_ *practice.Library, d map[string]*practice.Drill) { d["arch-hold"].Component = "tensoin" }, practice.UnknownWord, "drills[arch-hold].component"},
		{"unknown kind", func(_ *practice.Library, d map[string]*practice.Drill) { d["arch-hold"].Kind = "skil" }, practice.UnknownWord, "drills[arch-hold].kind"},
		{"unknown kit", func(_ *practice.Library, d map[string]*practice.Drill) { d["arch-hold"].Kit = []practice.Kit{"rings"} }, practice.UnknownWord, "drills[arch-hold].kit"},
		{"unknown strain", func(_ *practice.Library, d map[string]*practice.Drill) {
			d["arch-hold"].Strains = []practice.Strain{"neck"}
		}, practice.UnknownWord, "drills[arch-hold].strains"},
		{"unknown cue kind", func(_ *practice.Library, d map[string]*practice.Drill) { d["arch-hold"].Cues[0].Kind = "hear" }, practice.UnknownWord, "drills[arch-hold].cues[long].kind"},
		{"repeated cue", func(_ *practice.Library, d map[string]*practice.Drill) { d["arch-hold"].Cues[0].ID = "floor" }, practice.BadID, "drills[arch-hold].cues"},
		{"silent cue", func(_ *practice.Library, d map[string]*practice.Drill) { d["arch-hold"].Cues[0].Text = " " }, practice.MissingField, "drills[arch-hold].cues[long].text"},
		{"a drill's own field", func(_ *practice.Library, d map[string]*practice.Drill) { d["arch-hold"].SetMinutes = 0.7 }, practice.OutOfRange, "drills[arch-hold].set_minutes"},
		{"needs a drill that is not there", func(_ *practice.Library, d map[string]*practice.Drill) { d["frog-save"].Needs = shown("frog-hodl") }, practice.UnknownID, "drills[frog-save].needs"},
		{"needs a test that is not there", func(_ *practice.Library, d map[string]*practice.Drill) {
			d["frog-save"].Needs = []practice.Need{{Any: []practice.Shown{{Test: "balance-frgo", Value: &value}}}}
		}, practice.UnknownID, "drills[frog-save].needs"},
		{"needs more than a test can show", func(_ *practice.Library, d map[string]*practice.Drill) {
			d["frog-save"].Needs = []practice.Need{{Any: []practice.Shown{{Test: "balance-frog", Value: &value}}}}
		}, practice.OutOfRange, "drills[frog-save].needs"},
		{"needs itself", func(_ *practice.Library, d map[string]*practice.Drill) { d["frog-hold"].Needs = shown("frog-hold") }, practice.Contradiction, "drills[frog-hold].needs"},
		{"needs go round", func(_ *practice.Library, d map[string]*practice.Drill) { d["crouch-hop"].Needs = shown("kick-wait") }, practice.Contradiction, "drills[crouch-hop].needs"},
		{"free try before an exit", func(_ *practice.Library, d map[string]*practice.Drill) { d["open-try"].Needs = nil }, practice.Contradiction, "drills[open-try].needs"},
		{"spotted before an exit", func(_ *practice.Library, d map[string]*practice.Drill) { d["kick-spot"].Needs = shown("kick-wall") }, practice.Contradiction, "drills[kick-spot].needs"},
		{"no free try", func(lib *practice.Library, _ map[string]*practice.Drill) { lib.Drills = lib.Drills[1:] }, practice.MissingField, "drills[open-try].id"},
		{"a free try at the wall", func(_ *practice.Library, d map[string]*practice.Drill) { d["cold-try"].Support = practice.WallBack }, practice.Contradiction, "drills[cold-try].support"},
		{"component twice", func(lib *practice.Library, _ map[string]*practice.Drill) {
			lib.Components = append(lib.Components, lib.Components[0])
		}, practice.RepeatedID, "components[entry]"},
		{"no tau", func(lib *practice.Library, _ map[string]*practice.Drill) { lib.Components[0].Tau = 0 }, practice.OutOfRange, "components[entry].tau"},
		{"shares of a free try short of the whole", func(lib *practice.Library, _ map[string]*practice.Drill) { lib.Components[0].TryWork = 0 }, practice.OutOfRange, "components.try_work"},
		{"a negative share of a free try", func(lib *practice.Library, _ map[string]*practice.Drill) {
			lib.Components[0].TryWork, lib.Components[1].TryWork = -0.1, 0.4
		}, practice.OutOfRange, "components.try_work"},
		{"test twice", func(lib *practice.Library, _ map[string]*practice.Drill) {
			lib.Probes = append(lib.Probes, lib.Probes[0])
		}, practice.RepeatedID, "probes[entry-kicks].id"},
		{"a test's id", func(lib *practice.Library, _ map[string]*practice.Drill) { lib.Probes[0].ID = "" }, practice.BadID, "probes[].id"},
		{"a test's link", func(lib *practice.Library, _ map[string]*practice.Drill) { lib.Probes[0].Link = "log" }, practice.UnknownWord, "probes[entry-kicks].link"},
		{"a test's tries", func(lib *practice.Library, _ map[string]*practice.Drill) { lib.Probes[0].N = 8 }, practice.OutOfRange, "probes[entry-kicks].n"},
		{"a test's scale", func(lib *practice.Library, _ map[string]*practice.Drill) { lib.Probes[3].Scale = 0 }, practice.OutOfRange, "probes[line-wall].scale"},
		{"a test's range", func(lib *practice.Library, _ map[string]*practice.Drill) { lib.Probes[3].Min = 90 }, practice.OutOfRange, "probes[line-wall].max"},
		{"a test's kit", func(lib *practice.Library, _ map[string]*practice.Drill) {
			lib.Probes[3].Kit = []practice.Kit{"camera"}
		}, practice.UnknownWord, "probes[line-wall].kit"},
		{"a test's strains", func(lib *practice.Library, _ map[string]*practice.Drill) {
			lib.Probes[3].Strains = []practice.Strain{"eyes"}
		}, practice.UnknownWord, "probes[line-wall].strains"},
		{"milestones out of order", func(lib *practice.Library, _ map[string]*practice.Drill) { slices.Reverse(lib.Milestones) }, practice.OutOfRange, "milestones.seconds"},
		{"asks an unknown test", func(lib *practice.Library, _ map[string]*practice.Drill) {
			lib.Milestones[0].Asks = []practice.Ask{{Test: "entry-kick", Value: 3}}
		}, practice.UnknownID, "milestones.asks"},
		{"asks a component twice", func(lib *practice.Library, _ map[string]*practice.Drill) {
			lib.Milestones[0].Asks = []practice.Ask{{Test: "line-wall", Value: 30}, {Test: "line-standing", Value: 30}}
		}, practice.Contradiction, "milestones.asks"},
		{"asks what no test shows", func(lib *practice.Library, _ map[string]*practice.Drill) {
			lib.Milestones[0].Asks = []practice.Ask{{Test: "entry-kicks", Value: 11}}
		}, practice.OutOfRange, "milestones.asks"},
	} {
		lib := copyOf(Builtin())
		drills := map[string]*practice.Drill{}
		for i := range lib.Drills {
			drills[lib.Drills[i].ID] = &lib.Drills[i]
		}
		c.spoil(lib, drills)
		faults := Check(lib)
		if !slices.ContainsFunc(faults, func(f practice.Fault) bool { return f.Code == c.code && f.Field == c.field }) {
			t.Errorf("%s: %v", c.name, practice.Faults(faults))
		}
	}
}

// A circle is told as the way round.
func TestACircleIsSpelledOut(t *testing.T) {
	lib := copyOf(Builtin())
	for i := range lib.Drills {
		if lib.Drills[i].ID == "crouch-hop" {
			lib.Drills[i].Needs = shown("half-kick")
		}
	}
	faults := Check(lib)
	if len(faults) != 1 || !strings.Contains(faults[0].Value, "crouch-hop half-kick crouch-hop") && !strings.Contains(faults[0].Value, "half-kick crouch-hop half-kick") {
		t.Error(practice.Faults(faults))
	}
}
