package holds

import "math"

// Model is a family fitted to the time beyond 1 s.
type Model struct {
	Family   Family
	Why      string  // why this family: see [Fit]; empty where the caller chose it
	Eta      float64 // ln of the scale in seconds
	Sigma    float64
	EtaSE    float64
	SigmaSE  float64 // 0 for the exponential, whose Sigma is fixed
	Cov      float64 // of Eta and Sigma
	LogLik   float64
	AIC      float64
	N        int // holds with their seconds, tallied best ones among them
	Falls    int
	Censored int
	Steps    int // of Newton's method until the gradient vanished
}

// From how many holds on [Fit] trusts two parameters, and a choice by AIC.
const (
	holdsForShape  = 8
	holdsForChoice = 200
)

// Beyond these Sigma is the trace of a likelihood without a maximum: holds that
// differ by a thousandth, or whose middle half spans nearly fifty powers of ten.
const (
	leastSigma = 1e-3
	mostSigma  = 50
)

// Fit estimates P(a caught hold lasts T) by a family for T - 1: the exponential
// under 8 holds, the log-logistic from 8, and from 200 the one of the three with
// the lowest AIC. It takes what [FitFamily] takes and fails as that does.
func Fit(t Tries) (Model, error) {
	s := newSample(t)
	switch {
	case s.n < holdsForShape:
		return s.choose("under 8 holds", Exponential)
	case s.n < holdsForChoice:
		return s.choose("under 200 holds", LogLogistic)
	}
	return s.choose("lowest AIC", Exponential, Weibull, LogLogistic)
}

// choose is the family with the lowest AIC of those that can be fitted.
func (s *sample) choose(why string, families ...Family) (Model, error) {
	var best Model
	var failed error
	for _, f := range families {
		m, err := s.fit(f)
		if err != nil {
			failed = err
		} else if best.Family == "" || m.AIC < best.AIC {
			best = m
		}
	}
	if best.Family == "" {
		return Model{}, failed
	}
	best.Why = why
	return best, nil
}

// FitFamily fits one family to T - 1 (at least 0.1 s) by maximum likelihood. A
// fall with timing doubt is an interval of seconds ± half, an exact one a density;
// a censored hold is a survival at its logged seconds, whose doubt is not used.
// Tallies enter as order statistics with their two best as falls, the doubt of
// each taken by itself.
//
// Standard errors are from the observed information; under about ten falls they
// are too small. ErrNoHolds, ErrNoFalls, and ErrShape where the likelihood has no
// finite maximum: all holds agree with one and the same time, with any spread, or
// with none at all after the first second.
// For an exact sample the exponential's mean is sum(T-1)/falls.
func FitFamily(f Family, t Tries) (Model, error) {
	s := newSample(t)
	return s.fit(f)
}

func (s *sample) fit(f Family) (Model, error) {
	law := f.shape()
	switch {
	case s.n == 0:
		return Model{}, ErrNoHolds
	case s.falls == 0:
		return Model{}, ErrNoFalls
	case s.onlySooner() || f.parameters() == 2 && s.oneTimeFits():
		return Model{}, ErrShape
	}
	a, b, steps, ok := s.climb(law, f.parameters() == 2)
	if !ok || 1/b < leastSigma || 1/b > mostSigma {
		return Model{}, ErrShape
	}
	m := Model{Family: f, Eta: -a / b, Sigma: 1 / b, Steps: steps,
		N: s.n, Falls: s.falls, Censored: s.censored}
	at := s.score(law, a, b)
	m.LogLik = at.v
	m.AIC = 2*float64(f.parameters()) - 2*at.v
	if f == Exponential {
		m.EtaSE = 1 / math.Sqrt(-at.daa)
		return m, nil
	}
	m.spread(at, a, b)
	return m, nil
}

// spread turns the observed information in (a, b) into standard errors.
func (m *Model) spread(at score, a, b float64) {
	det := at.daa*at.dbb - at.dab*at.dab
	va, vb, vab := -at.dbb/det, -at.daa/det, at.dab/det
	ea, eb, sb := -1/b, a/(b*b), -1/(b*b)
	m.EtaSE = math.Sqrt(ea*ea*va + 2*ea*eb*vab + eb*eb*vb)
	m.SigmaSE = math.Sqrt(sb * sb * vb)
	m.Cov = sb * (ea*vab + eb*vb)
}

// climb finds the maximum of the concave log-likelihood by Newton's method with
// halved steps, from the exponential of the same total time; b stays 1 unless
// free. Close by, where rounding hides a gain, the last step is taken on trust.
func (s *sample) climb(law shape, free bool) (a, b float64, steps int, ok bool) {
	a, b = math.Log(float64(s.falls)/s.secondsTotal), 1
	at := s.score(law, a, b)
	for steps = range 200 {
		da, db := at.step(free)
		gain := at.da*da + at.db*db
		if math.IsNaN(gain) {
			return a, b, steps, false
		}
		if gain < 1e-13*(1+math.Abs(at.v)) {
			return a + da, b + db, steps, true
		}
		next := s.score(law, a+da, b+db)
		for t := .5; !(b+db > 0 && next.v > at.v); {
			if t < 1e-10 {
				return a, b, steps, false
			}
			da, db, t = da/2, db/2, t/2
			next = s.score(law, a+da, b+db)
		}
		a, b, at = a+da, b+db, next
	}
	return a, b, steps, false
}

// step is Newton's step from here, in a alone where b is not free.
func (r score) step(free bool) (da, db float64) {
	if !free {
		return -r.da / r.daa, 0
	}
	det := r.daa*r.dbb - r.dab*r.dab
	return (r.dab*r.db - r.dbb*r.da) / det, (r.dab*r.da - r.daa*r.db) / det
}

// Reach is a model's P(T >= Seconds | caught).
type Reach struct {
	Seconds  float64
	Survival float64
	Lo, Hi   float64
	Level    float64
}

// Survival gives the model's chance that a caught hold reaches so many seconds, 1
// up to the first, with a delta-method interval on the scale of W. The interval
// takes the family as given: beyond the longest hold seen it is too short.
func (m Model) Survival(seconds, level float64) Reach {
	checkSeconds("time", seconds)
	checkOpen("level", level)
	r := Reach{Seconds: seconds, Survival: 1, Lo: 1, Hi: 1, Level: level}
	if seconds <= 1 {
		return r
	}
	law := m.Family.shape()
	w := (math.Log(seconds-1) - m.Eta) / m.Sigma
	half := normal(level) / m.Sigma * math.Sqrt(m.EtaSE*m.EtaSE+2*w*m.Cov+w*w*m.SigmaSE*m.SigmaSE)
	r.Survival, r.Lo, r.Hi = math.Exp(law.survival(w).v), math.Exp(law.survival(w+half).v), math.Exp(law.survival(w-half).v)
	return r
}

// Quantile is the time in seconds by which a share q of caught holds has ended.
func (m Model) Quantile(q float64) float64 {
	checkOpen("quantile", q)
	w := math.Log(-math.Log1p(-q))
	if m.Family == LogLogistic {
		w = math.Log(q / (1 - q))
	}
	return 1 + math.Exp(m.Eta+m.Sigma*w)
}
