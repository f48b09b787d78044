package picture

import (
	"math"
	"slices"

	"aplomb/internal/body"
	"aplomb/internal/practice"
)

// at puts a point of the scene on the drawing: from the right side, or from the
// front.
func (s scene) at(p body.Point) xy {
	x := p.X
	if s.front() {
		x = -p.Z
	}
	return xy{x * perMetre, -p.Y * perMetre}
}

func (s scene) front() bool { return s.pose.View == practice.FrontView }

func (s scene) path(class string, form shape, names ...body.Landmark) mark {
	m := mark{class: class, shape: form}
	for _, n := range names {
		m.at = append(m.at, s.at(s.body.Landmarks[n]))
	}
	return m
}

// panel draws the scene from the back to the front.
func (s scene) panel() panel {
	figure := s.figure()
	p := s.spotter()
	p = append(p, figure...)
	p = append(p, s.things()...)
	around := append(s.stands(), s.wall(p)...)
	p = append(around, p...)
	p = append(p, s.plumb()...)
	return append(panel{s.floor(p)}, p...)
}

// figure is the body: the far limbs first, where they do not hide behind the
// near ones.
func (s scene) figure() (p panel) {
	far := "far"
	if s.front() {
		far = "near"
	}
	near := s.limbs(body.Right, "near")
	for i, m := range s.limbs(body.Left, far) {
		if !slices.Equal(m.at, near[i].at) {
			p = append(p, m)
		}
	}
	l := s.body.Landmarks
	shoulders, hips, waist := mid(l, body.Shoulders), mid(l, body.Hips), l[body.Waist]
	control := waist.Times(2).Sub(shoulders.Add(hips).Times(0.5))
	p = append(p, mark{class: "trunk", shape: curve, at: []xy{s.at(shoulders), s.at(control), s.at(hips)}})
	if s.front() {
		p = append(p, s.path("near", line, body.Shoulders[:]...), s.path("near", line, body.Hips[:]...))
	}
	p = append(p, s.head("near", "head")...)
	return append(p, near...)
}

func mid(l body.Landmarks, pair [2]body.Landmark) body.Point {
	return l[pair[0]].Add(l[pair[1]]).Times(0.5)
}

// limbs are the leg with its foot and the arm with its hand.
func (s scene) limbs(side body.Side, class string) panel {
	return panel{
		s.path(class, line, body.Hips[side], body.Knees[side], body.Ankles[side]),
		s.path(class, area, body.Ankles[side], body.Heels[side], body.Toes[side]),
		s.path(class, line, body.Shoulders[side], body.Elbows[side], body.Wrists[side], body.Hands[side]),
	}
}

// head is the neck, the head and, from the side, the nose.
func (s scene) head(limb, class string) panel {
	l := s.body.Landmarks
	ear := mid(l, body.Ears)
	p := panel{{class: limb, shape: line, at: []xy{s.at(mid(l, body.Shoulders)), s.at(ear)}}}
	if !s.front() {
		p = append(p, mark{class: limb, shape: line, at: []xy{s.at(ear), s.at(l[body.Nose])}})
	}
	return append(p, mark{class: class, shape: disc, at: []xy{s.at(ear)}, r: (body.HeadRadius - 0.012) * figureHeight * perMetre})
}

// floor runs under everything.
func (s scene) floor(p panel) mark {
	lo, hi := p.box()
	return mark{class: "floor", shape: line, at: []xy{{lo.x - overhang, halfLimb}, {hi.x + overhang, halfLimb}}}
}

func rect(class string, x1, y1, x2, y2 float64) mark {
	return mark{class: class, shape: area, at: []xy{{x1, y1}, {x2, y1}, {x2, y2}, {x1, y2}}}
}

// wall is an upright slab beside the body, or behind it in the view from the
// front.
func (s scene) wall(p panel) panel {
	if s.pose.Wall == nil {
		return nil
	}
	lo, hi := p.box()
	top := math.Min(lo.y-15, -120)
	if s.front() {
		return panel{rect("pad", lo.x-15, top, hi.x+15, halfLimb)}
	}
	towards := wallSide(s.pose)
	x := s.wallX*perMetre + towards*halfLimb
	return panel{rect("pad", x, top, x+towards*9, halfLimb),
		{class: "floor", shape: line, at: []xy{{x, top}, {x, halfLimb}}}}
}

// plumb hangs from the centre of mass where the body is upside down and free.
func (s scene) plumb() panel {
	if !s.upsideDown() || !s.free() || s.pose.Moment == practice.Passing {
		return nil
	}
	c := s.at(s.body.Centre)
	return panel{
		{class: "plumb", shape: line, at: []xy{c, {c.x, 12}}},
		{class: "bob", shape: disc, at: []xy{c}, r: 3.5},
		{class: "bob", shape: area, at: []xy{{c.x - 5, 10}, {c.x + 5, 10}, {c.x, 20}}},
	}
}
