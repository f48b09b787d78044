package assess

import (
	"slices"

	"aplomb/internal/practice"
)

// Following stands one student again and again while their log grows, at the cost
// of what is new in it; the zero value is ready. It gives what [Stand] gives to
// the last bit, as long as no row of a day before the last AsOf is changed in
// place or put for another: rows added or taken out there, another library, zone
// or fear at intake and an earlier day are seen, and all is folded in anew.
type Following struct {
	at *estimator    // every row of a day before to, and no time after them
	to practice.Date // the last AsOf
}

// estimate folds in what is new and gives the two filters at the end of the day
// AsOf. The rows of that day are not kept: more may come.
func (f *Following) estimate(s *Subject, items []item, clock Clock) *estimator {
	tests := testsOf(s, clock)
	intake := fear(s, tests)
	if f.at == nil || s.AsOf < f.to || !f.at.begunAs(s, intake) || !f.at.before(f.to, items, tests) {
		f.at = newEstimator(s, intake)
	}
	f.at.s, f.to = s, s.AsOf
	f.at.follow(items, tests, s.AsOf-1)
	e := f.at.clone()
	e.follow(items, tests, s.AsOf)
	e.rest()
	return e
}

// begunAs says whether the estimator began with the same.
func (e *estimator) begunAs(s *Subject, fear *float64) bool {
	feared := e.fear == fear || e.fear != nil && fear != nil && *e.fear == *fear
	zone := e.s.Zone == s.Zone && e.s.Student.Zone == s.Student.Zone
	return feared && zone && e.s.Student.ID == s.Student.ID && e.s.Library == s.Library
}

// before says whether the rows and tests before a day are as many as were folded in.
func (e *estimator) before(day practice.Date, items []item, tests []dated) bool {
	rows, _ := slices.BinarySearchFunc(items, day, func(it item, d practice.Date) int { return int(it.day - d) })
	taken, _ := slices.BinarySearchFunc(tests, day, func(t dated, d practice.Date) int { return int(t.day - d) })
	return rows == e.rows && taken == e.tests
}
