package skill

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// ErrExtremeScore is returned where all or none of the items were passed: the
// likelihood has no maximum.
var ErrExtremeScore = errors.New("skill: all or none passed")

// ErrNoFit is returned where a fit does not settle.
var ErrNoFit = errors.New("skill: the fit does not settle")

// Rasch is a fit of item difficulties.
type Rasch struct {
	Difficulty []float64 // logit, adding up to 0
	SE         []float64
	LogLik     float64 // conditional log-likelihood
	N          int     // persons
	Extreme    int     // of them with none or all passed: they say nothing
	Iterations int
	Method     string
}

// FitRasch estimates the difficulties of K items every person tried once, by
// conditional maximum likelihood: given a person's score r the ability drops
// out, and the chance of a pattern is exp(-sum of the passed difficulties) /
// gamma_r, the elementary symmetric function of exp(-difficulty).
//
// passed[i] is how many persons passed item i; scores[r], r = 0..K, how many
// passed r items. These are sufficient. Newton's method; standard errors from
// the observed information on the plane of sum 0. Assumes equal discrimination
// and independence given ability; biased for few persons by about 1/N.
// ErrExtremeScore when an item was passed by all or none of the persons with a
// score between. Panics when the counts contradict each other.
//
// Reference: Andersen (1972), J R Stat Soc B 34:42; Fischer & Molenaar (1995),
// Rasch Models, ch. 3 and 8.
func FitRasch(passed, scores []int) (Rasch, error) {
	r := Rasch{Difficulty: make([]float64, len(passed)), Method: "conditional maximum likelihood"}
	c, err := newConditional(passed, scores, &r)
	if err != nil {
		return r, err
	}
	k := len(passed)
	for r.Iterations = 1; r.Iterations <= 100; r.Iterations++ {
		gradient, information := c.slope(r.Difficulty)
		covariance, err := onPlane(information)
		if err != nil {
			return r, err
		}
		var move mat.VecDense
		move.MulVec(covariance, mat.NewVecDense(k, gradient))
		c.climb(r.Difficulty, move.RawVector().Data)
		if mat.Norm(&move, math.Inf(1)) > 1e-10 {
			continue
		}
		r.LogLik = c.value(r.Difficulty)
		for i := range k {
			r.SE = append(r.SE, math.Sqrt(covariance.At(i, i)))
		}
		return r, nil
	}
	return r, ErrNoFit
}

// conditional is the conditional likelihood of one table.
type conditional struct {
	passed []float64 // by item, over the persons whose score is neither 0 nor K
	scores []float64 // by score, 0 and K emptied
}

func newConditional(passed, scores []int, r *Rasch) (conditional, error) {
	k := len(passed)
	check(k >= 2 && len(scores) == k+1, "two or more items and one count a score")
	c := conditional{make([]float64, k), make([]float64, k+1)}
	points := 0
	for s, n := range scores {
		check(n >= 0, "counts are not negative")
		r.N += n
		points += s * n
		c.scores[s] = float64(n)
	}
	c.scores[0], c.scores[k] = 0, 0
	r.Extreme = scores[0] + scores[k]
	for _, n := range passed {
		points -= n
	}
	check(points == 0, "items and scores count the same passes")
	for i, n := range passed {
		c.passed[i] = float64(n - scores[k])
		if n <= scores[k] || n >= r.N-scores[0] {
			return c, fmt.Errorf("item %d: %w", i, ErrExtremeScore)
		}
	}
	return c, nil
}

// value is the conditional log-likelihood at difficulties b.
func (c *conditional) value(b []float64) float64 {
	gamma := symmetric(b)
	var sum float64
	for i, n := range c.passed {
		sum -= n * b[i]
	}
	for r, n := range c.scores {
		if n > 0 {
			sum -= n * math.Log(gamma[r])
		}
	}
	return sum
}

// slope is the gradient of the conditional log-likelihood in the difficulties
// and its information (minus the second derivatives): expected passes less
// passes, and the covariance of passes given the scores.
func (c *conditional) slope(b []float64) ([]float64, *mat.SymDense) {
	k := len(b)
	g, info := make([]float64, k), mat.NewSymDense(k, nil)
	gamma := symmetric(b)
	for i := range k {
		without := symmetric(b, i)
		g[i] = -c.passed[i]
		chance := make([]float64, k) // of passing i, by score
		for r := 1; r < k; r++ {
			chance[r] = math.Exp(-b[i]) * without[r-1] / gamma[r]
			g[i] += c.scores[r] * chance[r]
			info.SetSym(i, i, info.At(i, i)+c.scores[r]*chance[r]*(1-chance[r]))
		}
		for j := range i {
			info.SetSym(i, j, c.shared(b, i, j, gamma, chance))
		}
	}
	return g, info
}

