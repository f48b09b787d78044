package skill

import "math"

// Evidence is how far a roster's log tells what was asked of it.
type Evidence string

// The log tells enough to go by, too little, or nothing.
const (
	Enough Evidence = "enough"
	Few    Evidence = "few"
	None   Evidence = "none"
)

// Guesses of when a log tells enough to go by: something that five students
// show is not the quirk of one, and what leaves a guess more than half as
// doubtful as it was (in variance) is still mostly the guess.
const (
	LeastStudents = 5
	LeastTold     = .5
)

// RosterLevel is the level of the intervals of everything learned across a
// roster.
const RosterLevel = .8

// Learned is a number learned across a roster with its doubt.
type Learned struct {
	Mean, SD float64 // posterior
	Lo, Hi   float64 // interval of [RosterLevel], normal
}

func learned(mean, variance float64) Learned {
	const z = 1.2815515655446004 // normal quantile of .9
	sd := math.Sqrt(math.Max(variance, 0))
	return Learned{mean, sd, mean - z*sd, mean + z*sd}
}

// told judges by students and by the share of the guess's variance taken away.
func told(students int, share float64) Evidence {
	switch {
	case students == 0:
		return None
	case students < LeastStudents || share < LeastTold:
		return Few
	}
	return Enough
}
