package skill

import "math"

// The state of one member of the bank, in logits and log seconds.
const (
	catching     = iota // logit of a catch, warm and fresh
	holding             // log of the median seconds beyond the first, warm and fresh
	coldCatching        // what being cold adds
	coldHolding
	tiredCatching // what eight earlier tries of the day add
	tiredHolding
	driftCatching // change a day
	driftHolding
	states
)

// Guesses, tuned on a simulated learner and never measured on handstands. "The
// first model" below is the one they were tuned with, which put ln T itself, not
// ln(T-1), on the logistic.
const (
	memory        = .995 // of the bank's evidence, a try
	driftKept     = .99  // of a drift, a day
	holdNoise     = .6   // process noise of holding as a share of catching's
	driftNoise    = 4e-6 // logit²/day²; holding has half
	bankSize      = 3 * len(laws)
	padWeeks      = 6   // weeks from the start in which intervals are widened
	pad           = .05 // by this much on either side
	priorHold     = .92 // refitted, see prior
	priorHoldVar  = .86
	priorCov      = .37
	priorDrift    = .035  // a day, at intake: practice begins to tell
	priorDriftVar = .0016 // holding has half
	temper        = .55   // power of every likelihood: the model is not the student
)

// bankNoise is the process noises of the bank, logit²/day.
var bankNoise = [3]float64{.007, .025, .08}

// Headline estimates P(a try is held for T seconds or more) of one student, now
// and in the weeks to come, with an honest interval.
//
// Model: a try is caught with logit c, and a caught try lasts T with g(T-1) ~
// Logistic(h, sigma), g as in law, so that S(1) = 1 and the hazard may rise and fall; to c and
// h each are added cold and tired, times an offset of their own. c and h wander
// by a random walk with a slowly fading drift; the offsets are fixed. cold is 1, .6, .35 and then 0 for the
// first tries of a day that began cold; tired is one eighth of the tries before
// this one, at most 12 of them (the first model counted this one too: a shift of c by
// a twentieth of a logit, dropped so that the first try of a day is a try
// without fatigue). Fifteen such filters, three process noises by five laws, run
// side by side, weighted by how well they foretold the log; evidence fades by
// .995 a try so that the bank can change its mind. Every likelihood counts to the
// power .55: a model that is not the student may not be as sure as its arithmetic.
//
// Assumptions: the log is complete and honest (every try, not the good ones);
// tries are independent given the state; a censored hold ended for a reason that
// says nothing about how long it would have lasted. Where holds end by none of the
// five laws, P at that length is off and the interval too narrow.
//
// Small samples: an untried student stands at the prior (a cold catch .44, 80%
// interval .08 to .84; 15 s cold .04, 0 to .17); in the first six weeks intervals
// are padded by .05, because against a simulated learner of another family they
// covered too little there.
//
// Reference: West & Harrison (1997), Bayesian Forecasting and Dynamic Models, 2nd ed., ch. 12 (a bank as a multi-process model, class I) and
// 14 (non-normal dynamic models).
//
// A Headline is a value: assigning it copies it, and nothing it does allocates
// but [Headline.Forecast]. Start with [NewHeadline].
type Headline struct {
	bank     [bankSize]member
	days     int
	tries    int
	censored int
	week     account
}

// member is one filter of the bank.
type member struct {
	m         [states]float64
	p         [states * states]float64
	noise     float64
	law       int     // index into laws
	logWeight float64 // up to a constant shared by the bank
}

// NewHeadline is a student before the first try.
func NewHeadline() Headline {
	var h Headline
	for i := range h.bank {
		h.bank[i] = prior(laws[i%len(laws)])
		h.bank[i].noise = bankNoise[i/len(laws)]
		h.bank[i].law = i % len(laws)
	}
	return h
}

