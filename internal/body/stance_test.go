package body

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/numtest"
)

func standing() Shape {
	s := Straight()
	s.Shoulder, s.Ankle = pair(0), pair(90)
	return s
}

func settle(t testing.TB, s Stance) Settled {
	t.Helper()
	s.Height, s.Table = 1.7, DeLeva
	got, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func onHands(s Shape) Stance { return Stance{Shape: s, On: []Support{{OnHands, Both, 0}}} }

// TestStraightHandstand: a body 1.70 m high, upside down in one line, has its
// centre of mass 0.95 m above the wrists with the segment masses of Plagenhoef
// 1983 and Winter (worked out apart from this program, to the centimetre).
func TestStraightHandstand(t *testing.T) {
	s := Straight()
	s.Push = 0.02 // shoulders pushed up, as the arms overhead do
	got := settle(t, onHands(s))
	if math.Abs(got.Centre.Y-0.95) > 0.025 {
		t.Errorf("the centre of mass is %.3f m above the wrists", got.Centre.Y)
	}
	winter, err := CentreOfMass(got.Landmarks, Winter)
	if err != nil || math.Abs(winter.Y-0.95) > 0.025 {
		t.Errorf("by Winter's table %.3f m, %v", winter.Y, err)
	}
}

// TestBalances: every shape on the hands that can be balanced is, over the
// middle of the palms, with the hands on what carries them.
func TestBalances(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := Straight()
		s.Hip = [2]float64{rapid.Float64Range(40, 220).Draw(r, "left hip"), rapid.Float64Range(40, 220).Draw(r, "right hip")}
		s.Knee = pair(rapid.Float64Range(40, 180).Draw(r, "knees"))
		s.Shoulder = pair(rapid.Float64Range(130, 190).Draw(r, "shoulders"))
		high := rapid.Float64Range(0, 0.5).Draw(r, "height")
		got := settle(t, Stance{Shape: s, On: []Support{{OnHands, Both, high}}})
		numtest.Close(t, "centre", got.Centre.X, 0.02*1.7, 1e-9)
		numtest.Close(t, "wrists", got.Landmarks.mean(Wrists).X, 0, 1e-12)
		numtest.Close(t, "hands", got.Landmarks[RightWrist].Y, high, 1e-12)
		numtest.Close(t, "palm flat", got.Landmarks[LeftHand].Y, high, 1e-12)
		if got.Landmarks[RightHip].Y < got.Landmarks[RightWrist].Y {
			t.Errorf("hanging below the hands at %.0f", got.Tip)
		}
		over, err := OverHands(got.Landmarks, DeLeva)
		if err != nil {
			t.Fatal(err)
		}
		numtest.Close(t, "over the hands", over, got.Centre.X, 1e-9)
	})
}

// TestMeetsBoth: on hands and toes the body tips until both are at their
// heights, face down.
func TestMeetsBoth(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := Straight()
		s.Shoulder, s.Ankle = pair(rapid.Float64Range(60, 110).Draw(r, "shoulders")), pair(100)
		high := rapid.Float64Range(0, 0.6).Draw(r, "box")
		l := settle(t, Stance{Shape: s, On: []Support{{OnHands, Both, 0}, {OnToes, Both, high}}}).Landmarks
		for _, side := range Both {
			numtest.Close(t, "hand", l[Wrists[side]].Y, 0, 1e-9)
			numtest.Close(t, "toe", l[Toes[side]].Y, high, 1e-9)
		}
		if l[Nose].Y > l[LeftEar].Y {
			t.Error("face up")
		}
	})
}

// TestReaches: with the trunk given, the back leg of a lunge finds the floor by
// its hip, and the rest of the shape stays.
func TestReaches(t *testing.T) {
	s, tip := standing(), 5.0
	s.Hip, s.Knee = [2]float64{Left: 190, Right: 110}, [2]float64{Left: 175, Right: 115}
	got := settle(t, Stance{Shape: s, Tip: &tip, On: []Support{{OnFeet, []Side{Right}, 0}, {OnToes, []Side{Left}, 0}}})
	for n, want := range map[Landmark]float64{RightToe: 0, RightHeel: 0, LeftToe: 0} {
		numtest.Close(t, string(n), got.Landmarks[n].Y, want, 1e-9)
	}
	if got.Shape.Hip[Right] != 110 || got.Shape.Hip[Left] < 180 || got.Tip != tip {
		t.Errorf("turned: hips %v, tip %v", got.Shape.Hip, got.Tip)
	}
}

