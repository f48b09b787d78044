package skill

import "math"

// AskDoubt is the sd of a table's guess of what a milestone asks of a component,
// logit: a guess itself.
const AskDoubt float64 = 2

// AskGuess is what a milestone is taken to ask of a component before anything was
// learned of it: logit and sd. A mean of -Inf: nothing.
type AskGuess struct{ Mean, SD float64 }

// Arrival is one student before a milestone: where the components stand, and
// whether a try reached it or did not.
type Arrival struct {
	Student int
	Levels  []Level // by component
	Reached bool
	Weight  float64 // how many such tries it stands for; 0 is one
}

// Asked is what a milestone is thought to ask of one component.
type Asked struct {
	Learned          // logit
	Guess   AskGuess // nothing is learned of what it does not ask
	Told    float64  // share of the variance of the guess that the students took away
	// Evidence None leaves the guess; Few is still mostly the guess.
	Evidence Evidence
}

// Asks is what the students tell of one milestone.
type Asks struct {
	Components []Asked
	Reached    int // students of whom a try reached it
	NotYet     int // students of whom one did not
	Method     string
}

// sharps are how sharp the threshold of a component may be, logit per logit,
// guesses.
var sharps = []float64{1, 2, 4}

// FitAsks estimates what a milestone asks of every component from students who
// reached it and students who tried and have not yet. guess[k] is what it is
// taken to ask of component k.
//
// Model: P(reached) = product over k of sigmoid(sharp·(theta_k - ask_k)): every
// component has to be there. theta_k is normal at the student's level, averaged
// over by the usual widening of the logistic; ask_k ~ N(guess, its sd²). The
// mode nearest the guess by Newton's method, the sd from the curvature there;
// averaged over how sharp a threshold is by the evidence of each.
//
// Tries of one student at one time share a level that is known only in part: give
// them a weight of less than their number. Assumes levels as of the days of the
// outcome, and on the scale of the guesses. A student far above
// an ask, or held back by another component, says little of it. Small samples:
// the guess, with its doubt; None without a student who reached it or without one
// who has not, Few under [LeastStudents] of either or while less than half of the
// guess's variance is gone.
//
// Panics on a wrong number of levels, on an sd that is not positive, and on an
// undefined guess.
//
// Reference: Junker & Sijtsma (2001), Applied Psychological Measurement 25:258,
// for such conjunctive models; MacKay (1992), Neural Computation 4:720, for the
// widening.
func FitAsks(guess []AskGuess, students []Arrival) (Asks, error) {
	reached, notYet := map[int]bool{}, map[int]bool{}
	out := Asks{Components: make([]Asked, len(guess)), Method: "conjunctive logistic thresholds, averaged over their sharpness"}
	var asked []int
	for k, g := range guess {
		check(!math.IsNaN(g.Mean) && !math.IsInf(g.Mean, 1), "an ask is a number or -Inf")
		out.Components[k] = Asked{Learned: Learned{Mean: g.Mean}, Guess: g, Evidence: None}
		if !math.IsInf(g.Mean, -1) {
			check(g.SD > 0, "a guess has a positive sd")
			asked = append(asked, k)
			out.Components[k].Learned = learned(g.Mean, g.SD*g.SD)
		}
	}
	for _, s := range students {
		check(len(s.Levels) == len(guess), "one level a component")
		for _, l := range s.Levels {
			check(l.SD > 0 && !math.IsInf(l.Mean, 0) && !math.IsNaN(l.Mean), "a level is finite and has a positive sd")
		}
		check(s.Weight >= 0 && !math.IsInf(s.Weight, 1), "a weight is finite and not negative")
		by := notYet
		if s.Reached {
			by = reached
		}
		by[s.Student] = true
	}
	out.Reached, out.NotYet = len(reached), len(notYet)
	if len(asked) == 0 || out.Reached == 0 || out.NotYet == 0 {
		return out, nil // one side says that an ask may lie further off, not where
	}
	return out, out.fit(asked, guess, students)
}

func (a *Asks) fit(asked []int, guess []AskGuess, students []Arrival) error {
	var fits []thresholds
	var logs []float64
	for _, sharp := range sharps {
		f := newThresholds(sharp, asked, guess, students)
		evidence, err := f.climb()
		if err != nil {
			return err
		}
		fits, logs = append(fits, f), append(logs, evidence)
	}
	w := weights(logs)
	for i, k := range asked {
		var mean, second float64
		for f := range fits {
			mean += w[f] * fits[f].ask[i]
			second += w[f] * (fits[f].cov.At(i, i) + square(fits[f].ask[i]))
		}
		c := &a.Components[k]
		c.Learned = learned(mean, second-square(mean))
		c.Told = 1 - square(c.SD/c.Guess.SD)
		c.Evidence = told(min(a.Reached, a.NotYet), c.Told)
	}
	return nil
}
