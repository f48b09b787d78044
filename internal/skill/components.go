package skill

import (
	"math"
	"slices"
)

// Guesses for a caller that has nothing better; no published data fix them.
const (
	IntakeSD      = .85   // of a component after the intake battery, logit
	SharedAbility = .2    // covariance of any two components then, logit²
	MotorNoise    = .0045 // process noise of a motor component, logit²/day
	CapacityNoise = .0025 // of a capacity (shoulders, wrists, endurance)
	// What a day of practice brings at first, logit, and its sd between students.
	MotorGain, MotorGainSD       = .05, .035
	CapacityGain, CapacityGainSD = .015, .015
	DrillDoubt                   = .4 // sd of a coach's guess of a drill's difficulty, logit
)

// Component is what is known of one component at intake.
type Component struct {
	Mean, SD float64 // logit
	Noise    float64 // process noise, logit²/day
	// Gain is what a day of practice is taken to bring at first, logit a day,
	// with its sd between students; both 0: nothing.
	Gain, GainSD float64
}

// Item is a drill, or a probe that counts successes, with its main component and
// the guess of its difficulty.
type Item struct {
	Component  int
	Difficulty float64 // logit
	Doubt      float64 // sd of the guess, logit; 0 is known
}

// Level is where a component stands.
type Level struct {
	Mean, SD float64 // logit
	N        int     // observations of this component; 0 is the prior and what others told
}

// Success is the predicted success at an item.
type Success struct {
	Logit, SD float64 // of the logit of success
	P         float64 // success, averaged over that law
}

// Components estimates one ability per component, theta, in logits, from drills
// passed and failed and from probes.
//
// Model: logit P(pass) = theta_k - d_j + offset for item j of component k;
// theta wanders by a random walk. The difficulty d_j is a guess with a doubt
// that one student's log may not shrink (it cannot tell an easy drill from an
// able student), so this is a Schmidt (consider) filter: cov(theta, d_j) is kept
// for every item met; theta and that covariance are updated, d_j and var(d_j)
// never. Ignoring the covariance would average a constant error away.
//
// Assumptions: an item loads on one component; difficulties are independent of
// each other and constant; the offset is known. Small samples: with no
// observation a component stands at its prior, moved by what shares ability with
// it.
//
// Reference: Schmidt SF (1966), Application of state-space methods to navigation
// problems, Advances in Control Systems 3:293-340.
//
// Folding, [Components.Level] and [Components.Success] allocate nothing.
type Components struct {
	k     int
	m, p  []float64 // mean and covariance of the state: K abilities, then K gains
	cross []float64 // cov(state, d_j): 2K values for each item
	noise []float64
	items []Item
	met   []int // items with an observation, in order of meeting
	seen  []int // observations by component
	a     []float64
	work  []float64 // of the last day of practice, by component
	kept  []float64 // what that leaves of the gains
	first []float64 // means at intake
}

// NewComponents starts a student at intake. shared is the covariance of any two
// components. Panics on a negative noise or doubt, an sd of 0 or less, an item
// of an unknown component, and a shared covariance that is negative or as large
// as the smallest variance.
func NewComponents(at []Component, shared float64, items []Item) *Components {
	k := len(at)
	n := 2 * k
	c := &Components{
		k: k, m: make([]float64, n), p: make([]float64, n*n), cross: make([]float64, n*len(items)),
		noise: make([]float64, k), items: append([]Item(nil), items...),
		met: make([]int, 0, len(items)), seen: make([]int, k), a: make([]float64, n), work: make([]float64, k), kept: make([]float64, k),
	}
	for i, x := range at {
		check(x.SD > 0 && x.Noise >= 0, "a component has a positive sd and no negative noise")
		check(shared >= 0 && (k == 1 || shared < x.SD*x.SD), "shared ability lies between 0 and the smallest variance")
		check(x.GainSD >= 0, "the sd of a gain is not negative")
		c.m[i], c.noise[i], c.m[k+i] = x.Mean, x.Noise, x.Gain
		c.first = append(c.first, x.Mean)
		for j := range k {
			c.p[i*n+j] = shared
			c.p[(k+i)*n+k+j] = sharedGain * x.GainSD * at[j].GainSD
		}
		c.p[i*n+i] = x.SD * x.SD
		c.p[(k+i)*n+k+i] = x.GainSD * x.GainSD
	}
	for _, x := range items {
		check(x.Component >= 0 && x.Component < k, "an item belongs to a component")
		check(x.Doubt >= 0, "a doubt is not negative")
	}
	return c
}

// Clone is an independent copy.
func (c *Components) Clone() *Components {
	d := *c
	d.m, d.p = append([]float64(nil), c.m...), append([]float64(nil), c.p...)
	d.cross, d.a = append([]float64(nil), c.cross...), make([]float64, len(c.a))
	d.met = append(make([]int, 0, len(c.items)), c.met...)
	d.seen = append([]int(nil), c.seen...)
	d.work, d.kept = make([]float64, c.k), make([]float64, c.k)
	return &d
}

// Advance lets days pass. Panics on a negative count.
func (c *Components) Advance(days int) {
	check(days >= 0, "days run forward only")
	for k, q := range c.noise {
		c.p[k*len(c.m)+k] += q * float64(days)
	}
}

// forgetDays is after how many days without a drill of it 63% of what came since
// intake is gone. A guess, chosen by coverage in rehearsals. That skills fade
// without practice is well shown, how fast differs with the skill (Arthur et al.
// 1998, Human Performance 11:57; from memory).
const forgetDays = 250

