package holds

import "math"

// Chance is P(a try reaches Seconds), catch included.
type Chance struct {
	Seconds  float64
	P        float64
	Lo, Hi   float64
	Level    float64
	Method   Method
	Catch    float64 // P(catch)
	Survival float64 // P(T >= Seconds | caught); NaN where nothing was caught
	Attempts int
	Caught   int
	Holds    int     // holds the survival rests on
	Censored int     // of them
	AtRisk   int     // holds that lasted at least Seconds
	NEff     float64 // tries without censoring that would tell as much
}

// AtLeast estimates P(>= t) = P(catch) S(t- | caught): the catch rate over all
// attempts, the survival from the holds logged one by one (tallies add to the
// catch rate only).
//
// The variance is by the delta method, S² c(1-c)/n + c² Var(S), Var(S) Greenwood's,
// and the interval is Wilson's with NEff = P(1-P)/Var(P) tries; with no censoring
// that is Wilson on the count of tries that reached t. Where P is 0 or 1 the
// variance says nothing, and NEff is the tries that were seen to reach t or to end
// before it: a hold lowered before t tells nothing of t. Attempts are taken as
// independent with an equal chance. Coverage of a 95% interval in simulation is
// 92 to 97%, lowest where most holds are lowered before t.
//
// ErrNoTries, ErrNoHolds (caught, but no seconds logged) and ErrNotFollowed (the
// longest hold was shorter than t and did not end in a fall: the data do not say).
func (t Tries) AtLeast(seconds, level float64) (Chance, error) {
	t.check()
	checkSeconds("time", seconds)
	checkOpen("level", level)
	if t.Attempts == 0 {
		return Chance{}, ErrNoTries
	}
	r := Chance{Seconds: seconds, Level: level, Method: Wilson, Attempts: t.Attempts, Caught: t.Caught, Holds: len(t.Holds),
		Catch: float64(t.Caught) / float64(t.Attempts), Survival: math.NaN()}
	stdErr, fell := 0.0, 0
	if t.Caught > 0 {
		curve, err := KaplanMeier(t.Holds, Plain, level)
		if err != nil {
			return Chance{}, err
		}
		p, err := curve.Before(seconds)
		if err != nil {
			return Chance{}, err
		}
		r.Survival, r.AtRisk, r.Censored = p.Survival, p.AtRisk, curve.Censored
		r.P, stdErr, fell = r.Catch*p.Survival, p.StdErr, curve.fallsBefore(seconds)
	}
	r.NEff = r.effective(stdErr, fell)
	r.Lo, r.Hi = wilson(r.P, r.NEff, level)
	return r, nil
}

// effective is the number of uncensored tries that would tell as much of P, given
// the standard error of the survival and the holds that fell before Seconds.
func (r Chance) effective(stdErr float64, fell int) float64 {
	if r.P == 0 || r.P == 1 {
		return float64(r.Attempts - r.Caught + fell + r.AtRisk)
	}
	byCatch := r.Survival * r.Survival * r.Catch * (1 - r.Catch) / float64(r.Attempts)
	byHold := r.Catch * r.Catch * stdErr * stdErr
	return r.P * (1 - r.P) / (byCatch + byHold)
}
