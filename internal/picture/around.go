package picture

import (
	"maps"
	"math"
	"slices"

	"aplomb/internal/body"
	"aplomb/internal/practice"
)

// stands are what is under the body: a box, what the hands stand on, a mat.
func (s scene) stands() (p panel) {
	if b := s.pose.Box; b != nil {
		lo, hi := s.span(ends[b.Under.Limb()]...)
		wide := math.Max(0, 45-(hi-lo)) / 2
		p = append(p, rect("solid", lo-wide-4, halfLimb-b.Height*perMetre, hi+wide+4, halfLimb))
	}
	if high := surfaceHeights[s.pose.Surface]; high > 0 && s.pose.Surface != "soft" {
		for _, side := range body.Both {
			lo, hi := s.span(body.Wrists[side], body.Hands[side])
			if s.pose.Surface == "canes" {
				m := (lo + hi) / 2
				p = append(p, rect("solid", m-2, halfLimb-high*perMetre+3, m+2, halfLimb))
			}
			thick := math.Min(high*perMetre, 8)
			p = append(p, rect("solid", lo-2, halfLimb-high*perMetre, hi, halfLimb-high*perMetre+thick))
		}
	}
	if s.has("mat") || s.pose.Surface == "soft" {
		lo, hi := s.span(slices.Collect(maps.Keys(s.body.Landmarks))...)
		p = append(p, rect("pad", lo-8, halfLimb, hi+8, halfLimb+5))
	}
	return p
}

// ends are the landmarks that rest, by the word for what carries.
var ends = map[practice.Carrier][]body.Landmark{
	"hands":    {body.LeftWrist, body.RightWrist, body.LeftHand, body.RightHand},
	"forearms": {body.LeftElbow, body.RightElbow, body.LeftHand, body.RightHand},
	"knees":    {body.LeftKnee, body.RightKnee},
	"feet":     {body.LeftHeel, body.RightHeel, body.LeftToe, body.RightToe},
	"toes":     {body.LeftToe, body.RightToe},
	"seat":     {body.LeftHip, body.RightHip},
	"back":     {body.LeftHip, body.LeftShoulder},
	"belly":    {body.LeftHip, body.LeftShoulder},
	"side":     {body.LeftHip, body.LeftShoulder},
}

// span is how far landmarks reach along the drawing.
func (s scene) span(names ...body.Landmark) (lo, hi float64) {
	left, right := panel{s.path("", line, names...)}.box()
	return left.x, right.x
}

func (s scene) has(t practice.Thing) bool { return slices.Contains(s.pose.Things, t) }

// things are what the hands hold.
func (s scene) things() (p panel) {
	l := s.body.Landmarks
	grip := func(side body.Side) xy { return s.at(l[body.Wrists[side]].Add(l[body.Hands[side]]).Times(0.5)) }
	if s.has("bottle") {
		for _, side := range body.Both {
			g := grip(side)
			p = append(p, rect("solid", g.x-4, g.y-12, g.x+4, g.y+12))
		}
	}
	if s.has("pack") {
		a, b := grip(body.Left), grip(body.Right)
		g := xy{(a.x + b.x) / 2, (a.y + b.y) / 2}
		p = append(p, rect("solid", g.x-14, g.y-16, g.x+14, g.y+8))
	}
	if s.has("towel") {
		a, b := grip(body.Left), grip(body.Right)
		p = append(p, mark{class: "arrow", shape: line, at: []xy{{a.x, a.y + 9}, a, b, {b.x, b.y + 9}}})
	}
	return p
}

// grips are where a spotter's hands are.
var grips = map[practice.Grip][2][2]body.Landmark{
	"hips": {body.Hips, body.Hips}, "thighs": {body.Hips, body.Knees}, "shins": {body.Knees, body.Ankles},
}

// spotter is a second, pale figure on the side to which the body tips over,
// facing it with both hands where they hold.
func (s scene) spotter() (p panel) {
	g, ok := grips[s.pose.Spotter]
	if !ok {
		return nil
	}
	target := mid(s.body.Landmarks, g[0]).Add(mid(s.body.Landmarks, g[1])).Times(0.5)
	const reach, shoulders = 0.332 * figureHeight, 0.818 * figureHeight
	raised := math.Acos(math.Max(-0.95, math.Min(0.95, (shoulders-target.Y)/reach))) * 180 / math.Pi
	upright := 0.0
	pose := practice.Pose{On: []practice.Carrier{"feet"}, Trunk: &upright, Shoulders: []float64{raised}}
	helper, err := settle(pose)
	if err != nil {
		panic("picture: nobody can stand upright: " + err.Error())
	}
	p = append(helper.limbs(body.Right, "helper"), helper.path("helper", line, body.RightShoulder, body.RightHip))
	p = append(p, helper.head("helper", "helper-head")...)
	hand := helper.body.Landmarks[body.RightWrist]
	for _, m := range p {
		for i, a := range m.at {
			m.at[i] = xy{(target.X+hand.X)*perMetre - a.x, a.y}
		}
	}
	return p
}