// Idle is so many days in which component k was left alone: it goes back towards
// where a new student is taken to stand. Panics on an unknown component and a negative count.
func (c *Components) Idle(k, days int) {
	check(k >= 0 && k < c.k, "no such component")
	check(days >= 0, "days run forward only")
	left, n := math.Exp(-float64(days)/forgetDays), len(c.m)
	c.m[k] = c.first[k] + left*(c.m[k]-c.first[k])
	for i := range n {
		c.p[i*n+k] *= left
		c.p[k*n+i] *= left
	}
	for _, j := range c.met {
		c.crossOf(j)[k] *= left
	}
}

// Practised adds a day of practice: every ability grows by its gain times how
// much of the day went to it, and the gains fade. What a student brings to it is
// learnt from the log. work has one value a component, 1 for the share it would
// have of a day spent evenly. Panics on a wrong number of them or a negative one.
func (c *Components) Practised(work []float64) {
	check(len(work) == c.k, "one amount of work a component")
	for i, w := range work {
		check(w >= 0 && !math.IsInf(w, 1), "work is finite and not negative")
		c.work[i], c.kept[i] = w, math.Pow(gainKept, w)
	}
	n := len(c.m)
	c.grow(c.m, 1)
	c.grow(c.p, n)
	for i := range n {
		for j := range i {
			c.p[i*n+j], c.p[j*n+i] = c.p[j*n+i], c.p[i*n+j]
		}
	}
	c.grow(c.p, n)
	for _, j := range c.met {
		c.grow(c.crossOf(j), 1)
	}
}

// grow multiplies rows of so many columns by the transition of [Components.Practised].
func (c *Components) grow(rows []float64, columns int) {
	for i := range c.k {
		for j := range columns {
			gain := &rows[(c.k+i)*columns+j]
			rows[i*columns+j] += c.work[i] * *gain
			*gain *= c.kept[i]
		}
	}
}

// Guesses: how alike a student's gains are in all components, and what is left
// of a gain after a day of practice.
const (
	sharedGain = .5
	gainKept   = .98
)

// Count folds in a set of an item: passed of tries, with offset the logit that
// cold and fatigue add (see [Headline.Offset]; 0 for a capacity or a rested
// try). Panics unless 0 <= passed <= tries and tries >= 1, and on an unknown item.
func (c *Components) Count(item, tries, passed int, offset float64) {
	check(item >= 0 && item < len(c.items), "no such item")
	check(!math.IsNaN(offset) && !math.IsInf(offset, 0), "an offset is finite")
	check(tries >= 1 && passed >= 0 && passed <= tries, "a set has 1 or more tries and no more passed than tried")
	see(c, c.items[item].Component, item, offset, binomial(float64(tries), float64(passed)))
}

// Measure folds in a probe of a component: a value already mapped to logits, and
// the sd of that mapping and the measurement together. Panics unless the value
// is finite and sd > 0.
func (c *Components) Measure(component int, value, sd float64) {
	check(component >= 0 && component < c.k, "no such component")
	check(sd > 0 && !math.IsNaN(value) && !math.IsInf(value, 0), "a measurement is finite and has a positive sd")
	see(c, component, none, 0, normal{value, sd * sd})
}

// Bound folds in a probe that could show no more (or no less, where lowest) than
// this value: the component's own lies beyond it, up to the error of the probe.
// Panics as Measure does.
func (c *Components) Bound(component int, value, sd float64, lowest bool) {
	check(component >= 0 && component < c.k, "no such component")
	check(sd > 0 && !math.IsNaN(value) && !math.IsInf(value, 0), "a measurement is finite and has a positive sd")
	see(c, component, none, 0, bound{value, sd, lowest})
}

// none is the item of an observation whose link carries no kept doubt.
const none = -1

// see folds in a likelihood of eta = theta_k - d_item + offset.
func see[L loglik](c *Components, k, item int, offset float64, l L) step {
	n := len(c.m)
	for i := range n {
		c.a[i] = c.p[i*n+k]
	}
	mean, v := c.m[k]+offset, c.p[k*n+k]
	if item != none {
		x, cross := &c.items[item], c.crossOf(item)
		mean -= x.Difficulty
		v += x.Doubt*x.Doubt - 2*cross[k]
		for i := range n {
			c.a[i] -= cross[i]
		}
		if !slices.Contains(c.met, item) {
			c.met = append(c.met, item)
		}
	}
	s := laplace(mean, v, l)
	for _, j := range c.met {
		c.consider(j, k, item, s)
	}
	fold(c.m, c.p, c.a, s)
	c.seen[k]++
	return s
}

// consider updates cov(theta, d_j): it falls by cov(theta, eta)·cov(d_j, eta).
func (c *Components) consider(j, k, item int, s step) {
	cross := c.crossOf(j)
	b := cross[k]
	if j == item {
		b -= c.items[j].Doubt * c.items[j].Doubt
	}
	b *= s.shrink
	for i, a := range c.a {
		cross[i] -= a * b
	}
}

func (c *Components) crossOf(item int) []float64 {
	n := len(c.m)
	return c.cross[item*n : (item+1)*n]
}

// Level is where component k stands.
func (c *Components) Level(k int) Level {
	return Level{Mean: c.m[k], SD: math.Sqrt(c.p[k*len(c.m)+k]), N: c.seen[k]}
}

// Covariance is that of components k and l, logit².
func (c *Components) Covariance(k, l int) float64 { return c.p[k*len(c.m)+l] }

// Success predicts one try of an item, at an offset as in [Components.Count].
func (c *Components) Success(item int, offset float64) Success {
	x := &c.items[item]
	k := x.Component
	v := c.p[k*len(c.m)+k] + x.Doubt*x.Doubt - 2*c.crossOf(item)[k]
	s := Success{Logit: c.m[k] - x.Difficulty + offset, SD: math.Sqrt(math.Max(v, 0))}
	s.P = meanSigmoid(s.Logit, s.SD)
	return s
}
