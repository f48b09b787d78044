package body

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Part is what a body rests on.
type Part string

// What may carry the body. Hands, forearms, feet, and the shins behind knees, lie
// flat; toes are the balls of the feet with the heel up.
const (
	OnHands    Part = "hands"
	OnForearms Part = "forearms"
	OnKnees    Part = "knees"
	OnFeet     Part = "feet"
	OnToes     Part = "toes"
	OnSeat     Part = "seat"
	OnBack     Part = "back"
	OnBelly    Part = "belly"
	OnSide     Part = "side"
)

// chains are the parts whose height one joint decides once the trunk stands.
var chains = map[Part]string{OnHands: "arm", OnForearms: "arm", OnKnees: "leg", OnFeet: "leg", OnToes: "leg"}

// Support is a part of the body that rests at a height in metres. Sides are
// those of a limb; a part of the trunk has none.
type Support struct {
	Part   Part
	Sides  []Side
	Height float64
}

// Wall is an upright plane at X metres from the first support, and the pair of
// landmarks of which the nearer one touches it.
type Wall struct {
	Touch [2]Landmark
	X     float64
}

// gap is how far the touching landmark is short of the wall.
func (w Wall) gap(l Landmarks) float64 {
	towards := math.Copysign(1, w.X)
	reach := max(towards*l[w.Touch[Left]].X, towards*l[w.Touch[Right]].X)
	return towards*w.X - reach
}

// Stance is a shape with what carries it. Where Tip is nil the body is tipped
// until it fits: until a second part (of another limb) meets its support, or
// else until it touches the wall, or else until it balances on the first
// support. Every further support is met by turning the limb at its hip or
// shoulder.
type Stance struct {
	Shape  Shape
	Height float64  // of the body, m
	Tip    *float64 // of the trunk: 0 upright, 90 face down, 180 upside down, 270 face up
	Lean   float64  // of the trunk to its own right
	On     []Support
	Wall   *Wall
	Table  Table
}

// Settled is a body on its supports: x = 0 at the first of them, y = 0 at the
// floor.
type Settled struct {
	Landmarks Landmarks
	Shape     Shape // with the joints that were turned to reach
	Tip       float64
	Height    float64
	Centre    Point // of mass
	Base      Base
}

// Base is the ground the supports cover.
type Base struct{ MinX, MaxX, MinZ, MaxZ float64 }

// ErrNoFit is wrapped where the body cannot meet its supports.
var ErrNoFit = errors.New("body: the shape does not fit its supports")

// contact is one support of one side.
type contact struct {
	part   Part
	side   Side
	height float64
}

// solver settles one stance.
type solver struct {
	Stance
	contacts []contact
	on       pressed
	meet     int // the contact the tip has to meet, or -1
}

// Settle finds the body on its supports. It panics where there is no support, or
// no height; the error wraps [ErrNoFit].
func (s Stance) Settle() (Settled, error) {
	if len(s.On) == 0 || !(s.Height > 0) {
		panic("body: a stance needs a height and something to rest on")
	}
	v := newSolver(s)
	if s.Tip != nil {
		return v.at(*s.Tip)
	}
	tip, ok := nearestRoot(v.hint(), 3, v.miss)
	if !ok {
		return Settled{}, fmt.Errorf("%w: no way to tip it does", ErrNoFit)
	}
	return v.at(tip)
}

func newSolver(s Stance) *solver {
	v := &solver{Stance: s, meet: -1}
	for _, u := range s.On {
		for _, side := range u.sides() {
			v.contacts = append(v.contacts, contact{u.Part, side, u.Height})
			v.on.forearm[side] = v.on.forearm[side] || u.Part == OnForearms
			v.on.hand[side] = v.on.hand[side] || u.Part == OnHands
			v.on.shin[side] = v.on.shin[side] || u.Part == OnKnees
			v.on.foot[side] = v.on.foot[side] || u.Part == OnFeet
		}
	}
	if s.Tip == nil {
		first := chains[v.contacts[0].part]
		v.meet = slices.IndexFunc(v.contacts, func(c contact) bool { return chains[c.part] != first })
	}
	return v
}

