package skill

import "math"

// Residual is how far the tries of one week fell from what was foretold of them.
type Residual struct {
	Z     float64 // mean 0, standard deviation 1 while the model holds; below 0 is worse than foretold
	Tries int     // that it rests on
	Timed int     // sets or tries with a timed hold among them
}

// account adds up the one-step prediction errors of a week, of catches and of
// holds apart.
type account struct {
	catch, hold book
	tries       int
}

// book is a sum of scores and of their variances.
type book struct {
	score, variance float64
	n               int
}

// add books one observation as the members saw it. The score of a member's
// prediction has mean 0 under that member; weighted by the bank as it stands
// after the observation it is the score of the mixture. A likelihood to the power
// temper takes the observation's own variance for 1/temper of what it is; the
// score varies by that much less.
func (b *book) add(weights *[bankSize]float64, steps *[bankSize]step) {
	for i, w := range weights {
		b.score += w * steps[i].shift
		b.variance += w * steps[i].shrink * (temper + (1-temper)*steps[i].doubt)
	}
	b.n++
}

func (b *book) z() float64 { return b.score / math.Sqrt(b.variance) }

// CloseWeek gives the standardised prediction residual of everything folded in
// since the last call, for [Stall], and opens a new week.
//
// Each try is held against the prediction made just before it (so residuals are
// hardly autocorrelated while the model holds, .14 at lag 1 for the tempering, as
// filtered means are): the score of
// the prediction, sum over sqrt of its variance, which for normal observations
// is the usual innovation over its standard deviation, for one catch (y - p) /
// sqrt(p(1-p)), and which takes censored and rounded holds as they are. Catches
// and holds are standardised apart and count alike, their sum over sqrt 2: pooled
// by information, a week of many catches would weigh more than one of few, and
// the mean would fall below 0. The drift is part of the prediction: a student who
// only stops improving falls below it. ErrNoTries when the week had none.
func (h *Headline) CloseWeek() (Residual, error) {
	a := h.week
	h.week = account{}
	if a.tries == 0 {
		return Residual{}, ErrNoTries
	}
	r := Residual{Z: a.catch.z(), Tries: a.tries, Timed: a.hold.n}
	if a.hold.n > 0 {
		r.Z = (r.Z + a.hold.z()) / math.Sqrt2
	}
	return r, nil
}
