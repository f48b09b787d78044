// Package skill says where a student stands, how surely and how that drifts:
// two filters over one student's log, what limits the student, when a
// milestone may come, whether progress has stalled, and how hard drills are.
//
// [Headline] follows the chance to catch a handstand and how long it then
// lasts; [Components] follows one ability per component from drills and
// probes. They share one update (laplace.go): any log-concave likelihood of
// one linear predictor is folded into a normal state by its mode and curvature.
//
// Across a whole roster, in batches: [Refit] learns how hard drills are,
// [FitGrowth] what a set of a drill gives, [FitCues] what cues do, [FitAsks] what
// a milestone asks of the components. Each says how far the log tells it.
//
// Units: seconds of hold, whole days, probabilities 0 to 1, and logits for
// everything else; hold lengths live on the logarithm of the seconds beyond the
// first, ln(T-1), because a catch is a hold of at least 1 s. Misuse (a negative
// count, a hold under 1 s called caught) panics with the prefix "skill: "; the
// caller validates its input first. Where nothing can be said there is a named
// error; where little is known the intervals are wide.
//
// Guesses are marked as such: no published handstand data fix the priors, the
// process noise or the pad, and every one of them is a named constant.
package skill

import "errors"

// ErrNoTries is returned where an answer about a student is asked of a filter
// that has seen none of the student's tries.
var ErrNoTries = errors.New("skill: no tries yet")

func check(ok bool, what string) {
	if !ok {
		panic("skill: " + what)
	}
}
