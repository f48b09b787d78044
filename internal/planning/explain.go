package planning

import (
	"fmt"
	"slices"

	"aplomb/internal/week"
)

// explain says why each drill is in and prices the nearest of those left out.
// Where every left-out drill is priced, so is every chosen one.
func (d *Draft) explain(in *Input, options week.Options, leftOut int) error {
	d.Reasons = map[string]Reason{}
	for _, c := range d.Result.Drills {
		r := in.reason(c.ID)
		r.Locked = slices.ContainsFunc(d.Problem.Locks, func(l week.Lock) bool { return l.Drill == c.ID })
		r.Shared = slices.Contains(in.Shared, c.ID)
		d.Reasons[c.ID] = r
	}
	if leftOut < 0 {
		if err := d.price(in, options); err != nil {
			return err
		}
	}
	if leftOut == 0 {
		return nil
	}
	not, err := week.WhyNot(d.Problem, d.Result, leftOut, options)
	if err != nil {
		return fmt.Errorf("planning: the week of %s: %w", in.Student.ID, err)
	}
	slices.SortStableFunc(not, week.CompareLoss)
	for _, loss := range not {
		l := LeftOut{Drill: loss.Drill, Loss: loss.Loss, Proved: loss.Proved}
		if loss.Loss != nil && d.Result.Objective > 0 {
			l.Share = float64(*loss.Loss) / float64(d.Result.Objective)
		}
		d.LeftOut = append(d.LeftOut, l)
	}
	if leftOut > 0 {
		return nil
	}
	return d.moreTime(in, options)
}

// price works out what the week would lose without each chosen drill.
func (d *Draft) price(in *Input, options week.Options) error {
	why, err := week.Why(d.Problem, d.Result, options)
	if err != nil {
		return fmt.Errorf("planning: the week of %s: %w", in.Student.ID, err)
	}
	for _, loss := range why {
		if loss.Loss != nil && d.Result.Objective > 0 {
			r := d.Reasons[loss.Drill]
			share := float64(*loss.Loss) / float64(d.Result.Objective)
			r.Loss = &share
			d.Reasons[loss.Drill] = r
		}
	}
	return nil
}

// moreTime prices five minutes more in each long session by planning anew: more
// minutes can be worth less, since doses scale with length.
func (d *Draft) moreTime(in *Input, options week.Options) error {
	long := make([]int, len(d.Problem.Long))
	for i := range long {
		long[i] = i
	}
	change, err := week.MoreTime(d.Problem, d.Result, long, nil, options)
	if err != nil {
		return fmt.Errorf("planning: the week of %s: %w", in.Student.ID, err)
	}
	if change.Gain != nil && d.Result.Objective > 0 {
		share := float64(*change.Gain) / float64(d.Result.Objective)
		d.MoreTime = &share
	}
	return nil
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
