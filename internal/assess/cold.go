package assess

import (
	"aplomb/internal/holds"
	"aplomb/internal/practice"
)

// ColdLine is one cold try as evidence for holding so many seconds.
type ColdLine struct {
	Attempt practice.Attempt
	Day     practice.Date
	Counts  bool // as a try at it; a spot or pain sooner, a time nobody took, or something under the hands does not
	Passed  bool
	Old     bool // before the days the bar looks at
}

// ColdEvidence is the cold tries of the last days, the newest first, held
// against so many seconds.
func ColdEvidence(s Subject, seconds float64, days int) (out []ColdLine) {
	items := timeline(s.Library, indexDrills(s.Library), s.Log, s.AsOf, s.clock())
	for i := len(items) - 1; i >= 0; i-- {
		it := &items[i]
		if it.day <= s.AsOf-practice.Date(days) {
			break
		}
		if !it.cold {
			continue
		}
		counts, passed := coldTry(it.attempt, seconds)
		out = append(out, ColdLine{Attempt: *it.attempt, Day: it.day, Counts: counts, Passed: passed, Old: int(s.AsOf-it.day) >= holds.StandardBar.WindowDays})
	}
	return out
}
