// Package body measures and builds the human body as landmarks: segment masses
// and centres, the whole body's centre of mass, joint angles, and a body set on
// its supports from its joint angles.
//
// Points are in one length unit (metres unless a caller says otherwise) with x
// to the side the standing body faces, y up and z to its right; a point in a
// picture has z = 0, and image coordinates, whose y grows downwards, are turned
// over first. Angles are in degrees. A body seen with its right side towards
// the viewer therefore faces right, and left and right are the body's own.
package body

import (
	"errors"
	"fmt"
	"math"
)

// Point is a place in metres.
type Point struct{ X, Y, Z float64 }

// Add is p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y, p.Z + q.Z} }

// Sub is p - q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y, p.Z - q.Z} }

// Times is p stretched by k.
func (p Point) Times(k float64) Point { return Point{k * p.X, k * p.Y, k * p.Z} }

func (p Point) dot(q Point) float64 { return p.X*q.X + p.Y*q.Y + p.Z*q.Z }

func (p Point) length() float64 { return math.Sqrt(p.dot(p)) }

func middle(p, q Point) Point { return p.Add(q).Times(0.5) }

// Side is the body's left or right.
type Side int

// The sides, as indices of a pair.
const (
	Left Side = iota
	Right
)

// Both are the two sides.
var Both = []Side{Left, Right}

func (s Side) String() string { return [...]string{"left", "right"}[s] }

// Landmark is a named place on the body.
type Landmark string

// The 17 landmarks of the COCO keypoint task, and those the segments and the
// supports need beyond them.
const (
	Nose          Landmark = "nose"
	LeftEye       Landmark = "left_eye"
	RightEye      Landmark = "right_eye"
	LeftEar       Landmark = "left_ear"
	RightEar      Landmark = "right_ear"
	LeftShoulder  Landmark = "left_shoulder"
	RightShoulder Landmark = "right_shoulder"
	LeftElbow     Landmark = "left_elbow"
	RightElbow    Landmark = "right_elbow"
	LeftWrist     Landmark = "left_wrist"
	RightWrist    Landmark = "right_wrist"
	LeftHip       Landmark = "left_hip"
	RightHip      Landmark = "right_hip"
	LeftKnee      Landmark = "left_knee"
	RightKnee     Landmark = "right_knee"
	LeftAnkle     Landmark = "left_ankle"
	RightAnkle    Landmark = "right_ankle"

	LeftHand  Landmark = "left_hand" // tip of the middle finger
	RightHand Landmark = "right_hand"
	LeftHeel  Landmark = "left_heel"
	RightHeel Landmark = "right_heel"
	LeftToe   Landmark = "left_toe" // tip of the longest toe
	RightToe  Landmark = "right_toe"
	Neck      Landmark = "neck" // tip of the spine of the seventh neck vertebra
	Vertex    Landmark = "vertex"
	Waist     Landmark = "waist" // half way down the trunk, where a rounded back stands out most
)

// The joints and ends of the limbs, by [Side].
var (
	Shoulders = [2]Landmark{LeftShoulder, RightShoulder}
	Elbows    = [2]Landmark{LeftElbow, RightElbow}
	Wrists    = [2]Landmark{LeftWrist, RightWrist}
	Hands     = [2]Landmark{LeftHand, RightHand}
	Hips      = [2]Landmark{LeftHip, RightHip}
	Knees     = [2]Landmark{LeftKnee, RightKnee}
	Ankles    = [2]Landmark{LeftAnkle, RightAnkle}
	Heels     = [2]Landmark{LeftHeel, RightHeel}
	Toes      = [2]Landmark{LeftToe, RightToe}
	Ears      = [2]Landmark{LeftEar, RightEar}
)

// ErrNoLandmark is wrapped where a measure needs a landmark that is not there.
var ErrNoLandmark = errors.New("body: a landmark is missing")

// Landmarks are the known places of one body at one instant.
type Landmarks map[Landmark]Point

// need returns the landmarks asked for, or says which one is missing.
func (l Landmarks) need(names ...Landmark) ([]Point, error) {
	out := make([]Point, len(names))
	for i, n := range names {
		p, ok := l[n]
		if !ok {
			return nil, fmt.Errorf("%w: %s", ErrNoLandmark, n)
		}
		out[i] = p
	}
	return out, nil
}

// mean is the point half way between a landmark of both sides.
func (l Landmarks) mean(pair [2]Landmark) Point { return middle(l[pair[Left]], l[pair[Right]]) }

func sin(deg float64) float64 { return math.Sin(deg * math.Pi / 180) }

func cos(deg float64) float64 { return math.Cos(deg * math.Pi / 180) }

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
