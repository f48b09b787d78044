package picture

import (
	"fmt"
	"math"

	"aplomb/internal/body"
	"aplomb/internal/practice"
)

// slack is how far, in metres, a drawn body may be through a floor or short of a
// wall: half a limb's thickness, and a little for skin that gives.
const slack = 0.04

// CheckFigure lists what is wrong with a drill's figure: its fields, and whether
// a body could do it. Every pose must fit its supports, stay out of floor and
// wall, touch the wall where it says so, and, where it is held and nothing but
// its supports holds it, have its centre of mass over them: upside down and free
// that is from the heel of the hand to the finger pads. By the drill's support:
// one pose is upside down, hips and feet over the shoulders, with its wall or
// spotter (chest to the wall the toes touch, back to it the heels, or nothing);
// on the floor none is.
func CheckFigure(f practice.Figure, support practice.Support) []practice.Fault {
	if fs := f.Check(); len(fs) > 0 {
		return fs
	}
	c := checker{support: support}
	c.pose("start", f.Start)
	if f.End != nil {
		c.pose("end", *f.End)
	}
	if support != practice.Floor && !c.upsideDown && len(c.faults) == 0 {
		c.add("start", "no pose is upside down", "one with hips and feet over the shoulders, or support floor")
	}
	return c.faults
}

type checker struct {
	support    practice.Support
	upsideDown bool
	faults     []practice.Fault
}

func (c *checker) add(field, value, want string) {
	c.faults = append(c.faults, practice.Fault{Code: practice.Contradiction, Field: field, Value: value, Want: want})
}

func (c *checker) pose(field string, p practice.Pose) {
	s, err := settle(p)
	if err != nil {
		c.faults = append(c.faults, practice.Fault{Code: practice.Contradiction, Field: field, Value: "the pose",
			Want: "one a body can take on these supports", Err: err})
		return
	}
	if low := s.lowest(); low < -slack {
		c.add(field, metres(-low)+" under the floor", "a body above the floor")
	}
	c.wall(field, s)
	c.balance(field, s)
	c.inverted(field, s)
}

// lowest is the height of the skin's lowest point over the floor.
func (s scene) lowest() float64 {
	low := math.Inf(1)
	for name, p := range s.body.Landmarks {
		low = math.Min(low, p.Y-thickness[name]*s.body.Height)
	}
	return low
}

// thickness is how much further than a limb's the skin is from a landmark.
var thickness = map[body.Landmark]float64{
	body.LeftHip: body.TrunkRadius, body.RightHip: body.TrunkRadius, body.Waist: body.TrunkRadius,
	body.LeftEar: body.HeadRadius - body.TrunkRadius, body.RightEar: body.HeadRadius - body.TrunkRadius,
}

func (c *checker) wall(field string, s scene) {
	if s.pose.Wall == nil {
		return
	}
	towards, deepest := wallSide(s.pose), math.Inf(-1)
	for name, p := range s.body.Landmarks {
		deepest = math.Max(deepest, towards*(p.X-s.wallX)+thickness[name]*s.body.Height)
	}
	if deepest > slack {
		c.add(field+".wall", metres(deepest)+" through the wall", "a body in front of it")
	}
	touch, touches := touching(s.pose)
	if gap := s.gap(touch); touches && gap > slack {
		c.add(field+".wall.touch", string(s.pose.Wall.Touch)+" "+metres(gap)+" short of the wall",
			"a touch; leave trunk or distance out and it is found")
	}
}

// gap is how far the nearer of two landmarks is short of the wall.
func (s scene) gap(touch [2]body.Landmark) float64 {
	towards, l := wallSide(s.pose), s.body.Landmarks
	return math.Min(towards*(s.wallX-l[touch[0]].X), towards*(s.wallX-l[touch[1]].X))
}

func (c *checker) balance(field string, s scene) {
	if s.pose.Moment == practice.Passing || !s.free() {
		return
	}
	x, z := s.over()
	if !s.front() {
		z = 0 // a drawing from the side says nothing about width
	}
	if math.Max(math.Abs(x), math.Abs(z)) > 0.005 {
		where := "ahead of"
		switch {
		case math.Abs(z) > math.Abs(x):
			where = "beside"
		case x < 0:
			where = "behind"
		}
		c.add(field, fmt.Sprintf("the weight %s %s what carries it", metres(math.Hypot(x, z)), where),
			"over it; leave trunk out and it is found, or say moment passing")
	}
}

func (c *checker) inverted(field string, s scene) {
	if !s.upsideDown() {
		return
	}
	c.upsideDown = true
	side, touch := practice.ChestSide, practice.TouchToes
	switch c.support {
	case practice.Floor:
		c.add(field, "upside down", "hips or feet lower than the shoulders: the drill's support is floor")
		return
	case practice.Open:
		if s.pose.Wall != nil || s.pose.Spotter != "" {
			c.add(field, "a wall or a spotter", "neither: the drill's support is open")
		}
		return
	case practice.Spotter:
		if s.pose.Spotter == "" {
			c.add(field+".spotter", "", "hips, thighs or shins: the drill has a spotter")
		}
		return
	case practice.WallBack:
		side, touch = practice.BackSide, practice.TouchHeels
	}
	w := s.pose.Wall
	if w == nil || w.Side != side || w.Touch != touch && w.Touch != practice.TouchNone {
		c.add(field+".wall", "", fmt.Sprintf("%s side, touching %s or nothing, as the drill's support says", side, touch))
	}
}

func metres(v float64) string { return fmt.Sprintf("%.0f cm", math.Abs(v)*100) }