// shared is the covariance of passing i and j given the scores, summed.
func (c *conditional) shared(b []float64, i, j int, gamma, chance []float64) float64 {
	withoutJ, without := symmetric(b, j), symmetric(b, i, j)
	var sum float64
	for r := 1; r < len(b); r++ {
		both := 0.
		if r >= 2 {
			both = math.Exp(-b[i]-b[j]) * without[r-2] / gamma[r]
		}
		sum += c.scores[r] * (both - chance[r]*math.Exp(-b[j])*withoutJ[r-1]/gamma[r])
	}
	return sum
}

// climb moves b, halving the step while the likelihood falls.
func (c *conditional) climb(b, move []float64) {
	from := c.value(b)
	next := make([]float64, len(b))
	for scale := 1.; scale > 1e-6; scale /= 2 {
		for i := range b {
			next[i] = b[i] + scale*move[i]
		}
		if c.value(next) >= from-1e-9*math.Abs(from) {
			break
		}
	}
	copy(b, next)
}

// symmetric gives the elementary symmetric functions, of order 0 to K, of
// exp(-b) without the items left out: sums of positive terms, so no digits are
// lost.
func symmetric(b []float64, without ...int) []float64 {
	gamma := make([]float64, len(b)+1)
	gamma[0] = 1
	for i, x := range b {
		if len(without) > 0 && (i == without[0] || i == without[len(without)-1]) {
			continue
		}
		e := math.Exp(-x)
		for r := len(b); r > 0; r-- {
			gamma[r] += e * gamma[r-1]
		}
	}
	return gamma
}

// onPlane inverts an information that is singular along (1, ..., 1) on the plane
// of sum 0: (I + 11ᵀ)^-1 less its part along that line, 11ᵀ/K².
func onPlane(information *mat.SymDense) (*mat.SymDense, error) {
	k := information.SymmetricDim()
	lifted := mat.NewSymDense(k, nil)
	for i := range k {
		for j := range i + 1 {
			lifted.SetSym(i, j, information.At(i, j)+1)
		}
	}
	var root mat.Cholesky
	if !root.Factorize(lifted) {
		return nil, ErrNoFit
	}
	var out mat.SymDense
	if err := root.InverseTo(&out); err != nil {
		return nil, fmt.Errorf("%w: %v", ErrNoFit, err)
	}
	for i := range k {
		for j := range i + 1 {
			out.SetSym(i, j, out.At(i, j)-1/float64(k*k))
		}
	}
	return &out, nil
}

// Person is an ability.
type Person struct {
	Mean, SD float64 // logit; the mode and standard error for maximum likelihood
	N        int     // items
	Method   string
}

// score is the likelihood of an ability given how many items were passed, up to
// a factor: score·slope·theta - sum log(1 + e^(slope(theta - b))).
type score struct {
	passed     float64
	slopes     float64
	difficulty []float64
}

func (s score) slope(theta float64) (g, h float64) {
	g = s.passed
	for _, b := range s.difficulty {
		p, q := sigmoids(s.slopes * (theta - b))
		g -= p
		h += p * q
	}
	return s.slopes * g, s.slopes * s.slopes * h
}

func (s score) value(theta float64) float64 {
	sum := s.passed * s.slopes * theta
	for _, b := range s.difficulty {
		z := s.slopes * (theta - b)
		sum -= math.Max(z, 0) + math.Log1p(math.Exp(-math.Abs(z)))
	}
	return sum
}

// MLPerson is the maximum likelihood ability of a person who passed some of the
// items: where the expected score meets the actual. Biased outward for few
// items. ErrExtremeScore when none or all were passed.
func MLPerson(passed int, difficulty []float64) (Person, error) {
	k := len(difficulty)
	check(passed >= 0 && passed <= k, "a score counts passed items")
	if passed == 0 || passed == k {
		return Person{}, ErrExtremeScore
	}
	const flat = 1e12 // variance of a prior that says nothing
	theta, h := mode(0, flat, score{float64(passed), 1, difficulty})
	return Person{Mean: theta, SD: 1 / math.Sqrt(h), N: k, Method: "maximum likelihood"}, nil
}

// EAPPerson is the mean and sd of a person's ability given the score, under a
// N(mean, sd²) prior and a common slope of the items (1 for Rasch), by
// quadrature around the mode. Defined for every score.
func EAPPerson(passed int, difficulty []float64, slope, mean, sd float64) Person {
	k := len(difficulty)
	check(passed >= 0 && passed <= k, "a score counts passed items")
	check(slope > 0 && sd > 0, "slope and sd are positive")
	l := score{float64(passed), slope, difficulty}
	top, h := mode(mean, sd*sd, l)
	scale := sd / math.Sqrt(1+sd*sd*h)
	log := func(x float64) float64 { z := (x - mean) / sd; return l.value(x) - z*z/2 }
	peak := log(top)
	var sum, first, second float64
	for u := -8.; u <= 8; u += .25 {
		w := math.Exp(log(top+scale*u) - peak)
		sum += w
		first += w * u
		second += w * u * u
	}
	first /= sum
	return Person{Mean: top + scale*first, SD: scale * math.Sqrt(second/sum-first*first), N: k, Method: "posterior mean"}
}
