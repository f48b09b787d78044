package body

import "math"

// Included is the angle at b between a and c: 0 to 180 degrees, in space. It is
// NaN where a or c lies on b.
func Included(a, b, c Point) float64 {
	u, v := a.Sub(b), c.Sub(b)
	return degrees(math.Acos(max(-1, min(1, u.dot(v)/(u.length()*v.length())))))
}

// Joints are the angles of one side of a body seen from the side. 180 is
// straight everywhere but at the ankle. Shoulder: 0 arm down, 90 forward, 180 in
// line with the trunk, more is behind the ears, negative behind the back. Hip:
// less than 180 is a pike, more an arch. Knee and elbow: less than 180 is bent
// the way they bend, more is bent backwards. Ankle: 90 as in standing, 180 fully
// pointed.
type Joints struct{ Shoulder, Elbow, Hip, Knee, Ankle float64 }

// MeasureJoints reads the joint angles of one side from landmarks seen from the
// side (z is not looked at). Facing is +1 for a body that faces +x when it
// stands up, -1 for one that faces -x. Angles are exact for a body that moves in
// the plane of the picture; a limb that leaves it looks more bent. Errors wrap
// [ErrNoLandmark].
func MeasureJoints(l Landmarks, s Side, facing int) (Joints, error) {
	p, err := l.need(Shoulders[s], Elbows[s], Wrists[s], Hips[s], Knees[s], Ankles[s], Toes[s])
	if err != nil {
		return Joints{}, err
	}
	shoulder, elbow, wrist, hip, knee, ankle, toe := p[0], p[1], p[2], p[3], p[4], p[5], p[6]
	down := hip.Sub(shoulder)
	bend := func(from, to Point) float64 { return float64(facing) * turn(from, to) }
	arm := bend(down, elbow.Sub(shoulder))
	if arm < -90 {
		arm += 360
	}
	return Joints{
		Shoulder: arm,
		Elbow:    180 - bend(elbow.Sub(shoulder), wrist.Sub(elbow)),
		Hip:      180 - bend(down, knee.Sub(hip)),
		Knee:     180 + bend(knee.Sub(hip), ankle.Sub(knee)),
		Ankle:    180 - bend(ankle.Sub(knee), toe.Sub(ankle)),
	}, nil
}

// turn is the angle from u to v in the x-y plane, counterclockwise, in degrees
// over -180 to 180.
func turn(u, v Point) float64 {
	return degrees(math.Atan2(u.X*v.Y-u.Y*v.X, u.X*v.X+u.Y*v.Y))
}

// Lean is how far the line from the wrists to the ankles is off the plumb line,
// in degrees over -180 to 180; positive is towards +x. Errors wrap
// [ErrNoLandmark].
func Lean(l Landmarks) (float64, error) {
	p, err := l.need(LeftWrist, RightWrist, LeftAnkle, RightAnkle)
	if err != nil {
		return 0, err
	}
	return -turn(Point{Y: 1}, middle(p[2], p[3]).Sub(middle(p[0], p[1]))), nil
}
