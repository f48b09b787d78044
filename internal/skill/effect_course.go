package skill

import (
	"cmp"
	"math"
	"slices"
)

// course is one student's tests, everything counted from the first.
type course struct {
	student   int
	first     Tested
	days      []float64
	value, sd []float64
	other     []float64
	sets      [][]float64 // by drill, then by test
	practised []bool      // drills with a set between tests
}

// newCourses is the students tested twice or more.
func newCourses(drills int, tested []Tested) (out []course) {
	tested = slices.Clone(tested)
	slices.SortStableFunc(tested, func(a, b Tested) int {
		return cmp.Or(cmp.Compare(a.Student, b.Student), cmp.Compare(a.Day, b.Day))
	})
	for len(tested) > 0 {
		n := slices.IndexFunc(tested, func(t Tested) bool { return t.Student != tested[0].Student })
		if n < 0 {
			n = len(tested)
		}
		c := newCourse(drills, tested[:n])
		if n > 1 {
			out = append(out, c)
		}
		tested = tested[n:]
	}
	return out
}

func newCourse(drills int, tested []Tested) course {
	c := course{student: tested[0].Student, first: tested[0], sets: make([][]float64, drills), practised: make([]bool, drills)}
	for _, t := range tested {
		c.add(t)
	}
	return c
}

func (c *course) add(t Tested) {
	check(t.SD > 0 && !math.IsNaN(t.Value) && !math.IsInf(t.Value, 0), "a test is finite and has a positive sd")
	check(len(t.Sets) == len(c.sets), "one count of sets a drill")
	c.days = append(c.days, float64(t.Day-c.first.Day))
	c.value, c.sd = append(c.value, t.Value), append(c.sd, t.SD)
	c.other = append(c.other, t.Other-c.first.Other)
	for j := range c.sets {
		c.sets[j] = append(c.sets[j], t.Sets[j]-c.first.Sets[j])
		c.practised[j] = c.practised[j] || t.Sets[j] > c.first.Sets[j]
	}
}
