package learner

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Params are the figures of the model; [Ranges] says where each comes from.
// Fatigue is counted in units of its own: a rep of a drill adds Quick and Slow.
type Params struct {
	// Learning, a rep.
	FastGain  float64 // of the gap to the ceiling, into the fast trace
	SlowGain  float64 // of the gap to the ceiling, into the slow trace
	FastKept  float64 // of all fast traces, at each rep of a skill
	Own       float64 // share of a rep that its own skill gets; the other skills share the rest
	Alpha     float64 // exponent of the chance p in the challenge p^Alpha (1-p)^Beta
	Beta      float64 // exponent of 1-p; a rep teaches most at p = Alpha/(Alpha+Beta)
	Floor     float64 // what a hopeless or a sure rep teaches, as a share of the most
	Contrast  float64 // share more learnt from a rep after a change of task
	Switch    float64 // logits that a rep after a change of task is harder by
	Tired     float64 // learning is exp(-Tired times slow fatigue times the student's own factor)
	Quick     float64 // quick fatigue that a rep adds
	Slow      float64 // slow fatigue that a rep adds
	Penalty   float64 // logits a unit of fatigue costs
	Cold      float64 // logits the first rep of a session lacks
	WarmReps  float64 // reps until 1/e of that is left
	TryLesson float64 // what a try that ends well gives confidence, of a rep of its own

	// Nights.
	Night    float64 // share of the fast trace that a night makes slow
	FastDays float64 // days until 1/e of the fast trace is left
	SlowDays float64 // days until 1/e of an unpractised slow trace is left
	Over     float64 // effective reps that add another SlowDays to that

	// Capacities.
	Dose     float64 // sixths of the gap that a full dose after full rest gives
	DoseMin  float64 // minutes to 63% of a full dose
	DoseDays float64 // days to 63% of full rest between doses
	DoseFade float64 // days until 1/e of what was gained is left

	// Tries.
	Softness float64 // of the weakest link, 1/logit: to 0 a weighted mean, large the minimum
	Gate     float64 // logits of entry that fear takes, a unit of softplus(-confidence)
	Nerve    float64 // share of confidence in catching
	Hazard   float64 // of falling off balance, 1/s, at a level of 0 logits
	Settling float64 // times Hazard, that the catch adds
	SettleS  float64 // s until 1/e of that is left
	Wear     float64 // Weibull shape of the arms' giving in
	WearS    float64 // s, its scale at an endurance of 0 logits

	// Students.
	Ceiling     float64 // mean level a student could reach, logits
	CeilingSD   float64 // logits
	RateSD      float64 // of ln of how fast a student learns
	TiringSD    float64 // of ln of how much fatigue spoils a student's learning
	StartSD     float64 // of each component at the start, logits
	SharedSD    float64 // of what all components of a student share at the start, logits
	TestSD      float64 // of a usual floor test, logits
	Adherence   float64 // share of sessions that the middle student does not miss
	AdherenceSD float64 // of its logit between students
	BearMin     float64 // minutes on the hands in a session that wrists at 0 logits bear
}

// Range is one figure that a sensitivity run moves from one end to the other.
type Range struct {
	Name               string
	Unit               string
	Basis              string // where the figure comes from
	Default, Low, High float64
}

// Ranges are the figures that a sensitivity run moves, in a fixed order. The
// other figures of [Params] stay at their defaults.
func Ranges() []Range {
	var out []Range
	for _, f := range figures {
		if f.Low < f.High {
			out = append(out, f.Range)
		}
	}
	return out
}

// Defaults are the default figures.
func Defaults() Params {
	var p Params
	for _, f := range figures {
		*f.of(&p) = f.Default
	}
	return p
}

// Errors of [Params.With].
var (
	ErrNoFigure = errors.New("learner: no such figure")
	ErrOutside  = errors.New("learner: outside the range the figure may take")
)

// With is p with one figure of [Ranges] changed. It returns ErrNoFigure for a
// name that is not there and ErrOutside for a value out of its range.
func (p Params) With(name string, v float64) (Params, error) {
	ranges := Ranges()
	known := make([]string, len(ranges))
	for i, r := range ranges {
		known[i] = r.Name
		if r.Name != name {
			continue
		}
		if !(v >= r.Low && v <= r.High) {
			return p, fmt.Errorf("%w: %s is %g to %g %s, not %g", ErrOutside, name, r.Low, r.High, r.Unit, v)
		}
		*figureOf(name).of(&p) = v
		return p, nil
	}
	return p, fmt.Errorf("%w: %q; there are %s", ErrNoFigure, name, strings.Join(known, ", "))
}

// mustHold panics where a figure cannot be what it stands for.
func (p Params) mustHold() {
	for _, f := range figures {
		v := *f.of(&p)
		check(v >= 0 && !math.IsInf(v, 1), "the figure "+f.Name+" is finite and not negative")
		check(v > 0 || f.Low == 0 || f.spread, "the figure "+f.Name+" is positive")
		check(v <= 1 || f.Unit != share, "the figure "+f.Name+" is a share, 1 at most")
	}
}

func check(ok bool, what string) {
	if !ok {
		panic("learner: misuse: it must hold that " + what)
	}
}