func (u Support) sides() []Side {
	if chains[u.Part] == "" {
		return []Side{Right}
	}
	return u.Sides
}

// hint is the tip near which people carry themselves on these supports: the
// first limb upright, or face down or up between two.
func (v *solver) hint() float64 {
	first := v.contacts[0]
	switch chain := chains[first.part]; {
	case first.part == OnBack:
		return 270
	case first.part == OnBelly || chain != "" && v.meet >= 0:
		return 90
	case chain == "arm":
		return v.Shape.Shoulder[first.side] + (180-v.Shape.Elbow[first.side])/2
	case first.part == OnKnees:
		return 180 - v.Shape.Hip[first.side]
	case chain == "leg":
		return 180 - v.Shape.Hip[first.side] - (180-v.Shape.Knee[first.side])/2
	}
	return 0
}

// miss is how far the body tipped so is from fitting.
func (v *solver) miss(tip float64) float64 {
	s, err := v.at(tip)
	switch {
	case err != nil:
		return math.NaN()
	case v.meet >= 0:
		c := v.contacts[v.meet]
		return s.Landmarks.underside(c, v.Height) - c.height
	case v.Wall != nil:
		return v.Wall.gap(s.Landmarks)
	case chains[v.contacts[0].part] == "arm":
		return s.Centre.X - 0.02*v.Height
	}
	return s.Centre.X - (s.Base.MinX+s.Base.MaxX)/2
}

// at settles the body with its trunk tipped so.
func (v *solver) at(tip float64) (Settled, error) {
	s := Settled{Shape: v.Shape, Tip: tip, Height: v.Height}
	f := newFrame(tip, v.Lean)
	first := v.contacts[0]
	drop := s.Shape.landmarks(v.Height, f, v.on).underside(first, v.Height) - first.height
	for i, c := range v.contacts {
		if i == 0 || i == v.meet || (i == 1 || i == v.meet+1) && v.follows(i) {
			continue
		}
		if err := v.reach(&s.Shape, f, c, drop); err != nil {
			return s, err
		}
	}
	s.Landmarks = s.Shape.landmarks(v.Height, f, v.on)
	s.Landmarks.shift(Point{Y: -drop})
	s.Landmarks.shift(Point{X: -v.origin(s.Landmarks)})
	s.Base = v.base(s.Landmarks)
	var err error
	s.Centre, err = CentreOfMass(s.Landmarks, v.Table)
	return s, err
}

// follows says whether the contact is met when the one before it is: the same
// part of the other side, in the same shape.
func (v *solver) follows(i int) bool {
	c, before, s := v.contacts[i], v.contacts[i-1], v.Shape
	if c.part != before.part || c.height != before.height || v.Lean != 0 {
		return false
	}
	even := func(pairs ...[2]float64) bool {
		return !slices.ContainsFunc(pairs, func(p [2]float64) bool { return p[Left] != p[Right] })
	}
	if chains[c.part] == "arm" {
		return even(s.Shoulder, s.Elbow, s.ArmsApart)
	}
	return even(s.Hip, s.Knee, s.Ankle, s.LegsApart)
}

// reach turns a limb at its hip or shoulder until the contact is met.
func (v *solver) reach(s *Shape, f frame, c contact, drop float64) error {
	joint := &s.Hip[c.side]
	switch chains[c.part] {
	case "arm":
		joint = &s.Shoulder[c.side]
	case "":
		return nil // the trunk stands as it stands
	}
	angle, ok := nearestRoot(*joint, 3, func(a float64) float64 {
		*joint = a
		return s.landmarks(v.Height, f, v.on).underside(c, v.Height) - drop - c.height
	})
	if *joint = angle; !ok {
		return fmt.Errorf("%w: the %s %s cannot reach", ErrNoFit, c.side, c.part)
	}
	return nil
}

