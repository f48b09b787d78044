package assess

import (
	"fmt"
	"slices"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// fewDays is how many days drills must share, a student's day each, before it is
// said that they were always done together; a guess.
const fewDays = 5

// sameDays is the drills of a component that were done on the very same days by
// the very same students: whatever the tests will show, it shows of all of them.
func (r *roster) sameDays() (out []Open) {
	for k, info := range r.lib.Components {
		byDays := map[string][]string{}
		var order []string
		for _, j := range r.drillsOf(k) {
			days := r.daysOf(j)
			if len(days) < fewDays {
				continue
			}
			key := strings.Join(days, " ")
			if byDays[key] == nil {
				order = append(order, key)
			}
			byDays[key] = append(byDays[key], r.lib.Drills[j].ID)
		}
		for _, key := range order {
			if drills := byDays[key]; len(drills) > 1 {
				slices.Sort(drills)
				out = append(out, Open{Code: AlwaysTogether, Component: info.Name, Drills: drills})
			}
		}
	}
	return out
}

// daysOf is the students' days with a drill, each once.
func (r *roster) daysOf(drill int) (days []string) {
	for i := range r.pupils {
		last := practice.Date(-1 << 31)
		for _, it := range r.pupils[i].items {
			if it.drill == drill && it.day != last {
				last = it.day
				days = append(days, fmt.Sprintf("%d/%d", i, last))
			}
		}
	}
	return days
}

// confounded adds to the drills done on the same days the effects that were not
// told apart, grouped by the reason.
func confounded(effects []DrillEffect, out []Open) []Open {
	steady, returns := Open{Code: SamePace}, Open{Code: AfterALowTest}
	for _, e := range effects {
		switch e.Status {
		case skill.Together:
			drills := append([]string{e.Drill}, e.With...)
			slices.Sort(drills)
			if !slices.ContainsFunc(out, func(o Open) bool { return slices.Equal(o.Drills, drills) }) {
				out = append(out, Open{Code: AlwaysTogether, Component: e.Component, Drills: drills})
			}
		case skill.Steady:
			steady.Drills = append(steady.Drills, e.Drill)
		case skill.Returns:
			returns.Drills = append(returns.Drills, e.Drill)
		}
	}
	for _, o := range []Open{steady, returns} {
		if len(o.Drills) > 0 {
			out = append(out, o)
		}
	}
	return out
}