// TestWall: a straight body tips until its toes meet a wall on the chest side,
// its heels one on the back side; the lean is the closed form of its length.
func TestWall(t *testing.T) {
	for _, c := range []struct {
		touch [2]Landmark
		x     float64
	}{{Toes, -0.3}, {Heels, 0.3}} {
		s := onHands(Straight())
		s.Wall = &Wall{c.touch, c.x}
		got := settle(t, s)
		l := got.Landmarks
		numtest.Close(t, "touch", l[c.touch[Left]].X, c.x, 1e-9)
		lean, err := Lean(l)
		if err != nil {
			t.Fatal(err)
		}
		long := (upperArm + forearm + trunk + thigh + shank) * 1.7
		numtest.Close(t, "ankles", l[LeftAnkle].X, long*sin(lean), 1e-9)
	}
	s := onHands(Straight())
	s.Wall, s.Height, s.Table = &Wall{Toes, -5}, 1.7, DeLeva
	if _, err := s.Settle(); !errors.Is(err, ErrNoFit) {
		t.Errorf("a wall out of reach: %v", err)
	}
}

// TestRests: each support is at its height, with the limb flat that lies flat.
func TestRests(t *testing.T) {
	level, up := 90.0, 0.0
	face := 270.0
	bent := Straight()
	bent.Shoulder, bent.Hip = pair(90), pair(90)
	for _, c := range []struct {
		name string
		s    Stance
		at   map[Landmark]float64
	}{
		{"forearms", Stance{Shape: bent, Tip: &level, On: []Support{{OnForearms, Both, 0.4}}}, map[Landmark]float64{LeftElbow: 0.4, LeftWrist: 0.4, RightHand: 0.4}},
		{"knees", Stance{Shape: Straight(), Tip: &up, On: []Support{{OnKnees, Both, 0}}}, map[Landmark]float64{LeftKnee: 0, RightAnkle: 0}},
		{"seat", Stance{Shape: bent, Tip: &up, On: []Support{{OnSeat, nil, 0}}}, map[Landmark]float64{LeftHip: TrunkRadius * 1.7, RightAnkle: TrunkRadius * 1.7}},
		{"back", Stance{Shape: Straight(), Tip: &face, On: []Support{{OnBack, nil, 0}}}, map[Landmark]float64{LeftHip: TrunkRadius * 1.7, RightShoulder: TrunkRadius * 1.7}},
		{"belly", Stance{Shape: Straight(), Tip: &level, On: []Support{{OnBelly, nil, 0}}}, map[Landmark]float64{LeftHip: TrunkRadius * 1.7}},
		{"side", Stance{Shape: Straight(), Tip: &up, Lean: 90, On: []Support{{OnSide, nil, 0}}}, map[Landmark]float64{RightShoulder: TrunkRadius * 1.7}},
	} {
		got := settle(t, c.s)
		for n, want := range c.at {
			numtest.Close(t, c.name+" "+string(n), got.Landmarks[n].Y, want, 1e-9)
		}
		b := got.Base
		if !(b.MinX < b.MaxX && b.MinZ < b.MaxZ) {
			t.Errorf("%s: base %+v", c.name, b)
		}
	}
}

// TestRoundedBack: the waist stands out of a back bent like an arc of a circle
// by its sagitta.
func TestRoundedBack(t *testing.T) {
	s := Straight()
	for _, bend := range []float64{-60, 0, 40} {
		s.Spine = bend
		l := s.landmarks(1, newFrame(0, 0), pressed{})
		want := 0.0
		if bend != 0 {
			want = trunk / 2 / sin(bend/2) * (1 - cos(bend/2))
		}
		numtest.Close(t, "waist", -l[Waist].X, want, 1e-12)
	}
}

func TestNoFit(t *testing.T) {
	s, tip := standing(), 0.0
	for name, stance := range map[string]Stance{
		"a hand that cannot reach the floor": {Shape: s, Tip: &tip, On: []Support{{OnFeet, Both, 0}, {OnHands, Both, 0}}},
		"a box out of reach":                 {Shape: Straight(), On: []Support{{OnHands, Both, 0}, {OnToes, Both, 4}}},
	} {
		stance.Height, stance.Table = 1.7, DeLeva
		if _, err := stance.Settle(); !errors.Is(err, ErrNoFit) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, misuse := range map[string]Stance{"nothing to rest on": {Height: 1.7}, "no height": onHands(s)} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			_, _ = misuse.Settle()
		}()
	}
}

func BenchmarkSettle(b *testing.B) {
	s := Straight()
	s.Hip = pair(90)
	for b.Loop() {
		settle(b, onHands(s))
	}
}
