package learner

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// sound is a plain schedule for the tests: the two weakest skills by a noisy
// eye, half of the reps likely to pass and half a challenge, 15% of the minutes
// free tries with long rests, a capacity last.
type sound struct {
	who  *Student
	eye  *rand.Rand
	turn int
}

const (
	prepMin   = 4.0
	tryShare  = .15
	lateShare = .20
	repS      = 5.0
	repRestS  = 20.0
)

func (c *sound) weakest() (a, b Component) {
	seen := make([]float64, skills)
	order := []Component{Entry, Exit, Confidence, Line, Tension, Balance}
	for k := range seen {
		seen[k] = c.who.Level(Component(k)) + .5*c.eye.NormFloat64()
	}
	slices.SortFunc(order, func(i, j Component) int {
		if seen[i] < seen[j] {
			return -1
		}
		return 1
	})
	return order[0], order[1]
}

func (c *sound) session(minutes float64) {
	s := c.who
	s.Begin(prepMin)
	left := minutes - prepMin
	tries := int(math.Round(tryShare * left * 60 / (90 + repS)))
	s.Do(Exercise{Trains: Entry, Try: true, Reps: tries, RestSeconds: 90, Minutes: tryShare * left, HandMinutes: float64(tries) * repS / 60})
	a, b := c.weakest()
	each := (1 - tryShare - lateShare) * left / 4
	for _, k := range []Component{a, b} {
		for _, chance := range []float64{.85, .55} {
			n := int(each * 60 / (repS + repRestS))
			s.Do(Exercise{Trains: k, Difficulty: s.Level(k) - logit(chance), Reps: n, Seconds: repS, RestSeconds: repRestS, Minutes: each, HandMinutes: each * .15})
		}
	}
	c.turn++
	s.Do(Exercise{Trains: skills + Component(c.turn%3), Capacity: true, Reps: 3, Seconds: 20, RestSeconds: 40, Minutes: lateShare * left, HandMinutes: lateShare * left * .3})
	s.Finish()
}

// weeksTo is after how many weeks of a weekly schedule (minutes by day, 0: rest)
// the true cold chance of 15 s is .8 or more; limit+1: not by then.
func weeksTo(p Params, seed uint64, days [7]float64, limit int) int {
	c := sound{who: New(p, seed), eye: rand.New(rand.NewPCG(seed, 77))}
	off := 0
	for w := range limit {
		for _, minutes := range days {
			if minutes > 0 && off == 0 && c.eye.Float64() < c.who.Adherence() {
				c.session(minutes)
			}
			off = max(0, off-1)
			c.who.Night(1)
		}
		if c.who.Chance(15, true) >= .8 {
			return w + 1
		}
	}
	return limit + 1
}

// Order alone, with a wide margin: a sound schedule brings the middle student to
// a cold 15 s in half a year, and the same minutes in one session a week take
// longer. Nothing in the model names a schedule.
func TestSpreadingTheSameMinutesIsSooner(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates two hundred student-years")
	}
	const students, limit = 100, 104
	spread, once := make([]int, students), make([]int, students)
	for i := range students {
		spread[i] = weeksTo(Defaults(), uint64(i), [7]float64{40, 15, 40, 0, 40, 15, 0}, limit)
		once[i] = weeksTo(Defaults(), uint64(i), [7]float64{0, 0, 150}, limit)
	}
	slices.Sort(spread)
	slices.Sort(once)
	t.Logf("weeks, quartiles: spread %d %d %d, once %d %d %d", spread[25], spread[50], spread[75], once[25], once[50], once[75])
	if spread[50] > 26 || once[50] < spread[50]+8 {
		t.Errorf("median weeks: spread %d, once %d", spread[50], once[50])
	}
}
