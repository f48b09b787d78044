package learner

import "math"

// Night lets so many nights pass: part of what is fresh settles and the rest
// fades; what is not practised falls back to where it began, slower the more it
// was practised (overlearning); capacities rest and fade; fatigue goes.
func (s *Student) Night(days int) {
	check(days >= 0, "time does not run backwards")
	for range days {
		s.night()
	}
}

func (s *Student) night() {
	for k := range skills {
		s.slow[k] += s.p.Night * s.fast[k]
		s.fast[k] *= (1 - s.p.Night) * math.Exp(-1/s.p.FastDays)
		s.fade(k, s.p.SlowDays*(1+s.done[k]/s.p.Over))
	}
	for k := skills; k < N; k++ {
		s.fade(k, s.p.DoseFade)
		s.rested[k]++
	}
	s.slowF *= math.Exp(-24 / slowHours)
	s.quickF = 0
}

// fade takes a slow trace a day towards its start, with 1/e left after so many.
func (s *Student) fade(k Component, days float64) {
	s.slow[k] = s.start[k] + (s.slow[k]-s.start[k])*math.Exp(-1/days)
}
