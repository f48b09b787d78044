package assess

import (
	"math"

	"aplomb/internal/practice"
)

// outcome is what one attempt says of catching and holding.
type outcome struct {
	excluded   bool // pain or a spotter ended it before it could be caught
	catchKnown bool
	caught     bool
	held       bool    // caught, and for how long is known
	seconds    float64 // of the hold
	half       float64 // seconds of doubt either side
	fell       bool    // the hold ended in a fall; otherwise it is right-censored
}

// outcomeOf reads an attempt by the definitions of what counts: caught is a
// second or more; under that, a spotter or pain takes the try out of the count;
// over, under, side, stepped, wall and spotted-save are falls; an end nobody
// wrote down counts as a fall, the cautious reading.
func outcomeOf(a *practice.Attempt) outcome {
	var o outcome
	o.fell = a.End.Fell() || a.End == ""
	switch {
	case a.Seconds.Known:
		o.catchKnown, o.caught = true, a.Seconds.Value >= practice.CatchS
	case a.Passed.Known && practice.FreeTry(a.Drill):
		o.catchKnown, o.caught = true, a.Passed.Value
	}
	if !o.caught && (a.End == practice.SpottedSave || a.End == practice.SpottedTouch || a.End == practice.Pain) {
		return outcome{excluded: true}
	}
	if o.caught && a.Seconds.Known {
		o.held, o.seconds, o.half = true, a.Seconds.Value, halfWidth(a.Seconds.Value, a.Timed)
	}
	return o
}

// halfWidth is the doubt of a time in seconds, either side: 0.2 counted aloud
// or off a clip, 1 by one's own stopwatch or not said, and no finer than the
// rounding of the figure.
func halfWidth(seconds float64, timed practice.Timing) float64 {
	half := 1.0
	if timed == "counted" || timed == "clip" {
		half = 0.2
	}
	rounding := 0.05
	if seconds == math.Trunc(seconds) {
		rounding = 0.5
	}
	return max(half, rounding)
}

// supportOf is what held the student up in the attempt, empty where neither
// the row nor the library says.
func supportOf(lib *practice.Library, it *item) practice.Support {
	row := practice.Support("")
	if it.attempt != nil {
		row = it.attempt.Support
	} else {
		row = it.tally.Support
	}
	if row == "" && it.drill >= 0 {
		return lib.Drills[it.drill].Support
	}
	return row
}

// isHold says whether the row can count as a hold: a free try, or an inverted
// drill of the library that is measured by its hold.
func isHold(lib *practice.Library, it *item) bool {
	return it.free() || it.drill >= 0 && lib.Drills[it.drill].Measure == practice.HoldFor && lib.Drills[it.drill].Inverted()
}

func onFloor(s practice.Surface) bool { return s == "" || s == "floor" }

// coldTry reads a cold attempt as a try at holding T seconds: whether it counts
// as a try at all, and whether it passed. It passes from T seconds on whatever
// the end; a spot or pain before T is no try; coming down before T is a
// failure; a time nobody took says only whether it was caught. Holds on blocks
// and the like never count towards a floor milestone.
func coldTry(a *practice.Attempt, seconds float64) (counts, passed bool) {
	if !onFloor(a.Surface) || a.Support != "" && a.Support != practice.Open {
		return false, false
	}
	o := outcomeOf(a)
	if o.excluded || !o.catchKnown {
		return false, false
	}
	if !o.held {
		if o.caught && seconds > practice.CatchS {
			return false, false
		}
		return true, o.caught
	}
	if o.seconds >= seconds {
		return true, true
	}
	if a.End == practice.SpottedSave || a.End == practice.SpottedTouch || a.End == practice.Pain {
		return false, false
	}
	return true, false
}
