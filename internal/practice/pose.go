package practice

import (
	"cmp"
	"maps"
	"slices"
	"strings"
)

// Figure is the drawing of a drill: where it starts, where it ends if it moves,
// and what a person who cannot see it is told.
type Figure struct {
	Start Pose   `json:"start"`
	End   *Pose  `json:"end,omitempty"`
	Alt   string `json:"alt"`
}

// Pose is one body as a coach would describe it, seen from its right side unless
// the view says otherwise: it faces right when it stands, its right limbs are
// the near ones, and a body upside down that was kicked up to faces left, with
// its fingers pointing right.
//
// # Writing one
//
// Begin with the preset nearest to what you mean ([PresetNames]) and say only
// what differs. Every field that is given takes the preset's place whole.
//
//	{"preset": "lunge"}                              the start of a kick
//	{"preset": "lunge", "trunk": 35}                 the same, tipped forward
//	{"preset": "handstand", "hips": [170, 230], "knees": [180, 110]}
//	{"preset": "chest-to-wall", "push": "sunk"}
//
// The usual starts: lunge for a kick, kick and half-kick on its way (passing),
// press-start for a press, crouch for hops and frogs, front-support for pushes
// and shifts, hands-and-knees and kneel for wrists and shoulders, wall-walk and
// wall-half on the way up a wall, box-pike for shrugs, hollow, arch, side, back
// and belly lying, sit and straddle seated, stand-arms-up with a bottle or a pack.
//
// Angles are in degrees and 180 is straight. A list of one number is for both
// sides; of two, for the near side and the far side, in that order.
//
//   - shoulders: 0 arms down, 90 straight ahead, 180 by the ears; less than 180
//     upside down is a closed shoulder, negative is behind the back.
//   - hips: 180 in line, less is a pike (90 as sitting), more is an arch.
//   - elbows, knees: 180 straight, less is bent.
//   - ankles: 90 as standing, 160 pointed. Not needed for feet that stand flat.
//   - arms_apart, legs_apart: how far each limb is from the middle, 0 together;
//     best seen with "view": "front".
//   - trunk: how the trunk stands: 0 upright, 90 face down, 180 upside down, 270
//     on the back.
//   - lean: the trunk leant sideways to the near side, for the view from the
//     front.
//   - spine: the back's own bend, positive rounded (hollow body), negative arched.
//   - head: negative chin in, positive looking up. Push: shoulders tall or sunk.
//
// on names what carries the body, the first one first; hands, forearms, feet, and
// the shins behind knees, lie flat; toes are the balls of the feet. near- and far- make it one limb.
//
// Leave trunk out and the body is tipped until it fits: on hands and toes until
// both touch; on one thing alone until it balances there, so that a handstand of
// any shape is drawn with its weight over the hands. Give trunk, and the limbs
// named after the first in on turn at the hip or shoulder until they reach: the
// back leg of a lunge finds the floor by itself.
//
// A wall stands on the body's chest or back side. touch is what of the body is
// on it (or nothing); without a distance the wall stands where that is; with one,
// in metres from the heel of the hand, or from the toes of a body on its feet,
// and without trunk, the body is tipped until it touches.
//
// A box has a height in metres and lies under one of the words in on. surface is
// what the hands stand on. A spotter holds hips, thighs or shins.
// moment is passing for an instant of a movement, which need not balance.
type Pose struct {
	Preset string `json:"preset,omitempty"`
	View   View   `json:"view,omitempty"`
	Moment Moment `json:"moment,omitempty"`

	Trunk *float64 `json:"trunk,omitempty"`
	Lean  *float64 `json:"lean,omitempty"`
	Spine *float64 `json:"spine,omitempty"`
	Head  *float64 `json:"head,omitempty"`
	Push  Push     `json:"push,omitempty"`

	Shoulders []float64 `json:"shoulders,omitempty"`
	Elbows    []float64 `json:"elbows,omitempty"`
	Hips      []float64 `json:"hips,omitempty"`
	Knees     []float64 `json:"knees,omitempty"`
	Ankles    []float64 `json:"ankles,omitempty"`
	ArmsApart []float64 `json:"arms_apart,omitempty"`
	LegsApart []float64 `json:"legs_apart,omitempty"`

	On      []Carrier `json:"on,omitempty"`
	Wall    *Beside   `json:"wall,omitempty"`
	Box     *Box      `json:"box,omitempty"`
	Surface Surface   `json:"surface,omitempty"`
	Spotter Grip      `json:"spotter,omitempty"`
	Things  []Thing   `json:"things,omitempty"`
}

