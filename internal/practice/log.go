package practice

import (
	"cmp"
	"slices"
)

// Log is everything logged of one student, each list in order of time.
type Log struct {
	Attempts []Attempt
	Tallies  []Tally
	Sessions []Session
	Probes   []ProbeResult
	Marks    []DrillMark
	Words    []SetWords
	Detours  []Detour
	Weeks    []Week // as handed over, in order of week and version
}

// Sort puts every list in order of time, rows of the same instant in the order
// of set and rep, then as they stood.
func (l *Log) Sort() {
	slices.SortStableFunc(l.Attempts, func(a, b Attempt) int {
		return cmp.Or(cmp.Compare(a.At.UnixNano, b.At.UnixNano), cmp.Compare(a.Set, b.Set), cmp.Compare(a.Rep, b.Rep))
	})
	slices.SortStableFunc(l.Tallies, func(a, b Tally) int {
		return cmp.Or(cmp.Compare(a.At.UnixNano, b.At.UnixNano), cmp.Compare(a.Set, b.Set))
	})
	slices.SortStableFunc(l.Sessions, func(a, b Session) int { return cmp.Compare(a.At.UnixNano, b.At.UnixNano) })
	slices.SortStableFunc(l.Probes, func(a, b ProbeResult) int { return cmp.Compare(a.At.UnixNano, b.At.UnixNano) })
	slices.SortStableFunc(l.Marks, func(a, b DrillMark) int { return cmp.Compare(a.At.UnixNano, b.At.UnixNano) })
	slices.SortStableFunc(l.Words, func(a, b SetWords) int {
		return cmp.Or(cmp.Compare(a.At.UnixNano, b.At.UnixNano), cmp.Compare(a.Set, b.Set))
	})
	slices.SortStableFunc(l.Detours, func(a, b Detour) int { return cmp.Compare(a.At.UnixNano, b.At.UnixNano) })
	slices.SortStableFunc(l.Weeks, func(a, b Week) int {
		return cmp.Or(cmp.Compare(a.ISOWeek.Monday(), b.ISOWeek.Monday()), cmp.Compare(a.Version, b.Version))
	})
}
