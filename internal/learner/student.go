// Package learner simulates a student who learns, forgets, tires and hurts. It
// serves to judge the planner and the estimator and to give a demo a history; it
// is never used to estimate a real student, and shares nothing with the code
// that does.
//
// The forms are assumptions in the direction of what was published, the values
// mostly guesses, tuned once so that a sound schedule takes about half a year:
// only comparisons between ways to practise mean anything. Units are logits,
// days, minutes and seconds. What a student does is reproducible from the
// figures, the seed and the calls made.
package learner

import (
	"math"
	"math/rand/v2"
)

// Student is one simulated student, with what is true of them. It may not be
// used from two goroutines at once.
type Student struct {
	p     Params
	rng   *rand.Rand
	catch [N]float64 // share of each component in catching
	most  float64    // the highest value of p^Alpha (1-p)^Beta

	rate      float64 // of learning
	tiring    float64 // how much fatigue spoils learning
	adherence float64
	ceiling   [N]float64
	start     [N]float64 // where a component falls back to, untrained

	slow   [N]float64
	fast   [skills]float64
	done   [skills]float64 // effective reps so far
	slowF  float64         // slow fatigue
	rested [N]float64      // days since the last dose of a capacity
	still  bool            // learning has stopped

	session
}

// New draws a student: start, ceilings, rate, fatigability, adherence. It is the
// same student for the same figures and seed, and draws the same deviates
// whatever the figures. Figures that cannot be are misuse.
func New(p Params, seed uint64) *Student {
	p.mustHold()
	rng := rand.New(rand.NewPCG(seed, 0x1ea2e2))
	s := &Student{p: p, rng: rng, most: peakOf(p.Alpha, p.Beta)}
	s.rate = math.Exp(p.RateSD * rng.NormFloat64())
	s.tiring = math.Exp(p.TiringSD * rng.NormFloat64())
	s.adherence = sigmoid(logit(p.Adherence) + p.AdherenceSD*rng.NormFloat64())
	shared := p.SharedSD * rng.NormFloat64()
	for k := range N {
		s.start[k] = startMeans[k] + p.StartSD*rng.NormFloat64() + shared
		s.ceiling[k] = p.Ceiling + p.CeilingSD*rng.NormFloat64()
		s.slow[k] = s.start[k]
		s.rested[k] = longAgo
		s.catch[k] = (1 - p.Nerve) * catchShares[k]
	}
	s.catch[Confidence] = p.Nerve
	s.Begin(0)
	return s
}

// longAgo is how many days ago a new student last trained a capacity.
const longAgo = 30

// Adherence is the chance that the student does not miss a session, 0 to 1.
func (s *Student) Adherence() float64 { return s.adherence }

// Stop ends all learning from here on: a stall to be noticed.
func (s *Student) Stop() { s.still = true }

// Level is where a component truly stands, warm and rested, in logits.
func (s *Student) Level(c Component) float64 {
	if c < skills {
		return s.slow[c] + s.fast[c]
	}
	return s.slow[c]
}

// levels are all components where skills lack so many logits for want of
// warming up.
func (s *Student) levels(lacking float64) (out [N]float64) {
	for k := range Component(N) {
		out[k] = s.Level(k)
		if k < skills {
			out[k] -= lacking
		}
	}
	return out
}

// lacking is what skills lack at the rep-th rep of a session, from 0, in logits:
// the warm-up decrement.
func (s *Student) lacking(rep int) float64 { return s.p.Cold * math.Exp(-float64(rep)/s.p.WarmReps) }

func sigmoid(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func logit(p float64) float64 { return math.Log(p / (1 - p)) }
