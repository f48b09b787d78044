package picture

import (
	"math"

	"aplomb/internal/body"
	"aplomb/internal/practice"
)

// figureHeight is that of the drawn body, in metres.
const figureHeight = 1.70

// scene is a pose worked out: the body on its supports and what stands around it.
type scene struct {
	pose  practice.Pose // preset filled in
	body  body.Settled
	wallX float64 // where the wall is, if there is one
}

// settle works a pose out. The pose is sound; the error says why no body can
// stand so.
func settle(p practice.Pose) (scene, error) {
	p = p.Resolved()
	s := body.Stance{Shape: shapeOf(p), Height: figureHeight, Tip: p.Trunk, Lean: value(p.Lean, 0), On: supports(p), Table: body.DeLeva}
	towards := wallSide(p)
	touch, touches := touching(p)
	if touches && p.Wall.Distance != nil {
		s.Wall = &body.Wall{Touch: touch, X: towards * *p.Wall.Distance}
	}
	settled, err := s.Settle()
	sc := scene{pose: p, body: settled}
	switch {
	case err != nil || p.Wall == nil:
	case p.Wall.Distance != nil:
		sc.wallX = towards * *p.Wall.Distance
	default:
		l := settled.Landmarks
		sc.wallX = towards * max(towards*l[touch[body.Left]].X, towards*l[touch[body.Right]].X)
	}
	return sc, err
}

func value(v *float64, otherwise float64) float64 {
	if v == nil {
		return otherwise
	}
	return *v
}

// pair spreads one number or two (near, far) over the body's sides: the near
// side is its right.
func pair(vs []float64, otherwise float64) [2]float64 {
	switch len(vs) {
	case 0:
		return [2]float64{otherwise, otherwise}
	case 1:
		return [2]float64{vs[0], vs[0]}
	}
	return [2]float64{body.Right: vs[0], body.Left: vs[1]}
}

var pushes = map[practice.Push]float64{practice.Tall: 0.02, practice.Sunk: -0.045}

func shapeOf(p practice.Pose) body.Shape {
	return body.Shape{
		Shoulder: pair(p.Shoulders, 0), Elbow: pair(p.Elbows, 180), Hip: pair(p.Hips, 180),
		Knee: pair(p.Knees, 180), Ankle: pair(p.Ankles, 110),
		ArmsApart: pair(p.ArmsApart, 0), LegsApart: pair(p.LegsApart, 0),
		Spine: value(p.Spine, 0), Head: value(p.Head, 0), Push: pushes[p.Push],
	}
}

// Heights of what hands may stand on, in metres: taken, no source.
var surfaceHeights = map[practice.Surface]float64{"blocks": 0.08, "parallettes": 0.10, "canes": 0.45, "soft": 0.04}

func supports(p practice.Pose) (out []body.Support) {
	for _, c := range p.On {
		s := body.Support{Part: body.Part(c.Limb())}
		if c.Near() {
			s.Sides = append(s.Sides, body.Right)
		}
		if c.Far() {
			s.Sides = append(s.Sides, body.Left)
		}
		if s.Part == body.OnHands {
			s.Height = surfaceHeights[p.Surface]
		}
		if p.Box != nil && p.Box.Under == c {
			s.Height = p.Box.Height
		}
		out = append(out, s)
	}
	return out
}

// onArms says whether the first thing that carries is a hand or a forearm.
func onArms(p practice.Pose) bool {
	limb := p.On[0].Limb()
	return limb == "hands" || limb == "forearms"
}

// wallSide is the direction along x in which the wall stands: a body on its arms
// has its chest towards -x, one that stands or sits towards +x.
func wallSide(p practice.Pose) float64 {
	if p.Wall == nil || onArms(p) != (p.Wall.Side == practice.BackSide) {
		return -1
	}
	return 1
}

// touching is what of the body is on the wall.
func touching(p practice.Pose) ([2]body.Landmark, bool) {
	if p.Wall == nil {
		return [2]body.Landmark{}, false
	}
	pairs := map[practice.Touch][2]body.Landmark{practice.TouchToes: body.Toes, practice.TouchHeels: body.Heels,
		"hands": body.Hands, "seat": body.Hips, "back": body.Shoulders}
	touch, ok := pairs[p.Wall.Touch]
	return touch, ok
}

// upsideDown says whether the body is on its arms alone, with the feet over the
// shoulders and the trunk nearer to upside down than to level.
func (s scene) upsideDown() bool {
	for _, c := range s.pose.On {
		if limb := c.Limb(); limb != "hands" && limb != "forearms" {
			return false
		}
	}
	shoulders, hips, ankles := s.height(body.Shoulders), s.height(body.Hips), s.height(body.Ankles)
	return hips-shoulders > 0.2*s.body.Height && ankles > shoulders
}

func (s scene) height(pair [2]body.Landmark) float64 {
	return (s.body.Landmarks[pair[0]].Y + s.body.Landmarks[pair[1]].Y) / 2
}

// free says whether nothing but the hands holds the body up.
func (s scene) free() bool {
	_, touches := touching(s.pose)
	return !touches && s.pose.Spotter == ""
}

// over is how far the centre of mass is outside the ground the supports cover,
// along x and z, in metres: negative before it, positive past it, 0 over it.
func (s scene) over() (x, z float64) {
	b, c := s.body.Base, s.body.Centre
	outside := func(v, lo, hi float64) float64 { return math.Min(v-lo, 0) + math.Max(v-hi, 0) }
	return outside(c.X, b.MinX, b.MaxX), outside(c.Z, b.MinZ, b.MaxZ)
}
