package body

import "math"

// Shape is a body's joint angles, by [Side], as [Joints] counts them, with what
// is needed beyond one plane.
type Shape struct {
	Shoulder, Elbow, Hip, Knee, Ankle [2]float64
	ArmsApart, LegsApart              [2]float64 // each limb away from the middle plane
	Spine                             float64    // bend of the whole back: rounded (positive) or arched (negative)
	Head                              float64    // tipped back (positive) or chin in (negative)
	Push                              float64    // shoulders pushed up by this fraction of the height, or sunk
}

// Straight is a body in one line with the arms overhead and the toes pointed.
func Straight() Shape {
	all := [2]float64{180, 180}
	return Shape{Shoulder: all, Elbow: all, Hip: all, Knee: all, Ankle: [2]float64{160, 160}}
}

// frame is how the trunk stands: up from hips to shoulders, front, and right.
type frame struct{ up, front, right Point }

// newFrame tips an upright body forward (90 face down, 180 upside down) and then
// leans it to its own right.
func newFrame(tip, lean float64) frame {
	up, right := Point{X: sin(tip), Y: cos(tip)}, Point{Z: 1}
	return frame{
		up:    up.Times(cos(lean)).Add(right.Times(sin(lean))),
		front: Point{X: cos(tip), Y: -sin(tip)},
		right: right.Times(cos(lean)).Sub(up.Times(sin(lean))),
	}
}

// hinge is a limb's direction and the one it turns to when it bends forward.
type hinge struct{ along, ahead Point }

// limb points down along the trunk, raised forward and then moved outwards.
func (f frame) limb(raised, apart float64, s Side) hinge {
	out := f.right
	if s == Left {
		out = out.Times(-1)
	}
	plane := hinge{f.up.Times(-1), f.front}.bent(raised)
	return hinge{plane.along.Times(cos(apart)).Add(out.Times(sin(apart))), plane.ahead}
}

// bent is the next piece of the limb, turned forward by so many degrees.
func (h hinge) bent(by float64) hinge {
	return hinge{
		along: h.along.Times(cos(by)).Add(h.ahead.Times(sin(by))),
		ahead: h.ahead.Times(cos(by)).Sub(h.along.Times(sin(by))),
	}
}

// pressed says which parts lie flat on something, whatever the joint before them
// says: they point forward along the floor, shins back.
type pressed struct{ forearm, hand, shin, foot [2]bool }

var (
	flat     = hinge{along: Point{X: 1}, ahead: Point{Y: 1}}
	flatShin = hinge{along: Point{X: -1}, ahead: Point{Y: -1}}
)

// landmarks places a body of the given height with the middle of its hips at
// the origin.
func (s Shape) landmarks(height float64, f frame, on pressed) Landmarks {
	l := Landmarks{}
	shoulders := f.up.Times(trunk)
	l[Waist] = shoulders.Times(0.5).Sub(f.front.Times(trunk / 2 * math.Tan(s.Spine/4*math.Pi/180)))
	s.placeHead(l, f, shoulders.Add(f.up.Times(neckBase)))
	for _, side := range Both {
		out := f.right
		if side == Left {
			out = out.Times(-1)
		}
		s.placeArm(l, f, side, shoulders.Add(f.up.Times(s.Push)).Add(out.Times(halfShoulders)), on)
		s.placeLeg(l, f, side, out.Times(halfHips), on)
	}
	for name, p := range l {
		l[name] = p.Times(height)
	}
	return l
}

func (s Shape) placeHead(l Landmarks, f frame, neck Point) {
	h := hinge{f.up, f.front}.bent(-s.Head)
	ear := neck.Add(h.along.Times(earUp))
	eye := ear.Add(h.along.Times(eyeUp)).Add(h.ahead.Times(eyeOut))
	l[Neck], l[Vertex] = neck, neck.Add(h.along.Times(head))
	l[Nose] = ear.Add(h.ahead.Times(noseOut))
	for _, side := range Both {
		out := f.right.Times(float64(2*side-1) * HeadRadius / 2)
		l[Ears[side]] = ear.Add(out.Times(2))
		l[[2]Landmark{LeftEye, RightEye}[side]] = eye.Add(out)
	}
}

func (s Shape) placeArm(l Landmarks, f frame, side Side, at Point, on pressed) {
	arm := f.limb(s.Shoulder[side], s.ArmsApart[side], side)
	fore := arm.bent(180 - s.Elbow[side])
	if on.forearm[side] {
		fore = flat
	}
	l[Shoulders[side]] = at
	l[Elbows[side]] = at.Add(arm.along.Times(upperArm))
	l[Wrists[side]] = l[Elbows[side]].Add(fore.along.Times(forearm))
	if on.hand[side] {
		fore = flat
	}
	l[Hands[side]] = l[Wrists[side]].Add(fore.along.Times(hand))
}

func (s Shape) placeLeg(l Landmarks, f frame, side Side, at Point, on pressed) {
	leg := f.limb(180-s.Hip[side], s.LegsApart[side], side)
	lower := leg.bent(s.Knee[side] - 180)
	if on.shin[side] {
		lower = flatShin
	}
	feet := lower.bent(180 - s.Ankle[side])
	if on.foot[side] {
		feet = flat
	}
	l[Hips[side]] = at
	l[Knees[side]] = at.Add(leg.along.Times(thigh))
	l[Ankles[side]] = l[Knees[side]].Add(lower.along.Times(shank))
	l[Heels[side]] = l[Ankles[side]].Sub(feet.ahead.Times(sole)).Sub(feet.along.Times(heelBack))
	l[Toes[side]] = l[Heels[side]].Add(feet.along.Times(foot))
}
