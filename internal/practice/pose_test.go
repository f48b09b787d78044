package practice

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

func TestPoseCheck(t *testing.T) {
	sound := func() Pose { return Pose{Preset: "handstand"} }
	far := -1.0
	checks(t, sound, Pose.Check, []spoil[Pose]{
		{"an unknown preset", func(p *Pose) { p.Preset = "handstnd" }, "unknown-word preset"},
		{"nothing to stand on", func(p *Pose) { p.Preset = "" }, "missing-field on"},
		{"three hips", func(p *Pose) { p.Hips = of(90, 90, 90) }, "out-of-range hips"},
		{"a knee bent forward", func(p *Pose) { p.Knees = of(180, 230) }, "out-of-range knees[1]"},
		{"a trunk turned round", func(p *Pose) { p.Trunk = at(700) }, "out-of-range trunk"},
		{"other words", func(p *Pose) { p.View, p.Moment, p.Push, p.Surface, p.Spotter = "top", "now", "up", "sand", "ears" },
			"unknown-word view; unknown-word moment; unknown-word push; unknown-word surface; unknown-word spotter"},
		{"an unknown thing", func(p *Pose) { p.Things = []Thing{"mat", "rope"} }, "unknown-word things[1]"},
		{"on the nose", func(p *Pose) { p.On = on("nose") }, "unknown-word on[0]"},
		{"a hand twice", func(p *Pose) { p.On = on("hands", "near-hand") }, "contradiction on[1]"},
		{"an arm twice", func(p *Pose) { p.On = on("hands", "forearms") }, "contradiction on[1]"},
		{"a hand and the other forearm", func(p *Pose) { p.On = on("near-hand", "far-foot", "near-toes") }, ""},
		{"the seat twice", func(p *Pose) { p.On = on("seat", "seat") }, "contradiction on[1]"},
		{"half a wall", func(p *Pose) { p.Wall = &Beside{Side: ChestSide} }, "missing-field wall"},
		{"other words at a wall", func(p *Pose) { p.Wall = &Beside{Side: "left", Touch: "nose"} }, "unknown-word wall.side; unknown-word wall.touch"},
		{"a wall behind itself", func(p *Pose) { p.Wall = &Beside{Side: ChestSide, Touch: TouchToes, Distance: &far} }, "out-of-range wall.distance"},
		{"a wall anywhere", func(p *Pose) { p.Wall = &Beside{Side: BackSide, Touch: TouchNone} }, "missing-field wall.distance"},
		{"a tower", func(p *Pose) { p.Box = &Box{Height: 3, Under: "hands"} }, "out-of-range box.height"},
		{"a box under what floats", func(p *Pose) { p.Box = &Box{Height: 0.5, Under: "toes"} }, "contradiction box.under"},
		{"blocks under no hands", func(p *Pose) { p.On, p.Surface = on("feet"), "blocks" }, "contradiction surface"},
		{"a spotter from the front", func(p *Pose) { p.View, p.Spotter = FrontView, "hips" }, "contradiction spotter"},
	})
}

func TestFigureCheck(t *testing.T) {
	sound := func() Figure {
		return Figure{Start: Pose{Preset: "lunge"}, End: &Pose{Preset: "handstand"}, Alt: "a kick"}
	}
	checks(t, sound, Figure.Check, []spoil[Figure]{
		{"no words", func(f *Figure) { f.Alt = " " }, "missing-field alt"},
		{"too many words", func(f *Figure) { f.Alt = strings.Repeat("é", 401) }, "out-of-range alt"},
		{"no end", func(f *Figure) { f.End = nil }, ""},
		{"a start and an end", func(f *Figure) { f.Start.Hips, f.End.Head = of(1), at(90) }, "out-of-range start.hips[0]; out-of-range end.head"},
	})
}

// TestPresets: each is sound, names only presets, and is the pose it is built on
// in whatever it does not say.
func TestPresets(t *testing.T) {
	names := PresetNames()
	if len(names) < 30 || !slices.IsSorted(names) {
		t.Errorf("%d presets", len(names))
	}
	for _, name := range names {
		p := Pose{Preset: name}
		if fs := p.Check(); len(fs) > 0 {
			t.Errorf("%s: %v", name, fs)
		}
		if base := presets[name].Preset; base != "" && presets[base].On == nil && presets[base].Preset == "" {
			t.Errorf("%s stands on %q, which is nothing", name, base)
		}
	}
	tuck := Pose{Preset: "tuck-handstand", Knees: of(90), Wall: &Beside{Side: BackSide, Touch: TouchHeels}}.Resolved()
	if tuck.On[0] != "hands" || tuck.Shoulders[0] != 180 || tuck.Hips[0] != 60 || tuck.Knees[0] != 90 || tuck.Wall == nil || tuck.Push != Tall {
		t.Errorf("resolved to %+v", tuck)
	}
	if again := tuck.Resolved(); !slices.Equal(again.Knees, tuck.Knees) || again.Wall != tuck.Wall {
		t.Error("resolving twice is not resolving once")
	}
}

func TestCarrierSides(t *testing.T) {
	for _, c := range []struct {
		word, limb Carrier
		near, far  bool
	}{{"hands", "hands", true, true}, {"near-hand", "hands", true, false}, {"far-foot", "feet", false, true},
		{"near-toes", "toes", true, false}, {"far-knee", "knees", false, true}, {"seat", "seat", true, true}} {
		if c.word.Limb() != c.limb || c.word.Near() != c.near || c.word.Far() != c.far {
			t.Errorf("%s: %s, near %v, far %v", c.word, c.word.Limb(), c.word.Near(), c.word.Far())
		}
	}
}

// TestFigureJSON: what a coach writes comes back as it was, and every field has
// its name.
func TestFigureJSON(t *testing.T) {
	const text = `{"start":{"preset":"lunge","trunk":0,"on":["near-foot","far-toes"],"things":["mat"]},` +
		`"end":{"preset":"handstand","view":"side","moment":"held","lean":0,"spine":10,"head":5,"push":"tall","shoulders":[180],"elbows":[180],` +
		`"hips":[180,90],"knees":[180],"ankles":[160],"arms_apart":[0],"legs_apart":[0],"wall":{"side":"back","touch":"heels","distance":0.25},` +
		`"box":{"height":0.5,"under":"hands"},"surface":"blocks","spotter":"hips"},"alt":"a kick"}`
	var f Figure
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		t.Fatal(err)
	}
	if fs := f.Check(); len(fs) > 0 {
		t.Error(fs)
	}
	out, err := json.Marshal(f)
	if err != nil || !bytes.Equal(out, []byte(text)) {
		t.Errorf("%v\n%s\n%s", err, out, text)
	}
}
