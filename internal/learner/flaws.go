package learner

import (
	"math"
	"math/rand/v2"
)

// Flaws are what real logs suffer from, each by a rate of its own; the zero
// value is a perfect log. What is drawn depends on the seed and on the number of
// the session, row, set, day or week alone, never on what was drawn before, so
// one flaw can be switched on without changing another. All rates are the
// caller's; a rate outside 0 to 1 is misuse.
type Flaws struct {
	Missed     float64 // share of sessions missed, over and above adherence
	Forgotten  float64 // share of rows that are never written
	WholeS     float64 // share of holds written in whole seconds
	FiveS      float64 // share of holds written in fives
	BestOnly   float64 // share of sets of which only the best try is written
	WarmAsCold float64 // share of days on which what came upside down before the cold tries is not written
	Ill        float64 // chance that a week is lost to illness
	Quit       float64 // chance in each week that the student stops for good
}

// Each flaw draws from a stream of its own.
const (
	missedStream = iota + 1
	forgottenStream
	roundStream
	bestStream
	warmStream
	illStream
	quitStream
)

// Misses says whether the session of this number is missed.
func (f Flaws) Misses(seed uint64, session int) bool {
	return strikes(f.Missed, seed, missedStream, session)
}

// Forgets says whether the row of this number is never written.
func (f Flaws) Forgets(seed uint64, row int) bool {
	return strikes(f.Forgotten, seed, forgottenStream, row)
}

// Written is how a caught hold of so many seconds is written in the row of this
// number: as it was, in whole seconds, or in fives (whole seconds where that
// would come to none). It is never less than the second of a catch.
func (f Flaws) Written(seed uint64, row int, seconds float64) float64 {
	check(f.WholeS >= 0 && f.FiveS >= 0 && f.WholeS+f.FiveS <= 1, "the shares of rounded holds come to 1 at most")
	switch u := uniform(seed, roundStream, row); {
	case u < f.FiveS && seconds >= 2.5:
		return 5 * math.Round(seconds/5)
	case u < f.FiveS+f.WholeS:
		return math.Max(catchS, math.Round(seconds))
	}
	return seconds
}

// Keeps is which tries of the set of this number are written, as a part of reps:
// all, or the best alone.
func (f Flaws) Keeps(seed uint64, set int, reps []Rep) []Rep {
	if len(reps) == 0 || !strikes(f.BestOnly, seed, bestStream, set) {
		return reps
	}
	best := 0
	for i, r := range reps {
		if r.Seconds > reps[best].Seconds {
			best = i
		}
	}
	return reps[best : best+1]
}

// HidesWarmUp says whether the day of this number goes without the rows of what
// was done upside down before the cold tries, so that warm tries look cold.
func (f Flaws) HidesWarmUp(seed uint64, day int) bool {
	return strikes(f.WarmAsCold, seed, warmStream, day)
}

// IsIll says whether the week of this number is lost to illness.
func (f Flaws) IsIll(seed uint64, week int) bool { return strikes(f.Ill, seed, illStream, week) }

// HasQuit says whether the student has stopped for good by the week of this
// number, from 0: once true, true for all later weeks.
func (f Flaws) HasQuit(seed uint64, week int) bool {
	check(f.Quit >= 0 && f.Quit <= 1, "a rate is 0 to 1")
	stays := math.Pow(1-f.Quit, float64(week+1))
	return uniform(seed, quitStream, 0) >= stays
}

func strikes(rate float64, seed, stream uint64, number int) bool {
	check(rate >= 0 && rate <= 1, "a rate is 0 to 1")
	return uniform(seed, stream, number) < rate
}

// uniform is a number in [0, 1) that belongs to a seed, a stream and a number.
func uniform(seed, stream uint64, number int) float64 {
	var source rand.PCG
	source.Seed(seed, stream<<48^uint64(number))
	return float64(source.Uint64()>>11) / (1 << 53)
}
