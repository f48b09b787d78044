package learner

import "math"

// Outcome is what a session came to.
type Outcome struct {
	Minutes float64 // prep and sets
	Hands   float64 // minutes on the hands
	Effort  float64 // 0 to 10, whole
	Pain    float64 // 0 to 10, whole
	Morning float64 // 0 to 10: the next morning
	Site    string  // where it hurts; empty: nowhere
	DaysOff int     // days without load on the hands that follow; the caller keeps them
}

// Capacities and pain: assumptions.
const (
	incidental = .35  // of a minute on the hands, as a dose to wrists and endurance
	mishap     = .005 // chance of pain in any session
	overload   = .25  // more of it where the load is far too much
	restDays   = 6
)

// Finish ends a session: capacities take their dose, and it may hurt.
func (s *Student) Finish() Outcome {
	for k := skills; k < N; k++ {
		s.grow(k)
	}
	out := Outcome{Minutes: s.minutes, Hands: s.hands, Effort: math.Round(math.Min(10, 2+6*s.slowF))}
	s.hurt(&out)
	return out
}

// grow gives a capacity its dose: less for each further minute, and less the
// shorter the rest since the last. Load on the hands is part of a dose to wrists
// and endurance by the way; a closed shoulder does not open by balancing.
func (s *Student) grow(k Component) {
	minutes := s.dose[k]
	if k != Shoulders {
		minutes += incidental * s.hands
	}
	if minutes == 0 || s.still {
		return
	}
	dose := -math.Expm1(-minutes / s.p.DoseMin)
	rest := -math.Expm1(-s.rested[k] / s.p.DoseDays)
	s.slow[k] += s.p.Dose * s.rate * dose * rest * (s.ceiling[k] - s.slow[k]) / 6
	s.rested[k] = 0
}

// hurt draws whether the session hurts: the wrists, mostly, and the likelier the
// further the minutes on the hands were past what they bear.
func (s *Student) hurt(out *Outcome) {
	u, where, how := s.rng.Float64(), s.rng.Float64(), s.rng.IntN(4)
	if u >= s.painful() {
		return
	}
	out.Site, out.DaysOff = "wrist", restDays
	if u < mishap && where < .5 {
		out.Site = "shoulder"
	}
	out.Pain = 3 + float64(how)
	out.Morning = out.Pain - 2
}

// painful is the chance that this session hurts.
func (s *Student) painful() float64 {
	bearable := s.p.BearMin * math.Exp(.4*s.slow[Wrists])
	return mishap + overload*sigmoid((s.hands/bearable-1.5)/.3)
}
