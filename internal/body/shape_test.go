package body

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/numtest"
)

func pair(v float64) [2]float64 { return [2]float64{v, v} }

// anyShape is a body within what joints can do.
func anyShape(r *rapid.T) Shape {
	both := func(name string, lo, hi float64) [2]float64 {
		g := rapid.Float64Range(lo, hi)
		return [2]float64{g.Draw(r, name+" left"), g.Draw(r, name+" right")}
	}
	return Shape{
		Shoulder: both("shoulder", -80, 230), Elbow: both("elbow", 30, 185), Hip: both("hip", 20, 230),
		Knee: both("knee", 30, 185), Ankle: both("ankle", 70, 175),
		Spine: rapid.Float64Range(-60, 60).Draw(r, "spine"), Head: rapid.Float64Range(-40, 60).Draw(r, "head"),
		Push: rapid.Float64Range(-0.05, 0.03).Draw(r, "push"),
	}
}

// TestAnglesThereAndBack: the angles a body is built with are the ones read off
// it, however it stands, whichever way it faces. The ankle is read to the toe,
// which is not on the foot's axis, so it comes back turned by a constant.
func TestAnglesThereAndBack(t *testing.T) {
	toe := degrees(math.Atan2(sole, foot-heelBack))
	rapid.Check(t, func(r *rapid.T) {
		s, tip := anyShape(r), rapid.Float64Range(-180, 360).Draw(r, "tip")
		for _, facing := range []int{1, -1} {
			l := s.landmarks(1.7, newFrame(tip, 0), pressed{})
			for n, p := range l {
				l[n] = Point{float64(facing)*p.X + 3, p.Y - 2, p.Z}
			}
			for _, side := range Both {
				got, err := MeasureJoints(l, side, facing)
				if err != nil {
					r.Fatal(err)
				}
				numtest.CloseAll(t, "joints",
					[]float64{got.Shoulder, got.Elbow, got.Hip, got.Knee, got.Ankle},
					[]float64{s.Shoulder[side], s.Elbow[side], s.Hip[side], s.Knee[side], s.Ankle[side] + toe}, 1e-9)
			}
		}
	})
}

// TestLengths: the pieces of any shape keep their lengths.
func TestLengths(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := anyShape(r)
		s.ArmsApart = pair(rapid.Float64Range(-20, 100).Draw(r, "arms"))
		s.LegsApart = pair(rapid.Float64Range(-20, 100).Draw(r, "legs"))
		h := rapid.Float64Range(1.2, 2.1).Draw(r, "height")
		f := newFrame(rapid.Float64Range(-180, 360).Draw(r, "tip"), rapid.Float64Range(-90, 90).Draw(r, "lean"))
		l := s.landmarks(h, f, pressed{})
		for _, side := range Both {
			for _, c := range []struct {
				from, to Landmark
				want     float64
			}{
				{Shoulders[side], Elbows[side], upperArm}, {Elbows[side], Wrists[side], forearm}, {Wrists[side], Hands[side], hand},
				{Hips[side], Knees[side], thigh}, {Knees[side], Ankles[side], shank}, {Heels[side], Toes[side], foot},
				{Neck, Vertex, head}, {Ankles[side], Heels[side], math.Hypot(sole, heelBack)},
			} {
				numtest.Close(t, string(c.from), l[c.from].Sub(l[c.to]).length(), c.want*h, 1e-12)
			}
		}
		numtest.Close(t, "trunk", l.mean(Shoulders).Sub(l.mean(Hips)).length(), (trunk+s.Push)*h, 1e-12)
	})
}

