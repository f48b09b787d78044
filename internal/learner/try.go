package learner

import "math"

// End is how a free try ended.
type End int

// Ends of a free try: the falls, and coming down on purpose at a goal.
const (
	Over End = iota
	Under
	Side
	Stepped
	Lowered
)

func (e End) String() string { return [...]string{"over", "under", "side", "stepped", "lowered"}[e] }

// try is one free try, held to the goal at most.
func (s *Student) try(goal float64, changed bool) Rep {
	tired := s.quickF + s.slowF
	levels := s.levels(s.lacking(s.rep))
	chance, hold := s.catching(&levels, tired), s.holding(&levels, tired)
	caught := s.rng.Float64() < chance
	t := catchS + hold.draw(s.rng.ExpFloat64(), s.rng.ExpFloat64(), s.rng.ExpFloat64())
	end := s.fall(&levels, caught)
	s.lesson(&levels, chance, tired, caught, changed)
	if !caught {
		return Rep{End: end}
	}
	if goal > 0 && t >= goal {
		t, end = goal, Lowered
	}
	s.balanced(hold.survives(lessonS-catchS), t)
	return Rep{Passed: true, Caught: true, Seconds: t, End: end}
}

// lesson is what a try teaches before any balancing: to enter, and, where it was
// caught or left cleanly, not to fear.
func (s *Student) lesson(levels *[N]float64, chance, tired float64, caught, changed bool) {
	clean := sigmoid(levels[Exit] - s.p.Penalty*tired)
	weight := s.p.TryLesson
	if !caught {
		weight *= clean
	}
	s.overwrite()
	s.learn(Entry, chance, 1, changed)
	s.learn(Confidence, chance+(1-chance)*clean, weight, false)
}

// balanced is what a caught try teaches: balance, line and tension are learnt
// only while balancing.
func (s *Student) balanced(five, seconds float64) {
	weight := math.Min(1, seconds/lessonS)
	s.learn(Balance, five, weight, false)
	s.learn(Line, five, weight, false)
	s.learn(Tension, five, weight, false)
}

// Where falls go: fixed parts to the side and to walking hands, the rest over or
// under, under more likely where entry is the weaker and before the catch, over
// where balance is. All a guess.
const (
	sideways    = .12
	walking     = .08
	leanSlope   = .5 // logits of over, a logit of entry above balance
	shortOfKick = -1 // logits of over, before the catch
)

func (s *Student) fall(levels *[N]float64, caught bool) End {
	lean := leanSlope * (s.entering(levels) - levels[Balance])
	if !caught {
		lean += shortOfKick
	}
	over := (1 - sideways - walking) * sigmoid(lean)
	switch u := s.rng.Float64(); {
	case u < sideways:
		return Side
	case u < sideways+walking:
		return Stepped
	case u < sideways+walking+over:
		return Over
	}
	return Under
}

// entering is entry less what fear takes from it: a kick that fears to tip over
// stops short. It bears on free tries only; a wall or a spotter takes the fear.
func (s *Student) entering(levels *[N]float64) float64 {
	return levels[Entry] - s.p.Gate*softplus(-levels[Confidence])
}

func softplus(x float64) float64 { return math.Max(x, 0) + math.Log1p(math.Exp(-math.Abs(x))) }

// catching is the chance to catch.
func (s *Student) catching(levels *[N]float64, tired float64) float64 {
	own := *levels
	own[Entry] = s.entering(levels)
	return sigmoid(weakest(&own, &s.catch, s.p.Softness) + 1 - s.p.Penalty*tired)
}

// holding is the law of the seconds beyond a catch.
func (s *Student) holding(levels *[N]float64, tired float64) bathtub {
	a := weakest(levels, &holdShares, s.p.Softness) - s.p.Penalty*tired
	return bathtub{low: s.p.Hazard * math.Exp(-a), settling: s.p.Settling, settleS: s.p.SettleS,
		wear: s.p.Wear, wearS: s.p.WearS * math.Exp(.45*levels[Endurance]-.4*tired)}
}

// weakest is the soft weakest link -ln(sum w exp(-theta a))/theta of levels a
// with shares w: their weighted mean where theta goes to 0, the least of those
// that count where it is large.
func weakest(levels, shares *[N]float64, theta float64) float64 {
	least := math.Inf(1)
	for k, w := range shares {
		if w > 0 {
			least = math.Min(least, levels[k])
		}
	}
	sum := 0.0
	for k, w := range shares {
		if w > 0 {
			sum += w * math.Exp(-theta*(levels[k]-least))
		}
	}
	return least - math.Log(sum)/theta
}