// prior is the prior of the first model with holding refitted to the link used
// here. That model put ln T ~ Logistic(h, sigma), h ~ N(.5, 1), which left a
// third of the caught holds under the 1 s that makes a catch. What it said about
// a catch is the law of T given T >= 1. Of that law, over h and the three
// sigmas, take Y = ln(max(T-1, .1)): mean .916, variance 2.716. The sigmas stay
// (the two links agree for long holds), their mean logistic variance is
// E[sigma²]·pi²/3 = 1.856, and the rest is h's: mean .92, variance .86. Its
// correlation with catching, .4/sqrt(1.5), stays too: covariance .37. The prior
// chance of T seconds, given a catch, then differs from the first model's by under
// .02 at every T (headline_test.go computes all of this). Catching, offsets and
// drifts are as they were.
func prior(l law) member {
	m := member{m: [states]float64{0, priorHold, -.3, -.2, -.3, -.3, priorDrift, priorDrift}}
	for i, v := range [states]float64{1.5, priorHoldVar, .1, .06, .1, .06, priorDriftVar, priorDriftVar / 2} {
		m.p[i*states+i] = v
	}
	m.p[catching*states+holding] = priorCov
	m.p[holding*states+catching] = priorCov
	m.bend(l)
	return m
}

// bend moves holding from the log-logistic to a law: the median hold stays, and
// a step of it means the same seconds there.
func (m *member) bend(l law) {
	x := math.Exp(m.m[holding])
	stretch := 1 + x/l.wear
	m.m[holding] += x / l.wear
	for _, i := range [...]int{holding, coldHolding, tiredHolding, driftHolding} {
		if i != holding {
			m.m[i] *= stretch
		}
		for j := range states {
			m.p[i*states+j] *= stretch
			m.p[j*states+i] *= stretch
		}
	}
}

// Advance lets days pass, with or without practice. Panics on a negative count.
func (h *Headline) Advance(days int) {
	check(days >= 0, "days run forward only")
	h.days += days
	for i := range h.bank {
		for range days {
			h.bank[i].night()
		}
	}
}

// night moves one member on by a day: x <- F x, P <- F P Fᵀ + Q.
func (m *member) night() {
	m.drift(catching, driftCatching)
	m.drift(holding, driftHolding)
	const c, h, dc, dh = catching * (states + 1), holding * (states + 1), driftCatching * (states + 1), driftHolding * (states + 1)
	m.p[c] += m.noise
	m.p[h] += holdNoise * m.noise
	m.p[dc] += driftNoise
	m.p[dh] += driftNoise / 2
}

// drift adds state d to state i and lets d fade.
func (m *member) drift(i, d int) {
	m.m[i] += m.m[d]
	m.m[d] *= driftKept
	for j := range states {
		m.p[i*states+j] += m.p[d*states+j]
		m.p[d*states+j] *= driftKept
	}
	for j := range states {
		m.p[j*states+i] += m.p[j*states+d]
		m.p[j*states+d] *= driftKept
	}
}

// Tired is what so many reps of any drill earlier in a day add to the logit of
// passing one, for [Components.Count]: the offset learnt from free tries, of
// which eight tire like thirty reps of drills (a guess).
func (h *Headline) Tired(reps int) float64 {
	t := math.Min(float64(reps)/30, 1.5)
	var sum float64
	for i, w := range h.weights() {
		sum += w * t * h.bank[i].m[tiredCatching]
	}
	return sum
}

// Tries is how many tries were folded in, and how many of their holds were
// right-censored.
func (h *Headline) Tries() (n, censored int) { return h.tries, h.censored }

// weights are the bank's, adding up to 1.
func (h *Headline) weights() [bankSize]float64 {
	var w [bankSize]float64
	top := math.Inf(-1)
	for i := range h.bank {
		top = math.Max(top, h.bank[i].logWeight)
	}
	var sum float64
	for i := range h.bank {
		w[i] = math.Exp(h.bank[i].logWeight - top)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

func coldness(index int, cold bool) float64 {
	if !cold || index > 3 {
		return 0
	}
	return [3]float64{1, .6, .35}[index-1]
}

func tiredness(index int) float64 { return math.Min(float64(index-1), 12) / 8 }