// TestLeftRight: swapping the sides of a shape is looking at it in a mirror, and
// the centre of mass stays in the middle plane of an even one.
func TestLeftRight(t *testing.T) {
	swap := func(v [2]float64) [2]float64 { return [2]float64{v[1], v[0]} }
	rapid.Check(t, func(r *rapid.T) {
		s := anyShape(r)
		s.LegsApart = [2]float64{rapid.Float64Range(0, 90).Draw(r, "left leg"), rapid.Float64Range(0, 90).Draw(r, "right leg")}
		m := s
		m.Shoulder, m.Elbow, m.Hip, m.Knee, m.Ankle = swap(s.Shoulder), swap(s.Elbow), swap(s.Hip), swap(s.Knee), swap(s.Ankle)
		m.LegsApart = swap(s.LegsApart)
		f := newFrame(rapid.Float64Range(0, 360).Draw(r, "tip"), 0)
		a, b := s.landmarks(1.7, f, pressed{}), m.landmarks(1.7, f, pressed{})
		for _, pair := range [][2]Landmark{Shoulders, Elbows, Wrists, Hands, Hips, Knees, Ankles, Heels, Toes, Ears} {
			p, q := a[pair[Left]], b[pair[Right]]
			numtest.CloseAll(t, string(pair[Left]), []float64{p.X, p.Y, p.Z}, []float64{q.X, q.Y, -q.Z}, 1e-12)
		}
		p, _ := CentreOfMass(a, DeLeva)
		q, _ := CentreOfMass(b, DeLeva)
		numtest.CloseAll(t, "centre", []float64{p.X, p.Y, p.Z}, []float64{q.X, q.Y, -q.Z}, 1e-12)
	})
}

// TestStandingHeights: a body that stands is as high as it is said to be, with
// the shoulder, hip and knee heights of Drillis & Contini 1966 as drawn in
// Winter, fig. 4.1: 0.818, 0.530, 0.285 of it.
func TestStandingHeights(t *testing.T) {
	l := settle(t, Stance{Shape: standing(), Tip: new(float64), On: []Support{{OnFeet, Both, 0}}}).Landmarks
	for n, want := range map[Landmark]float64{Vertex: 1, RightShoulder: 0.818, RightHip: 0.530, RightKnee: 0.285, RightToe: 0} {
		numtest.Close(t, string(n), l[n].Y/1.7, want, 1e-12)
	}
}

// TestLengthsAgainstDeLeva: lengths over body height against the mean lengths of
// the people de Leva 1996 reports, over their mean heights 1.741 m and 1.735 m
// (heights from memory). His thigh starts at the hip joint centre and is 0.212
// in women, his upper arm at the shoulder's and is 0.160; the proportions used
// here are from other people and outer landmarks.
func TestLengthsAgainstDeLeva(t *testing.T) {
	for _, c := range []struct {
		name, segment, ends string
		got, allowed        float64
	}{
		{"forearm", "Forearm", "EJC-WJC", forearm, 0.010}, {"foot", "Foot", "HEEL-TTIP", foot, 0.013},
		{"head", "Head 2", "VERT-CERV", head, 0.001}, {"shank", "Shank 2", "KJC-LMAL", shank, 0.004},
		{"upper arm", "Upper arm", "SJC-EJC", upperArm, 0.026}, {"thigh", "Thigh", "HJC-KJC", thigh, 0.020},
	} {
		row := published(t, "de_leva_1996_table4.csv", c.segment, "endpoints_proximal_distal", c.ends)
		male := numtest.Number(t, row["mean_length_mm_male"]) / 1741
		female := numtest.Number(t, row["mean_length_mm_female"]) / 1735
		numtest.Close(t, c.name, c.got, (male+female)/2, c.allowed)
	}
}

// TestIncluded: closed forms, and NaN where there is no angle.
func TestIncluded(t *testing.T) {
	o, x := Point{}, Point{X: 2}
	for _, c := range []struct {
		c    Point
		want float64
	}{{Point{X: 1}, 0}, {Point{Y: 3}, 90}, {Point{X: -1}, 180}, {Point{X: 1, Z: 1}, 45}, {o, math.NaN()}} {
		numtest.Close(t, "included", Included(x, o, c.c), c.want, 1e-12)
	}
}

func TestLean(t *testing.T) {
	l := Landmarks{LeftWrist: {}, RightWrist: {}, LeftAnkle: {X: 0.5, Y: 0.5}, RightAnkle: {X: 0.5, Y: 0.5}}
	got, err := Lean(l)
	if err != nil {
		t.Fatal(err)
	}
	numtest.Close(t, "lean towards +x", got, 45, 1e-12)
	delete(l, LeftAnkle)
	if _, err := Lean(l); !errors.Is(err, ErrNoLandmark) {
		t.Error(err)
	}
	if _, err := MeasureJoints(l, Left, 1); !errors.Is(err, ErrNoLandmark) {
		t.Error(err)
	}
}
