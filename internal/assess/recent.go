package assess

import "aplomb/internal/practice"

// OpenTry is one free try or hold in the open, as a picture shows it.
type OpenTry struct {
	Day     practice.Date `json:"day"`
	Seconds float64       `json:"s"`
	Caught  bool          `json:"c,omitempty"`
	Lowered bool          `json:"l,omitempty"` // its end was chosen: it could have lasted longer
	Cold    bool          `json:"k,omitempty"`
}

// OpenTries is the tries in the open of the last days that were logged one by
// one with their seconds, in order of time.
func OpenTries(s Subject, days int) []OpenTry {
	var out []OpenTry
	for _, it := range timeline(s.Library, indexDrills(s.Library), s.Log, s.AsOf, s.clock()) {
		if it.attempt == nil || it.day <= s.AsOf-practice.Date(days) || !isHold(s.Library, &it) || supportOf(s.Library, &it) != practice.Open {
			continue
		}
		o := outcomeOf(it.attempt)
		if o.excluded || !it.attempt.Seconds.Known {
			continue
		}
		out = append(out, OpenTry{it.day, it.attempt.Seconds.Value, o.caught, o.held && !o.fell, it.cold})
	}
	return out
}

// HandWeek is the minutes of weight on the hands in one week.
type HandWeek struct {
	Week    practice.ISOWeek `json:"week"`
	Minutes float64          `json:"minutes"`
}

// HandWeeks is the last n ISO weeks that are over, oldest first, the weeks
// before the first practice left out.
func HandWeeks(s Subject, n int) []HandWeek {
	clock := s.clock()
	ix := indexDrills(s.Library)
	sums := wholeWeeks(handMinutes(&s, ix, timeline(s.Library, ix, s.Log, s.AsOf, clock), clock), s.AsOf)
	end := s.AsOf + 1 - practice.Date((s.AsOf + 1).Weekday())
	var out []HandWeek
	for i := max(0, len(sums)-n); i < len(sums); i++ {
		monday := end - practice.Date(7*(len(sums)-i))
		out = append(out, HandWeek{monday.Week(), round1(sums[i])})
	}
	return out
}
