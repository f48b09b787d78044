// Package holds turns hold times with censoring into curves, chances,
// comparisons, fitted families and the verdict whether a milestone is proven.
//
// It takes plain numbers; the caller decides, from the words of the log, what
// each try is:
//
//   - not caught: under 1 s, feet on the floor again. Counts as an attempt.
//   - excluded: a spot or pain before 1 s. Counts nowhere but in Excluded.
//   - a fall ([Hold].Fell): over, under, side, stepped, wall, spotted-save.
//   - censored: lowered in control, spotted-touch, or pain after the catch. Such
//     a hold would have gone on for an unknown time.
//
// Coming down because a fall was near is a fall: censoring that depends on what
// would have come next biases every estimate here towards longer holds.
//
// Seconds count from feet off, so a caught hold has 1 s or more. Numbers that
// cannot be (negative or infinite seconds, a level outside 0 to 1) are misuse and
// panic with the prefix "holds: "; data too thin for an answer returns one of the
// errors below.
package holds

import (
	"errors"
	"fmt"
	"math"
)

// Hold is one caught try.
type Hold struct {
	Seconds float64 // from feet off to its end
	Half    float64 // half-width of the timing doubt in seconds; 0 is exact
	Fell    bool    // ended by a fall; otherwise right-censored at Seconds
}

// Tally is a set logged as a count with its best two: Caught holds, of which the
// longest lasted Best and the next Second. A zero means not known. The ends are
// not logged, so the two are taken as falls.
type Tally struct {
	Caught       int
	Best, Second float64
	Half         float64 // half-width of the timing doubt in seconds
}

// Tries sums up a student's tries at one support over some time.
type Tries struct {
	Attempts int     // tries that count, caught or not; the excluded are not among them
	Caught   int     // of the attempts, those of 1 s or more
	Excluded int     // a spot or pain before 1 s; reported, never used
	Holds    []Hold  // the caught tries logged one by one
	Tallies  []Tally // the other caught tries; curves cannot use these, families can
}

// Errors of thin data. Compare with errors.Is.
var (
	ErrNoTries     = errors.New("holds: no tries")
	ErrNoHolds     = errors.New("holds: no hold was logged with its seconds")
	ErrNoFalls     = errors.New("holds: no hold ended in a fall")
	ErrNotFollowed = errors.New("holds: no hold was followed that long")
	ErrNoContrast  = errors.New("holds: no two groups have falls to compare")
	ErrShape       = errors.New("holds: these holds leave the parameters of the family open")
)

func checkSeconds(what string, v float64) {
	if !(v >= 0) || math.IsInf(v, 1) {
		panic(fmt.Sprintf("holds: %s is %v, want a finite number of 0 or more", what, v))
	}
}

func checkOpen(what string, v float64) {
	if !(v > 0 && v < 1) {
		panic(fmt.Sprintf("holds: %s is %v, want a number between 0 and 1", what, v))
	}
}

func checkHolds(holds []Hold) {
	for _, h := range holds {
		checkSeconds("seconds", h.Seconds)
		checkSeconds("half", h.Half)
	}
}

func (t Tries) check() {
	if t.Caught < 0 || t.Caught > t.Attempts || t.Excluded < 0 {
		panic(fmt.Sprintf("holds: %d caught of %d attempts, %d excluded", t.Caught, t.Attempts, t.Excluded))
	}
	seen := len(t.Holds)
	for _, y := range t.Tallies {
		y.check()
		seen += y.Caught
	}
	if seen > t.Caught {
		panic(fmt.Sprintf("holds: %d holds and tallied catches, but %d caught", seen, t.Caught))
	}
}

func (y Tally) check() {
	checkSeconds("best", y.Best)
	checkSeconds("second best", y.Second)
	checkSeconds("half", y.Half)
	if y.Caught < 0 || y.Second > y.Best || y.Best > 0 && y.Caught < 1 || y.Second > 0 && y.Caught < 2 {
		panic(fmt.Sprintf("holds: a tally of %d caught with best %v and %v", y.Caught, y.Best, y.Second))
	}
}