// Beside is a wall next to the body.
type Beside struct {
	Side     WallSide `json:"side"`
	Touch    Touch    `json:"touch"`
	Distance *float64 `json:"distance,omitempty"` // m
}

// Box is a box, a bench or a chair under a part of the body.
type Box struct {
	Height float64 `json:"height"` // m
	Under  Carrier `json:"under"`
}

// The words of a pose.
type (
	// View is where it is seen from.
	View string
	// Moment says whether it is held or passed through.
	Moment string
	// Push is what the shoulder blades do.
	Push string
	// Carrier is a part of the body that rests on something.
	Carrier string
	// WallSide is the side of the body the wall is on.
	WallSide string
	// Touch is what touches the wall.
	Touch string
	// Grip is where a spotter holds.
	Grip string
	// Thing is something held or lain on.
	Thing string
)

// The words code asks for by name.
const (
	FrontView  View     = "front"
	Passing    Moment   = "passing"
	Tall       Push     = "tall"
	Sunk       Push     = "sunk"
	ChestSide  WallSide = "chest"
	BackSide   WallSide = "back"
	TouchToes  Touch    = "toes"
	TouchHeels Touch    = "heels"
	TouchNone  Touch    = "nothing"
)

// The vocabularies, each whole.
var (
	Views    = []View{"side", FrontView}
	Moments  = []Moment{"held", Passing}
	Pushes   = []Push{Tall, Sunk}
	Carriers = []Carrier{"hands", "near-hand", "far-hand", "forearms", "knees", "near-knee", "far-knee",
		"feet", "near-foot", "far-foot", "toes", "near-toes", "far-toes", "seat", "back", "belly", "side"}
	WallSides = []WallSide{ChestSide, BackSide}
	Touches   = []Touch{TouchToes, TouchHeels, "hands", "seat", "back", TouchNone}
	Grips     = []Grip{"hips", "thighs", "shins"}
	Things    = []Thing{"mat", "bottle", "towel", "pack"}
)

// Limb is the carrier without its side, as the plural of both.
func (c Carrier) Limb() Carrier {
	word := strings.TrimPrefix(strings.TrimPrefix(string(c), "near-"), "far-")
	switch word {
	case "hand", "knee":
		return Carrier(word + "s")
	case "foot":
		return "feet"
	}
	return Carrier(word)
}

// Near and Far say whether the carrier is the limb of that side.
func (c Carrier) Near() bool { return !strings.HasPrefix(string(c), "far-") }

// Far says whether the carrier is the far limb, alone or with the near one.
func (c Carrier) Far() bool { return !strings.HasPrefix(string(c), "near-") }

// PresetNames are the presets, in order of the alphabet.
func PresetNames() []string { return slices.Sorted(maps.Keys(presets)) }

// Resolved is the pose with its preset filled in: what was given stands, the
// rest is the preset's. An unknown preset fills in nothing.
func (p Pose) Resolved() Pose {
	base, ok := presets[p.Preset]
	if !ok {
		return p
	}
	base = base.Resolved()
	p.View, p.Moment, p.Push = cmp.Or(p.View, base.View), cmp.Or(p.Moment, base.Moment), cmp.Or(p.Push, base.Push)
	p.Surface, p.Spotter = cmp.Or(p.Surface, base.Surface), cmp.Or(p.Spotter, base.Spotter)
	p.Trunk, p.Lean = cmp.Or(p.Trunk, base.Trunk), cmp.Or(p.Lean, base.Lean)
	p.Spine, p.Head = cmp.Or(p.Spine, base.Spine), cmp.Or(p.Head, base.Head)
	p.Shoulders, p.Elbows = given(p.Shoulders, base.Shoulders), given(p.Elbows, base.Elbows)
	p.Hips, p.Knees, p.Ankles = given(p.Hips, base.Hips), given(p.Knees, base.Knees), given(p.Ankles, base.Ankles)
	p.ArmsApart, p.LegsApart = given(p.ArmsApart, base.ArmsApart), given(p.LegsApart, base.LegsApart)
	p.On, p.Things = given(p.On, base.On), given(p.Things, base.Things)
	p.Wall, p.Box = cmp.Or(p.Wall, base.Wall), cmp.Or(p.Box, base.Box)
	return p
}

func given[T any](own, base []T) []T {
	if own != nil {
		return own
	}
	return base
}