// underside is the height of the lowest point of what rests.
func (l Landmarks) underside(c contact, height float64) float64 {
	switch c.part {
	case OnHands:
		return l[Wrists[c.side]].Y
	case OnForearms:
		return l[Elbows[c.side]].Y
	case OnKnees:
		return l[Knees[c.side]].Y
	case OnFeet:
		return l[Heels[c.side]].Y
	case OnToes:
		return l[Toes[c.side]].Y
	case OnSeat:
		return min(l[LeftHip].Y, l[RightHip].Y) - TrunkRadius*height
	}
	return min(l[LeftHip].Y, l[RightHip].Y, l[LeftShoulder].Y, l[RightShoulder].Y, l[Waist].Y) - TrunkRadius*height
}

func (l Landmarks) shift(by Point) {
	for name, p := range l {
		l[name] = p.Add(by)
	}
}

// origin is the x of the first support.
func (v *solver) origin(l Landmarks) float64 {
	var at []Point
	for _, c := range v.contacts {
		if c.part != v.contacts[0].part {
			break
		}
		switch c.part {
		case OnHands:
			at = append(at, l[Wrists[c.side]])
		case OnForearms:
			at = append(at, l[Elbows[c.side]])
		case OnKnees:
			at = append(at, l[Knees[c.side]])
		case OnFeet, OnToes:
			at = append(at, l[Toes[c.side]])
		default:
			at = append(at, l.mean(Hips))
		}
	}
	return mean(at).X
}

// base covers the supports and whatever else rests within 3 cm of the floor.
func (v *solver) base(l Landmarks) Base {
	b := Base{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	add := func(p Point, behind, ahead float64) {
		b.MinX, b.MaxX = min(b.MinX, p.X-behind*v.Height), max(b.MaxX, p.X+ahead*v.Height)
		b.MinZ, b.MaxZ = min(b.MinZ, p.Z-halfPalm*v.Height), max(b.MaxZ, p.Z+halfPalm*v.Height)
	}
	for _, c := range v.contacts {
		switch c.part {
		case OnHands:
			add(l[Wrists[c.side]], palmBehind, padsAhead)
		case OnForearms:
			add(l[Elbows[c.side]], 0, forearm)
		case OnKnees:
			add(l[Knees[c.side]], halfPalm, halfPalm)
		case OnFeet:
			add(l[Heels[c.side]], 0, foot)
		case OnToes:
			add(l[Toes[c.side]], 0.2*foot, 0)
		case OnSeat:
			add(l.mean(Hips), 2*halfPalm, 2*halfPalm)
		default:
			add(l.mean(Hips), halfPalm, halfPalm)
			add(l.mean(Shoulders), halfPalm, halfPalm)
		}
	}
	for _, p := range l {
		if p.Y < 0.03 {
			add(p, 0, 0)
		}
	}
	return b
}

// nearestRoot looks for a zero of g in both directions from x, in steps of so
// many degrees over a full turn. Stretches where g is NaN are passed over.
func nearestRoot(x, step float64, g func(float64) float64) (float64, bool) {
	const near = 1e-9
	start := g(x)
	if math.Abs(start) < near {
		return x, true
	}
	lo, hi := start, start
	for d := step; d <= 180; d += step {
		up, down := g(x+d), g(x-d)
		if up*hi <= 0 {
			return bisect(x+d-step, x+d, hi, g), true
		}
		if down*lo <= 0 {
			return bisect(x-d+step, x-d, lo, g), true
		}
		hi, lo = up, down
	}
	return x, false
}

// bisect narrows a change of sign between a, where g is ga, and b.
func bisect(a, b, ga float64, g func(float64) float64) float64 {
	for range 50 {
		m := (a + b) / 2
		if gm := g(m); gm*ga > 0 {
			a = m
		} else {
			b = m
		}
	}
	return (a + b) / 2
}
