package load

import "math"

// StepRule says how fast hand-loading minutes may grow from week to week.
// Every figure is common practice, no source.
type StepRule struct {
	Raise      float64 // share of the usual minutes that may be added, 0.10 to 0.20
	Always     float64 // minutes that may always be added
	FirstWeeks int     // weeks of the first month
	FirstLow   float64 // minutes a week a beginner may do: nobody's ceiling is lower for having done little
	FirstHigh  float64 // minutes a week nobody passes in the first month
}

// DefaultStepRule is +15% or 3 minutes a week, whichever is more, and 20 to 25
// minutes a week in the first month.
func DefaultStepRule() StepRule {
	return StepRule{Raise: 0.15, Always: 3, FirstWeeks: 4, FirstLow: 20, FirstHigh: 25}
}

// StepReason is why the ceiling is where it is.
type StepReason string

// Reasons of a ceiling.
const (
	FirstMonth    StepReason = "first-month"     // held between FirstLow and FirstHigh
	Grown         StepReason = "grown"           // the usual minutes and a step
	BeginnersLow  StepReason = "beginners-low"   // little was done, so what a beginner may do
	HeldByPain    StepReason = "held-by-pain"    // the usual minutes, no step
	StoppedByPain StepReason = "stopped-by-pain" // none
)

// Step is how many hand-loading minutes next week may have.
type Step struct {
	Recent  []float64 // minutes of up to the last four weeks, oldest first
	Usual   float64   // minutes the step starts from
	Ceiling float64   // minutes next week may have
	Over    bool      // last week went over its own ceiling
	Reason  StepReason
}

// recentWeeks is how far back the usual minutes look.
const recentWeeks = 4

// NextWeek is the ceiling on next week's hand-loading minutes. weeks are the
// minutes of every whole week since the student began, oldest first, 0 for a
// week off; pain is the verdict of the pain rule.
//
// The step starts from the larger of last week and the mean of the last four,
// so a light week costs nothing, and a week counts no higher than its own
// ceiling did, so one week too big does not become the new usual.
func NextWeek(weeks []float64, rule StepRule, pain Verdict) Step {
	mustBeAmounts(weeks...)
	rule.mustBeSound()
	var s Step
	counted := make([]float64, 0, len(weeks))
	s.Ceiling, s.Reason = rule.ceiling(0, 0)
	for _, minutes := range weeks {
		s.Over = minutes > s.Ceiling
		counted = append(counted, math.Min(minutes, s.Ceiling))
		s.Usual = usual(counted)
		s.Ceiling, s.Reason = rule.ceiling(s.Usual, len(counted))
	}
	s.Recent = weeks[max(0, len(weeks)-recentWeeks):]
	switch pain {
	case NoIncrease:
		s.Ceiling, s.Reason = math.Min(s.Ceiling, math.Max(s.Usual, rule.Always)), HeldByPain
	case StopHandLoad:
		s.Ceiling, s.Reason = 0, StoppedByPain
	}
	return s
}

func usual(counted []float64) float64 {
	recent := counted[max(0, len(counted)-recentWeeks):]
	sum := 0.0
	for _, m := range recent {
		sum += m
	}
	return math.Max(recent[len(recent)-1], sum/float64(len(recent)))
}

// ceiling is next week's ceiling after so many weeks.
func (r StepRule) ceiling(usual float64, weeks int) (float64, StepReason) {
	grown := math.Max(usual*(1+r.Raise), usual+r.Always)
	switch {
	case weeks < r.FirstWeeks:
		return math.Min(math.Max(grown, r.FirstLow), r.FirstHigh), FirstMonth
	case grown < r.FirstLow:
		return r.FirstLow, BeginnersLow
	}
	return grown, Grown
}

func (r StepRule) mustBeSound() {
	mustBeAmounts(r.Raise, r.Always, r.FirstLow, r.FirstHigh)
	if r.FirstHigh < r.FirstLow || r.FirstWeeks < 0 {
		panic("load: a step rule's first month runs from low to high")
	}
}
