package assess

import (
	"slices"

	"aplomb/internal/practice"
)

// Curve is the share of the last WindowDays' free tries and holds in the open
// that last at least so many seconds: the catch first, then every time at which
// a fall was seen, and the longest hold. Each share has its interval at
// ScreenLevel, catch and holds together ([holds.Tries.AtLeast]). With fewer
// than FewTries tries there is none.
func Curve(s Subject) []Chance {
	items := timeline(s.Library, indexDrills(s.Library), s.Log, s.AsOf, s.clock())
	t := triesOf(s.Library, items, func(it *item) bool {
		return it.day > s.AsOf-WindowDays && supportOf(s.Library, it) == practice.Open
	})
	if t.Attempts < FewTries {
		return nil
	}
	times := []float64{practice.CatchS}
	longest := practice.CatchS
	for _, h := range t.Holds {
		if h.Fell {
			times = append(times, h.Seconds)
		}
		longest = max(longest, h.Seconds)
	}
	times = append(times, longest)
	slices.Sort(times)
	var out []Chance
	for _, at := range slices.Compact(times) {
		c, err := t.AtLeast(at, ScreenLevel)
		if err != nil {
			continue // not followed that long
		}
		out = append(out, Chance{Seconds: at, P: c.P, Lo: c.Lo, Hi: c.Hi, Level: c.Level, Method: string(c.Method)})
	}
	return out
}
