package skill

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Outcomes is what students said of a cue or a drill, one voice each.
type Outcomes struct{ Helped, Neither, Confusing int }

func (o Outcomes) counts() [3]int { return [3]int{o.Helped, o.Neither, o.Confusing} }

// Share is a proportion with its interval of [RosterLevel].
type Share struct{ P, Lo, Hi float64 }

// Cue is what a cue does, shrunk to what cues do.
type Cue struct {
	Helped, Neither, Confusing Share
	N                          int
	Evidence                   Evidence
}

// alike are how many voices the common mean may be worth, guesses: from cues
// that have little in common to cues that are almost the same.
var alike = []float64{1, 2, 4, 8, 16, 32, 64, 128}

// FitCues estimates for every cue the shares of three outcomes, and mean those of
// all cues together. Each outcome is estimated by itself: cues may differ much in
// how often they help and little in how often they confuse. So the three need not
// add up to 1 exactly.
//
// Model: a cue's share of one outcome is Beta(s·m, s·(1-m)), its voices binomial.
// m is the pooled share with one voice added to each outcome; s, how many voices
// it is worth, is averaged over a grid by the beta-binomial likelihood of all
// cues (empirical Bayes by likelihood, not moments: moments fail where cues have
// few voices each). A cue's posterior is then a mixture of betas; intervals are
// its equal tails.
//
// Assumes voices are independent, so a student has one. Small samples: a cue
// nobody spoke of stands at the mean with the spread among cues (None); under
// [LeastStudents] voices it is Few. Panics on a negative count.
//
// Reference: Skellam (1948), J R Stat Soc B 10:257; Carlin & Louis (2000), Bayes
// and Empirical Bayes Methods, ch. 3.
func FitCues(of []Outcomes) (cues []Cue, mean Cue) {
	cues = make([]Cue, len(of))
	for i, o := range of {
		for _, x := range o.counts() {
			check(x >= 0, "counts are not negative")
			cues[i].N += x
		}
		mean.N += cues[i].N
		cues[i].Evidence = spoken(cues[i].N)
	}
	mean.Evidence = spoken(mean.N)
	for k := range mean.shares() {
		said := 0
		for _, o := range of {
			said += o.counts()[k]
		}
		m := beta{1, float64(said + 1), float64(mean.N - said + 2)}
		*mean.shares()[k] = betas{m}.share()
		fitOutcome(of, cues, k, m.a/(m.a+m.b))
	}
	return cues, mean
}

// fitOutcome fills in the shares of outcome k, whose mean over all cues is m.
func fitOutcome(of []Outcomes, cues []Cue, k int, m float64) {
	logs := make([]float64, len(alike))
	for i, s := range alike {
		for c, o := range of {
			logs[i] += betaBinomial(o.counts()[k], cues[c].N, s*m, s*(1-m))
		}
	}
	w := weights(logs)
	for c, o := range of {
		said := o.counts()[k]
		law := make(betas, len(alike))
		for i, s := range alike {
			law[i] = beta{w[i], s*m + float64(said), s*(1-m) + float64(cues[c].N-said)}
		}
		*cues[c].shares()[k] = law.share()
	}
}

// betaBinomial is the log likelihood of k of n under Beta(a, b), without the
// binomial coefficient.
func betaBinomial(k, n int, a, b float64) float64 {
	x, y := float64(k), float64(n-k)
	return lgamma(a+x) - lgamma(a) + lgamma(b+y) - lgamma(b) + lgamma(a+b) - lgamma(a+b+x+y)
}

func lgamma(x float64) float64 {
	v, _ := math.Lgamma(x)
	return v
}

func (c *Cue) shares() [3]*Share { return [3]*Share{&c.Helped, &c.Neither, &c.Confusing} }

func spoken(n int) Evidence { return told(n, 1) }

// betas is a mixture of beta laws.
type betas []beta

type beta struct{ weight, a, b float64 }

func (m betas) share() (s Share) {
	for _, x := range m {
		s.P += x.weight * x.a / (x.a + x.b)
	}
	const tail = (1 - RosterLevel) / 2
	s.Lo, s.Hi = m.quantile(tail), m.quantile(1-tail)
	return s
}

// quantile halves [0, 1] until it is known to rounding.
func (m betas) quantile(q float64) float64 {
	lo, hi := 0., 1.
	for range 50 {
		mid := (lo + hi) / 2
		var below float64
		for _, x := range m {
			below += x.weight * mathext.RegIncBeta(x.a, x.b, mid)
		}
		if below < q {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
