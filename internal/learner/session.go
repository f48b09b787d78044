package learner

import "math"

// Exercise is one set of a drill, as the body meets it.
type Exercise struct {
	Trains      Component
	Difficulty  float64 // logits: passed half the time at that level
	Capacity    bool    // strength or mobility of a capacity: it is dosed by Minutes
	Try         bool    // a free try: catch, and hold; Difficulty plays no part
	Reps        int
	Seconds     float64 // of work in a rep of a drill
	RestSeconds float64 // after each rep
	Minutes     float64 // of the set, all told
	HandMinutes float64 // of them on the hands
	Goal        float64 // s after which a free try is ended on purpose, 1 or more; 0: held as long as it goes
}

// Rep is what came of one rep.
type Rep struct {
	Passed  bool    // the drill's own criterion; of a free try: caught
	Caught  bool    // of a free try
	Seconds float64 // held; of a free try not caught 0
	End     End     // of a free try
	Index   int     // of the rep in the session, from 0: the coldest
}

// session is what a student carries through a session.
type session struct {
	rep     int
	last    Exercise // of the rep before
	begun   bool     // there was a rep before
	quickF  float64  // quick fatigue
	minutes float64
	hands   float64    // minutes on the hands
	dose    [N]float64 // minutes of a capacity's own training
}

// Begin begins a session after so many minutes of prep: quick fatigue is gone,
// and skills are cold again.
func (s *Student) Begin(prepMinutes float64) {
	check(prepMinutes >= 0, "prep takes no negative minutes")
	s.session = session{minutes: prepMinutes}
}

// Do does one set, rep by rep. An exercise that cannot be done is misuse.
func (s *Student) Do(e Exercise) []Rep {
	e.mustHold()
	out := make([]Rep, e.Reps)
	for i := range out {
		changed := s.begun && !e.sameTask(s.last)
		if e.Try {
			out[i] = s.try(e.Goal, changed)
			s.tire(hard, out[i].Seconds+e.RestSeconds)
		} else {
			out[i] = s.drill(e, changed)
			s.tire(1, out[i].Seconds+e.RestSeconds)
		}
		out[i].Index = s.rep
		s.rep++
		s.last, s.begun = e, true
	}
	s.minutes += e.Minutes
	s.hands += e.HandMinutes
	if e.Capacity {
		s.dose[e.Trains] += e.Minutes
	}
	return out
}

// sameTask says whether two exercises are one task: both free tries, or drills
// of one component at one difficulty.
func (e Exercise) sameTask(o Exercise) bool {
	return e.Try && o.Try || e.Try == o.Try && e.Trains == o.Trains && e.Difficulty == o.Difficulty
}

func (e Exercise) mustHold() {
	check(e.Trains >= 0 && e.Trains < N, "an exercise trains a component")
	check(!e.Capacity || e.Trains >= skills, "only a capacity is dosed by minutes")
	check(e.Reps >= 0 && e.Seconds >= 0 && e.RestSeconds >= 0 && e.Minutes >= 0 && e.HandMinutes >= 0, "reps and times are not negative")
	check(e.Goal == 0 || e.Goal >= catchS, "a goal is 0 or lies beyond the catch")
	check(!math.IsNaN(e.Difficulty) && !math.IsInf(e.Difficulty, 0), "a difficulty is finite")
}

// drill is one rep of a drill. A failed one ends at some part of its seconds.
func (s *Student) drill(e Exercise, changed bool) Rep {
	p := s.passing(e, changed)
	r := Rep{Passed: s.rng.Float64() < p, Seconds: e.Seconds}
	part := s.rng.Float64()
	if !r.Passed {
		r.Seconds *= part
	}
	if e.Trains < skills {
		s.overwrite()
		s.learn(e.Trains, p, reps(e.Seconds), changed)
	}
	if e.Trains == Exit && r.Passed {
		s.learn(Confidence, p, s.p.TryLesson, false)
	}
	return r
}

// passing is the chance to pass a rep of a drill now.
func (s *Student) passing(e Exercise, changed bool) float64 {
	x := s.Level(e.Trains) - e.Difficulty - s.p.Penalty*(s.quickF+s.slowF)
	if e.Trains < skills {
		x -= s.lacking(s.rep)
	}
	if changed {
		x -= s.p.Switch
	}
	return sigmoid(x)
}

// reps is how many reps so many seconds of work are worth: five seconds are one,
// as in a free try; the shortest count half, the longest three.
func reps(seconds float64) float64 { return math.Max(.5, math.Min(3, seconds/lessonS)) }

const (
	catchS  = 1.0 // a catch is a second or more
	lessonS = 5.0 // seconds of practice that are worth one rep
)
