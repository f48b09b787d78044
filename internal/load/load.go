// Package load measures how much a student did and says how much more may
// come: session load, hand-loading minutes, the step rule and the pain rule.
//
// It describes load. It never turns load into a chance of injury, and it has
// no ratio of recent to usual load: dividing by made-up usual loads "predicts"
// as well as dividing by the real ones (Impellizzeri et al. 2020, Int J Sports
// Physiol Perform 15:907-913).
//
// Days are integers, counted from any day the caller likes; daily series have
// one value a day, oldest first, with 0 for a day of rest. Unknown is NaN and
// is allowed only where a comment says so. Impossible input panics.
package load

import "math"

// Session is the load of one session in arbitrary units: effort (0 to 10, the
// student's rating of the whole session) times minutes. Foster C et al. (2001)
// J Strength Cond Res 15(1):109-115.
func Session(effort, minutes float64) float64 {
	if !(effort >= 0 && effort <= 10) {
		panic("load: effort is 0 to 10")
	}
	mustBeAmounts(minutes)
	return effort * minutes
}

func mustBeAmounts(amounts ...float64) {
	for _, v := range amounts {
		if !(v >= 0) || math.IsInf(v, 1) {
			panic("load: an amount of load is finite and not negative")
		}
	}
}
