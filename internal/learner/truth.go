package learner

import "math"

// Chance is the true chance, 0 to 1, that one free try of today reaches so many
// seconds (1 or less: that it is caught), at the first rep of a session after
// prep (cold) or warm, with the slow fatigue there is and no quick one. It is
// for judging, never for planning.
func (s *Student) Chance(seconds float64, cold bool) float64 {
	check(seconds >= 0, "a hold has no negative seconds")
	lacking := 0.0
	if cold {
		lacking = s.lacking(0)
	}
	levels := s.levels(lacking)
	return s.chance(&levels, seconds)
}

func (s *Student) chance(levels *[N]float64, seconds float64) float64 {
	return s.catching(levels, s.slowF) * s.holding(levels, s.slowF).survives(seconds-catchS)
}

// Limiter is the component of which half a logit more would raise the cold
// chance of so many seconds most, and the next. It is for judging only.
func (s *Student) Limiter(seconds float64) (first, second Component) {
	levels := s.levels(s.lacking(0))
	best, next := math.Inf(-1), math.Inf(-1)
	for k := range levels {
		raised := levels
		raised[k] += .5
		switch p := s.chance(&raised, seconds); {
		case p > best:
			first, second, best, next = Component(k), first, p, best
		case p > next:
			second, next = Component(k), p
		}
	}
	return first, second
}
