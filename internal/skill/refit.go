package skill

import (
	"cmp"
	"math"
	"slices"
)

// Seen is one observation of an item: a set, or a measured floor test.
type Seen struct {
	Student, Day, Item int
	Tries, Passed      int     // of a set; no tries: a measurement
	Value, SD          float64 // of a measurement, logit, as in [Components.Measure]
	Offset             float64 // logit that fatigue adds to a set
}

// slope is that of the log-likelihood in eta = theta - d + offset.
func (s *Seen) slope(eta float64) (g, h float64) {
	if s.Tries == 0 {
		return normal{s.Value, s.SD * s.SD}.slope(eta)
	}
	return binomial(float64(s.Tries), float64(s.Passed)).slope(eta)
}

func (s *Seen) value(eta float64) float64 {
	if s.Tries == 0 {
		return normal{s.Value, s.SD * s.SD}.value(eta)
	}
	return binomial(float64(s.Tries), float64(s.Passed)).value(eta)
}

// Difficulty is what a roster's log says of one item.
type Difficulty struct {
	Learned           // logit
	Guess    float64  // logit, what the refit began with
	Doubt    float64  // sd of the guess
	Tries    int      // in sets
	Results  int      // measurements
	Students int      // who did it
	Told     float64  // share of the variance of the guess that the log took away
	Evidence Evidence // None leaves Mean and SD at the guess
}

// Refit estimates the difficulties of items from the logs of a roster, one
// component at a time; at[k] is what is known of component k at intake.
//
// Model: logit P(pass) = theta - d_j + offset; a measured test shows
// theta - d_j + error. Each student's theta starts at N(mean + level, sd²) and
// wanders by the component's noise from day to day; d_j ~ N(guess, doubt²),
// independent. The level of all students of a component is as good as unknown (sd
// 10 logits): it is this that keeps ability and difficulty from drifting together.
// To raise every ability and every difficulty by the same amount changes no
// likelihood, so only the guesses hold the scale, and at the estimate
//
//	sum over the items met of (d_j - guess_j)/doubt_j² = level/100
//
// which is as good as 0: an anchor weighted by how sure each guess is, plain where
// all are equally sure. It need not be imposed. And since it is the guesses that
// hold the scale, the doubt of their common mean stays in every sd; a plain
// constraint would deny it.
//
// The mode over all abilities and difficulties at once, by Newton's method; the
// sd of a difficulty from the curvature with the abilities eliminated (Schur
// complement), so their doubt is in it. Assumes a difficulty is constant and the
// same for everyone, and the offset known. Small samples: an item nobody met
// keeps its guess and doubt exactly; the joint mode draws the difficulties of
// very short logs a little apart, within the doubt.
//
// Panics on an observation as [Components.Count] or [Components.Measure] would,
// and on a noise, an sd or a doubt that is not positive. ErrNoFit when Newton's
// method does not settle.
//
// Reference: Tierney & Kadane (1986), JASA 81:82, for the approximation;
// Fischer & Molenaar (1995), Rasch Models, ch. 3, for the indeterminate level.
func Refit(at []Component, items []Item, seen []Seen) ([]Difficulty, error) {
	checkRoster(at, items, seen)
	out := make([]Difficulty, len(items))
	for j, it := range items {
		out[j] = Difficulty{Learned: learned(it.Difficulty, it.Doubt*it.Doubt), Guess: it.Difficulty, Doubt: it.Doubt}
	}
	count(out, seen)
	parts := make([][]Seen, len(at))
	for _, s := range seen {
		k := items[s.Item].Component
		parts[k] = append(parts[k], s)
	}
	for k, part := range parts {
		if len(part) == 0 {
			continue
		}
		if err := refitOne(at[k], items, part, out); err != nil {
			return nil, err
		}
	}
	for j := range out {
		d := &out[j]
		d.Told = 1 - d.SD*d.SD/(d.Doubt*d.Doubt)
		d.Evidence = told(d.Students, d.Told)
	}
	return out, nil
}

// refitOne fills in the items of one component that were met.
func refitOne(at Component, items []Item, seen []Seen, out []Difficulty) error {
	r, met := newRoster(at, items, seen)
	covariance, err := r.climb()
	if err != nil {
		return err
	}
	for c, j := range met {
		out[j].Learned = learned(r.global[c+1], covariance.At(c+1, c+1))
	}
	return nil
}

func checkRoster(at []Component, items []Item, seen []Seen) {
	for _, c := range at {
		check(c.SD > 0 && c.Noise > 0, "to refit, a component has a positive sd and a positive noise")
	}
	for _, it := range items {
		check(it.Component >= 0 && it.Component < len(at), "an item belongs to a component")
		check(it.Doubt > 0, "to refit, a guess has a doubt")
	}
	finite := func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
	for _, s := range seen {
		check(s.Item >= 0 && s.Item < len(items), "no such item")
		check(s.Tries >= 0 && s.Passed >= 0 && s.Passed <= s.Tries, "a set has no more passed than tried")
		check(s.Tries > 0 || s.SD > 0, "a measurement has a positive sd")
		check(finite(s.Value) && finite(s.Offset), "a measurement and an offset are finite")
	}
}

// count fills tries, results and students.
func count(out []Difficulty, seen []Seen) {
	met := map[[2]int]bool{}
	for _, s := range seen {
		d := &out[s.Item]
		d.Tries += s.Tries
		if s.Tries == 0 {
			d.Results++
		}
		if by := [2]int{s.Item, s.Student}; !met[by] {
			met[by] = true
			d.Students++
		}
	}
}

// inOrder is the observations by student, then day.
func inOrder(seen []Seen) []Seen {
	out := slices.Clone(seen)
	slices.SortStableFunc(out, func(a, b Seen) int {
		return cmp.Or(cmp.Compare(a.Student, b.Student), cmp.Compare(a.Day, b.Day))
	})
	return out
}
