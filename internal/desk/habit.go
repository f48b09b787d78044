package desk

import (
	"cmp"
	"maps"
	"slices"

	"aplomb/internal/practice"
)

// set is one set of one drill as logged.
type set struct {
	day           practice.Date
	drill         string
	tries, failed int
}

// sets are the student's sets of the last days, rows of one drill that share
// day, session and set number together; a row without a number is a set.
func (s Subject) sets(days practice.Date) []set {
	type place struct {
		day            practice.Date
		session, drill string
		number         int
	}
	var out []set
	at := map[place]int{}
	add := func(day practice.Date, session, drill string, number, tries, failed int) {
		if day > s.Standing.AsOf || day <= s.Standing.AsOf-days {
			return
		}
		key := place{day, session, drill, number}
		i, known := at[key]
		if !known || number == 0 {
			i = len(out)
			at[key] = i
			out = append(out, set{day: day, drill: drill})
		}
		out[i].tries += tries
		out[i].failed += failed
	}
	for _, a := range s.Log.Attempts {
		if a.Passed.Known {
			add(s.dayOf(a.At), a.Session, a.Drill, a.Set, 1, int(btoi(!a.Passed.Value)))
		} else {
			add(s.dayOf(a.At), a.Session, a.Drill, a.Set, 0, 0)
		}
	}
	for _, t := range s.Log.Tallies {
		if t.Caught.Known {
			add(s.dayOf(t.At), t.Session, t.Drill, t.Set, t.Tries, t.Tries-t.Caught.Value)
		} else {
			add(s.dayOf(t.At), t.Session, t.Drill, t.Set, 0, 0)
		}
	}
	return out
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// hard: most tries of the last two weeks failed.
func (s Subject) hard() *Notice {
	e := Evidence{}
	for _, x := range s.sets(recentDays) {
		e.N, e.Of = e.N+x.failed, e.Of+x.tries
	}
	if e.Of < hardTries || float64(e.N) < hardShare*float64(e.Of) {
		return nil
	}
	e.Share = float64(e.N) / float64(e.Of)
	return &Notice{Kind: Hard, About: monthOf(s.Standing.AsOf), Evidence: e}
}

// bunched: one day of the week has most of the minutes of the last four, though
// the student has three days or more.
func (s Subject) bunched() *Notice {
	var minutes [7]float64
	sum, n := 0.0, 0
	for _, x := range s.Log.Sessions {
		day := s.dayOf(x.At)
		if day <= s.Standing.AsOf-longDays || day > s.Standing.AsOf || !x.Minutes.Known {
			continue
		}
		minutes[day.Weekday()] += x.Minutes.Value
		sum, n = sum+x.Minutes.Value, n+1
	}
	if len(s.Student.Slots) < 3 || n < 4 || sum == 0 {
		return nil
	}
	best := 0
	for d := range minutes {
		if minutes[d] > minutes[best] {
			best = d
		}
	}
	share := minutes[best] / sum
	if share < bunchedShare {
		return nil
	}
	return &Notice{Kind: Bunched, About: monthOf(s.Standing.AsOf), Evidence: Evidence{Share: share, Day: practice.Weekday(best), N: n}}
}

// oneSided: one component has most of the sets of the last four weeks.
func (s Subject) oneSided() *Notice {
	of := map[practice.Component]int{}
	sum := 0
	for _, x := range s.sets(longDays) {
		if d, ok := s.Library.Drill(x.drill); ok && !practice.FreeTry(x.drill) {
			of[d.Component]++
			sum++
		}
	}
	if sum < sidedSets {
		return nil
	}
	most := slices.MaxFunc(slices.Sorted(maps.Keys(of)), func(a, b practice.Component) int { return cmp.Compare(of[a], of[b]) })
	share := float64(of[most]) / float64(sum)
	if share < sidedShare {
		return nil
	}
	return &Notice{Kind: OneSided, About: string(most) + ", " + monthOf(s.Standing.AsOf),
		Evidence: Evidence{Component: most, Share: share, N: of[most], Of: sum}}
}

// thin: many drills in two weeks, most of them with too few sets to tell. Who
// began less than two weeks ago cannot have more.
func (s Subject) thin() *Notice {
	if s.Standing.FirstDay > s.Standing.AsOf-recentDays {
		return nil
	}
	of := map[string]int{}
	for _, x := range s.sets(recentDays) {
		if !practice.FreeTry(x.drill) {
			of[x.drill]++
		}
	}
	few := 0
	for _, n := range of {
		if n < thinSets {
			few++
		}
	}
	if len(of) < thinDrills || 2*few <= len(of) {
		return nil
	}
	return &Notice{Kind: Thin, About: monthOf(s.Standing.AsOf), Evidence: Evidence{N: few, Of: len(of)}}
}
