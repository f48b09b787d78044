package planning

import (
	"cmp"
	"fmt"
	"slices"

	"aplomb/internal/week"
)

// explain prices every chosen drill and the nearest of those left out.
func (d *Draft) explain(in *Input, options week.Options, leftOut int) error {
	why, err := week.Why(d.Problem, d.Result, options)
	if err != nil {
		return fmt.Errorf("planning: the week of %s: %w", in.Student.ID, err)
	}
	d.Reasons = map[string]Reason{}
	for _, loss := range why {
		r := in.reason(loss.Drill)
		r.Proved = loss.Proved
		if loss.Loss != nil {
			r.Loss = *loss.Loss
		}
		for _, l := range d.Problem.Locks {
			r.Locked = r.Locked || l.Drill == loss.Drill
		}
		r.Shared = slices.Contains(in.Shared, loss.Drill)
		d.Reasons[loss.Drill] = r
	}
	if leftOut == 0 {
		return nil
	}
	not, err := week.WhyNot(d.Problem, d.Result, leftOut, options)
	if err != nil {
		return fmt.Errorf("planning: the week of %s: %w", in.Student.ID, err)
	}
	for _, loss := range not {
		l := LeftOut{Drill: loss.Drill, Loss: loss.Loss, Proved: loss.Proved}
		if loss.Loss != nil && d.Result.Objective > 0 {
			l.Share = float64(*loss.Loss) / float64(d.Result.Objective)
		}
		d.LeftOut = append(d.LeftOut, l)
	}
	slices.SortStableFunc(d.LeftOut, nearestFirst)
	return nil
}

// nearestFirst orders left-out drills by what they would cost; what no week has
// room for comes last.
func nearestFirst(a, b LeftOut) int {
	switch {
	case a.Loss == nil && b.Loss == nil:
		return 0
	case a.Loss == nil:
		return 1
	case b.Loss == nil:
		return -1
	}
	return cmp.Compare(*a.Loss, *b.Loss)
}

func (in *Input) reason(id string) Reason {
	last := in.lastWeek()
	for i := range in.Library.Drills {
		d := &in.Library.Drills[i]
		if d.ID != id {
			continue
		}
		ds := in.Standing.Drills[i]
		r := Reason{Component: d.Component, P: ds.P, Kind: in.kind(i), LastWeek: last[id],
			Helped: ds.Helped > 0 && ds.Confusing == 0, Muddy: ds.Confusing > 0, Known: in.Standing.LimiterKnown}
		for _, c := range in.Standing.Components {
			if c.Name == d.Component {
				r.PLimits = c.PLimits
			}
		}
		return r
	}
	panic("planning: no drill " + id)
}
