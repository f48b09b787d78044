package practice

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Check lists what is wrong with the figure.
func (f Figure) Check() (fs []Fault) {
	if strings.TrimSpace(f.Alt) == "" {
		fs = append(fs, Fault{Code: MissingField, Field: "alt"})
	}
	if n := utf8.RuneCountInString(f.Alt); n > 400 {
		fs = append(fs, outOfRange("alt", float64(n), "at most 400 characters"))
	}
	fs = append(fs, within("start.", f.Start.Check())...)
	if f.End != nil {
		fs = append(fs, within("end.", f.End.Check())...)
	}
	return fs
}

func within(path string, fs []Fault) []Fault {
	for i := range fs {
		fs[i].Field = path + fs[i].Field
	}
	return fs
}

// Check lists what is wrong with the pose, its preset filled in. It does not see
// whether a body can stand so: that takes the body's lengths and masses.
func (p Pose) Check() (fs []Fault) {
	if p.Preset != "" {
		if _, err := Word(PresetNames(), p.Preset); err != nil {
			return []Fault{FieldFault("preset", p.Preset, UnknownWord, err)}
		}
	}
	p = p.Resolved()
	fs = append(fs, p.checkAngles()...)
	for _, w := range []*Fault{
		word("view", Views, p.View), word("moment", Moments, p.Moment), word("push", Pushes, p.Push),
		word("surface", Surfaces, p.Surface), word("spotter", Grips, p.Spotter),
	} {
		if w != nil {
			fs = append(fs, *w)
		}
	}
	for i, t := range p.Things {
		if w := word(fmt.Sprintf("things[%d]", i), Things, t); w != nil {
			fs = append(fs, *w)
		}
	}
	return append(append(fs, p.checkOn()...), p.checkAround()...)
}

// word is the fault of a word that is not in its vocabulary; none where it was
// left out.
func word[T ~string](field string, vocabulary []T, w T) *Fault {
	if _, err := Word(vocabulary, string(w)); w != "" && err != nil {
		f := FieldFault(field, string(w), UnknownWord, err)
		return &f
	}
	return nil
}

func (p Pose) checkAngles() (fs []Fault) {
	one := func(field string, v *float64, lo, hi float64) {
		if v != nil && !(*v >= lo && *v <= hi) {
			fs = append(fs, outOfRange(field, *v, number(lo)+" to "+number(hi)+" degrees"))
		}
	}
	pair := func(field string, vs []float64, lo, hi float64) {
		if len(vs) > 2 {
			fs = append(fs, outOfRange(field, float64(len(vs)), "one number for both sides, or two: near, far"))
		}
		for i := range vs {
			one(fmt.Sprintf("%s[%d]", field, i), &vs[i], lo, hi)
		}
	}
	one("trunk", p.Trunk, -90, 360)
	one("lean", p.Lean, -120, 120)
	one("spine", p.Spine, -90, 90)
	one("head", p.Head, -60, 80)
	pair("shoulders", p.Shoulders, -90, 230)
	pair("elbows", p.Elbows, 20, 190)
	pair("hips", p.Hips, 15, 240)
	pair("knees", p.Knees, 20, 190)
	pair("ankles", p.Ankles, 60, 180)
	pair("arms_apart", p.ArmsApart, -30, 180)
	pair("legs_apart", p.LegsApart, -30, 110)
	return fs
}

// limbs says which limb a carrier belongs to: it can rest on one of them.
var limbs = map[Carrier]string{"hands": "arm", "forearms": "arm", "knees": "leg", "feet": "leg", "toes": "leg"}

func (p Pose) checkOn() (fs []Fault) {
	if len(p.On) == 0 {
		return []Fault{{Code: MissingField, Field: "on", Want: "what carries the body, or a preset"}}
	}
	for i, c := range p.On {
		field := fmt.Sprintf("on[%d]", i)
		if _, err := Word(Carriers, string(c)); err != nil {
			fs = append(fs, FieldFault(field, string(c), UnknownWord, err))
			continue
		}
		for _, before := range p.On[:i] {
			if c.clashes(before) {
				fs = append(fs, Fault{Code: Contradiction, Field: field, Value: string(c), Near: string(before),
					Want: "one place for each limb to rest on"})
				break
			}
		}
	}
	return fs
}

// clashes says whether both say where the same limb rests.
func (c Carrier) clashes(other Carrier) bool {
	if c == other {
		return true
	}
	limb := limbs[c.Limb()]
	return limb != "" && limb == limbs[other.Limb()] && (c.Near() && other.Near() || c.Far() && other.Far())
}

func (p Pose) checkAround() (fs []Fault) {
	if w := p.Wall; w != nil {
		for _, f := range []*Fault{word("wall.side", WallSides, w.Side), word("wall.touch", Touches, w.Touch)} {
			if f != nil {
				fs = append(fs, *f)
			}
		}
		if w.Side == "" || w.Touch == "" {
			fs = append(fs, Fault{Code: MissingField, Field: "wall", Want: "a wall with side and touch"})
		}
		if d := w.Distance; d != nil && !(*d >= 0 && *d <= 2.5) {
			fs = append(fs, outOfRange("wall.distance", *d, "0 to 2.5 m"))
		}
		if w.Touch == TouchNone && w.Distance == nil {
			fs = append(fs, Fault{Code: MissingField, Field: "wall.distance", Want: "metres, where nothing touches the wall"})
		}
	}
	if b := p.Box; b != nil {
		if !(b.Height >= 0.05 && b.Height <= 1.5) {
			fs = append(fs, outOfRange("box.height", b.Height, "0.05 to 1.5 m"))
		}
		if !slices.Contains(p.On, b.Under) {
			fs = append(fs, Fault{Code: Contradiction, Field: "box.under", Value: Short(string(b.Under)), Want: "one of the words in on"})
		}
	}
	onHands := slices.ContainsFunc(p.On, func(c Carrier) bool { return c.Limb() == "hands" })
	if p.Surface != "" && p.Surface != "floor" && !onHands {
		fs = append(fs, Fault{Code: Contradiction, Field: "surface", Value: string(p.Surface), Want: "hands among on: it is what they stand on"})
	}
	if p.Spotter != "" && p.View == FrontView {
		fs = append(fs, Fault{Code: Contradiction, Field: "spotter", Value: string(p.Spotter), Want: "the view from the side"})
	}
	return fs
}
