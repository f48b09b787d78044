package rehearse

import (
	"testing"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// TestForecastsAreJudged: a forecast for 15 s made at the end of a week, against
// the first week of forty at whose end the chance is there.
func TestForecastsAreJudged(t *testing.T) {
	const weeks = 40
	for _, c := range []struct {
		what         string
		made, lo, hi int
		there        int // the week at whose end the chance is there; 0: not in the course
		held, judged int
	}{
		{what: "came", made: 4, lo: 3, hi: 8, there: 9, held: 1, judged: 1},
		{what: "came in the first week of it", made: 4, lo: 3, hi: 8, there: 7, held: 1, judged: 1},
		{what: "came in the last week of it", made: 4, lo: 3, hi: 8, there: 12, held: 1, judged: 1},
		{what: "early", made: 4, lo: 3, hi: 8, there: 6, judged: 1},
		{what: "late", made: 4, lo: 3, hi: 8, there: 13, judged: 1},
		{what: "was there already", made: 4, lo: 0, hi: 2, there: 2, held: 1, judged: 1},
		{what: "was there already, foretold later", made: 4, lo: 1, hi: 2, there: 2, judged: 1},
		{what: "came, with no end foretold", made: 4, lo: 3, hi: never, there: 30, held: 1, judged: 1},
		{what: "came, foretold beyond every horizon", made: 4, lo: never, hi: never, there: 30, judged: 1},
		{what: "not yet, foretold beyond the course", made: 4, lo: 3, hi: 37, held: 1, judged: 1},
		{what: "not yet, foretold by its last week", made: 4, lo: 3, hi: 36, judged: 1},
		{what: "not yet, with no end foretold", made: 4, lo: 3, hi: never, held: 1, judged: 1},
		{what: "just half a year followed", made: weeks - followed, lo: 1, hi: 9, there: 20, held: 1, judged: 1},
		{what: "less followed", made: weeks - followed + 1, lo: 1, hi: 9, there: 20},
	} {
		s := &course{chances: make([][]float64, len(practice.DefaultMilestonesS))}
		for w := range weeks {
			for i, m := range practice.DefaultMilestonesS {
				q := .99 // of the others: a look at the wrong one shows
				if m == Goal {
					q = assess.TargetP - .001
					if c.there > 0 && w+1 >= c.there {
						q = assess.TargetP
					}
				}
				s.chances[i] = append(s.chances[i], q)
			}
		}
		s.record.Looks = []Look{{due: due{seconds: Goal, week: c.made, lo: c.lo, hi: c.hi, open: true}}, {due: due{}}}
		s.settle(weeks)
		if got := s.record.Looks[0].Forecast; got != (Covered{c.held, c.judged}) {
			t.Errorf("%s: %+v", c.what, got)
		}
		if got := s.record.Looks[1].Forecast; got != (Covered{}) {
			t.Errorf("%s: no forecast was made, judged %+v", c.what, got)
		}
	}
}

func TestCoveredCounts(t *testing.T) {
	var c Covered
	for _, held := range []bool{true, false, true} {
		c.add(held)
	}
	if c != (Covered{Held: 2, Of: 3}) {
		t.Errorf("%+v", c)
	}
}

func TestTwoLikeliest(t *testing.T) {
	for _, c := range []struct {
		p             []float64
		first, second practice.Component
	}{
		{[]float64{.1, .5, .4}, "b", "c"},
		{[]float64{.5, .1, .4}, "a", "c"},
		{[]float64{.1, .4, .5}, "c", "b"},
		{[]float64{.4, .4, .2}, "a", "b"},
		{[]float64{1}, "a", ""},
		{nil, "", ""},
	} {
		var levels []assess.ComponentLevel
		for i, p := range c.p {
			levels = append(levels, assess.ComponentLevel{Name: practice.Component(rune('a' + i)), PLimits: p})
		}
		if first, second := twoLikeliest(levels); first != c.first || second != c.second {
			t.Errorf("of %v: %q and %q", c.p, first, second)
		}
	}
}

// TestProofsCarryTheTruthOfTheirDay, each milestone once.
func TestProofsCarryTheTruthOfTheirDay(t *testing.T) {
	var c course
	for day := range 10 {
		row := make([]float64, len(practice.DefaultMilestonesS))
		for i := range row {
			row[i] = float64(day) / 10
		}
		c.daily = append(c.daily, row)
	}
	say := func(seconds float64, day int) {
		on := start + practice.Date(day)
		c.last.Milestone = assess.Milestone{ReachedSeconds: seconds, ReachedOn: &on}
		c.proofs()
	}
	c.proofs() // nothing is proven
	say(3, 2)
	say(3, 2)
	say(10, 7)
	want := []Proof{{3, .2}, {10, .7}}
	if len(c.record.Proofs) != 2 || c.record.Proofs[0] != want[0] || c.record.Proofs[1] != want[1] {
		t.Errorf("%+v", c.record.Proofs)
	}
}
