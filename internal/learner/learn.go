package learner

import "math"

// challenge is what a rep with this chance of success teaches, from Floor to 1:
// an inverted U (Guadagnoli & Lee 2004 give its form, no figures).
func (s *Student) challenge(chance float64) float64 {
	hump := math.Pow(chance, s.p.Alpha) * math.Pow(1-chance, s.p.Beta) / s.most
	return s.p.Floor + (1-s.p.Floor)*hump
}

// peakOf is the highest value of p^alpha (1-p)^beta, at p = alpha/(alpha+beta).
func peakOf(alpha, beta float64) float64 {
	p := alpha / (alpha + beta)
	return math.Pow(p, alpha) * math.Pow(1-p, beta)
}

// learn gives a rep's worth to a skill and a little of it to the others: two
// traces, each by its share of what is still missing (two-rate structure of
// Smith et al. 2006). weight is in reps.
func (s *Student) learn(c Component, chance, weight float64, changed bool) {
	worth := weight * s.challenge(chance)
	if changed {
		worth *= 1 + s.p.Contrast
	}
	gain := worth * s.rate * math.Exp(-s.p.Tired*s.tiring*s.slowF)
	if s.still {
		gain = 0
	}
	for k := range skills {
		part := (1 - s.p.Own) / float64(skills-1)
		if k == c {
			part = s.p.Own
		}
		gap := s.ceiling[k] - s.Level(k)
		s.fast[k] += s.p.FastGain * part * gain * gap
		s.slow[k] += s.p.SlowGain * part * gain * gap
		s.done[k] += part * worth
	}
}

// overwrite is what a rep of any skill does to all fast traces: they fade a
// little, and only what a night makes slow stays.
func (s *Student) overwrite() {
	for k := range s.fast {
		s.fast[k] *= s.p.FastKept
	}
}

// tire adds a rep's fatigue and lets the quick one fade over the seconds of
// work and rest.
func (s *Student) tire(load, seconds float64) {
	s.slowF += s.p.Slow * load
	s.quickF += s.p.Quick * load
	s.quickF *= math.Exp(-seconds / 60 / quickMinutes)
}

const (
	hard         = 2.5  // what a free try tires, in reps of a drill: assumption
	quickMinutes = 4.0  // until 1/e of quick fatigue is left: assumption
	slowHours    = 18.0 // until 1/e of slow fatigue is left: assumption
)
