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
	Holds    int     // holds the survival rests on
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
	r := Chance{Seconds: seconds, Level: level, Method: Wilson, Attempts: t.Attempts, Holds: len(t.Holds),
		Catch: float64(t.Caught) / float64(t.Attempts), Survival: math.NaN()}
	stdErr := 0.0
	if t.Caught > 0 {
		curve, err := KaplanMeier(t.Holds, Plain, level)
		if err != nil {
			return Chance{}, err
		}
		p, err := curve.Before(seconds)
		if err != nil {
			return Chance{}, err
		}
		r.Survival, r.AtRisk, r.P, stdErr = p.Survival, p.AtRisk, r.Catch*p.Survival, p.StdErr
	}
	r.NEff = t.effective(r, stdErr)
	r.Lo, r.Hi = wilson(r.P, r.NEff, level)
	return r, nil
}

// effective is the number of uncensored tries that would tell as much of r.P.
func (t Tries) effective(r Chance, stdErr float64) float64 {
	if r.P > 0 && r.P < 1 {
		byCatch := r.Survival * r.Survival * r.Catch * (1 - r.Catch) / float64(t.Attempts)
		byHold := r.Catch * r.Catch * stdErr * stdErr
		return r.P * (1 - r.P) / (byCatch + byHold)
	}
	seen := t.Attempts - t.Caught + r.AtRisk
	for _, h := range t.Holds {
		if h.Fell && h.Seconds < r.Seconds {
			seen++
		}
	}
	return float64(seen)
}
