package planning

import (
	"cmp"
	"fmt"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/week"
)

// GroupPart is how a week stands to the week its group shares.
type GroupPart struct {
	Name   string
	Shared []string // the group's drills that are in this week
	Left   []string // the group's drills that are not: refused, or worth too little here
}

// sharedBonus is what a set of a drill of the group is worth besides, in the
// planner's units: enough to agree where it costs a student little, not enough
// to crowd out what limits them. Common practice, no source.
const sharedBonus = 30

func (g *GroupPart) split(in *Input, result week.Result) {
	g.Name = in.Student.Group
	for _, id := range in.Shared {
		if slices.ContainsFunc(result.Drills, func(c week.Choice) bool { return c.ID == id }) {
			g.Shared = append(g.Shared, id)
		} else {
			g.Left = append(g.Left, id)
		}
	}
}

// ShareInGroups fills Shared of every input whose group has two members or
// more among the inputs.
func ShareInGroups(inputs []Input, solver Solver) error {
	members := map[string][]int{}
	for i := range inputs {
		if g := inputs[i].Student.Group; g != "" {
			members[g] = append(members[g], i)
		}
	}
	for _, at := range members {
		group := make([]Input, len(at))
		for n, i := range at {
			group[n] = inputs[i]
		}
		shared, err := SharedDrills(group, solver)
		if err != nil {
			return err
		}
		for _, i := range at {
			inputs[i].Shared = shared
		}
	}
	return nil
}

// SharedDrills finds the drills a group shares: the best main list for the average
// member, of drills that at least half of the members may do. With fewer than
// two members there is nothing to share.
func SharedDrills(members []Input, solver Solver) ([]string, error) {
	if len(members) < 2 {
		return nil, nil
	}
	p, ok := groupProblem(members)
	if !ok {
		return nil, nil
	}
	result, err := week.Solve(p, week.Options{Budget: solver.Budget, Now: solver.Now})
	if err != nil {
		return nil, fmt.Errorf("planning: the group %s: %w", members[0].Student.Group, err)
	}
	var ids []string
	for _, d := range result.Drills {
		ids = append(ids, d.ID)
	}
	return ids, nil
}

// groupProblem is the program of the average member, in the sessions of the
// member with the middle amount of practice.
func groupProblem(members []Input) (week.Problem, bool) {
	var own []week.Problem
	for i := range members {
		if p, ok := members[i].bare(); ok {
			own = append(own, p)
		}
	}
	if len(own) == 0 {
		return week.Problem{}, false
	}
	slices.SortStableFunc(own, func(a, b week.Problem) int { return cmp.Compare(longMinutes(a), longMinutes(b)) })
	p := own[len(own)/2]
	p.Name = members[0].Student.Group + " " + members[0].Week.String()
	p.Components = slices.Clone(p.Components)
	for i := range p.Components {
		sum := 0.0
		for _, o := range own {
			sum += o.Components[i].Need
		}
		p.Components[i].Need = sum / float64(len(own))
	}
	p.Drills = averageDrills(members[0].Library, own)
	return p, len(p.Drills) > 0
}

// bare is the member's own program, without what is wanted of their week alone.
func (in Input) bare() (week.Problem, bool) {
	in.Wishes = forGroups(in.Wishes)
	offers, _ := in.Offers()
	frames := in.frames(in.share().Of, in.offersTries(offers), len(in.stretches(offers)) > 0)
	if in.emptyFrames(frames) != NotEmpty {
		return week.Problem{}, false
	}
	return in.problem(offers, frames, in.hand(frames)), true
}

func forGroups(wishes []practice.Wish) (out []practice.Wish) {
	for _, w := range wishes {
		if w.Student == "" {
			out = append(out, w)
		}
	}
	return out
}

func longMinutes(p week.Problem) (sum week.HalfMinutes) {
	for _, s := range p.Long {
		sum += s.Minutes
	}
	return sum
}

// averageDrills are the drills in at least half of the programs, in the
// library's order, each worth the mean and of the kind most find it.
func averageDrills(lib *practice.Library, own []week.Problem) (out []week.Drill) {
	found := map[string][]week.Drill{}
	for _, p := range own {
		for _, d := range p.Drills {
			found[d.ID] = append(found[d.ID], d)
		}
	}
	for _, d := range lib.Drills {
		same := found[d.ID]
		if 2*len(same) < len(own) || len(same) == 0 {
			continue
		}
		avg, easy := same[0], 0
		avg.Value = 0
		for _, s := range same {
			avg.Value += s.Value
			avg.LastWeek = avg.LastWeek || s.LastWeek
			if s.Kind == week.Easy {
				easy++
			}
		}
		avg.Value /= len(same)
		if avg.Kind != week.Strength {
			avg.Kind = week.Challenge
			if 2*easy >= len(same) {
				avg.Kind = week.Easy
			}
		}
		out = append(out, avg)
	}
	return out
}
