package assess

import (
	"fmt"

	"aplomb/internal/holds"
	"aplomb/internal/practice"
)

// coldTries is the cold tries at holding so many seconds, in order of time.
func coldTries(items []item, seconds float64) []holds.ColdTry {
	var tries []holds.ColdTry
	for i := range items {
		if !items[i].cold {
			continue
		}
		a := items[i].attempt
		if counts, passed := coldTry(a, seconds); counts {
			tries = append(tries, holds.ColdTry{Day: int(items[i].day), Place: a.Place, Passed: passed})
		}
	}
	return tries
}

// milestone finds the longest milestone that was ever proven, looking once a
// day as a coach would, and what the next still lacks.
func milestone(items []item, milestones []float64, asOf practice.Date) Milestone {
	var m Milestone
	for _, seconds := range milestones {
		if day, ok := firstProven(coldTries(items, seconds), asOf); ok {
			m.ReachedSeconds, m.ReachedOn = seconds, &day
		}
	}
	for i := range items {
		if a := items[i].attempt; a != nil && a.Cold.Known && a.Cold.Value && !items[i].cold {
			m.MisMarked++
		}
	}
	for _, seconds := range milestones {
		if seconds > m.ReachedSeconds {
			m.NextSeconds = seconds
			m.Proven = provenNow(coldTries(items, seconds), asOf)
			break
		}
	}
	return m
}

// firstProven looks at the end of every day up to asOf.
func firstProven(tries []holds.ColdTry, asOf practice.Date) (practice.Date, bool) {
	day, declared, err := holds.StandardBar.Declared(tries, int(asOf))
	mustBeInOrder(err)
	return practice.Date(day), declared
}

func provenNow(tries []holds.ColdTry, asOf practice.Date) Proven {
	p, err := holds.StandardBar.Judge(tries, int(asOf))
	mustBeInOrder(err)
	return Proven{Tries: p.Tries, Passes: p.Passes, Days: p.Days, Places: len(p.Places),
		LowerBound: p.LowerBound, Declared: p.Declared,
		Missing: Missing{Days: p.Missing.Days, Passes: p.Missing.Passes}}
}

// Proven is what one student's cold tries of a bare file show of holding so
// many seconds, as of a day.
func (c *ColdTries) Proven(seconds float64, asOf practice.Date) Proven {
	items := make([]item, len(c.Attempts))
	for i, a := range c.Attempts {
		items[i] = item{attempt: a, day: c.Days[i], cold: true}
	}
	return provenNow(coldTries(items, seconds), asOf)
}

// mustBeInOrder: the timeline is in order and the bar is the default, so an
// error is a mistake of the program.
func mustBeInOrder(err error) {
	if err != nil {
		panic(fmt.Sprintf("assess: %v", err))
	}
}
