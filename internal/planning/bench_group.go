package planning

import (
	"cmp"
	"context"
	"slices"

	"aplomb/internal/practice"
)

// GroupSize is a group and how many of its members somebody coaches.
type GroupSize struct {
	Name    string
	Members int
}

// Groups are the groups of the students the person sees, in order of name.
func (b *Bench) Groups(ctx context.Context, who practice.Who) (out []GroupSize, err error) {
	students, err := b.gate.Students(ctx, who)
	if err != nil {
		return nil, err
	}
	for _, k := range students {
		name := k.Value.Group
		if name == "" || k.Value.ArchivedOn != nil {
			continue
		}
		i := slices.IndexFunc(out, func(g GroupSize) bool { return g.Name == name })
		if i < 0 {
			i = len(out)
			out = append(out, GroupSize{Name: name})
		}
		out[i].Members++
	}
	slices.SortFunc(out, func(a, b GroupSize) int { return cmp.Compare(a.Name, b.Name) })
	return out, nil
}

// GroupReview is a group's week on the bench: what it shares, and the draft of
// every member with their own changes on top.
type GroupReview struct {
	Shared  []string
	Members []Review                     // in order of name
	Wish    practice.Kept[practice.Wish] // the group's for this week; revision 0: none yet
}

// Group drafts the week of every member of a group the person coaches. A group
// without one is a not-found fault.
func (b *Bench) Group(ctx context.Context, who practice.Who, group string, week practice.ISOWeek) (GroupReview, error) {
	ids, err := b.coached(ctx, who, group)
	if err != nil {
		return GroupReview{}, err
	}
	wishes, err := b.store.Wishes(ctx, who)
	if err != nil {
		return GroupReview{}, err
	}
	g := GroupReview{Wish: wishOf(wishes, practice.Wish{Group: group, Week: &week})}
	for _, id := range ids {
		r, err := b.Review(ctx, who, id, week, 0)
		if err != nil {
			return GroupReview{}, err
		}
		g.Members, g.Shared = append(g.Members, r), r.Input.Shared
	}
	slices.SortStableFunc(g.Members, func(a, b Review) int { return cmp.Compare(a.Subject.Student.Name, b.Subject.Student.Name) })
	return g, nil
}

// WishForGroup changes what the coach wants of the whole group's week, as
// [Bench.Wish] does for one student.
func (b *Bench) WishForGroup(ctx context.Context, who practice.Who, group string, week practice.ISOWeek, base int64, change func(*practice.Wish)) error {
	if _, err := b.coached(ctx, who, group); err != nil {
		return err
	}
	return b.wish(ctx, who, practice.Wish{Group: group, Week: &week}, base, change)
}

// coached are the members of a group, all of whom the person has to coach.
func (b *Bench) coached(ctx context.Context, who practice.Who, group string) ([]string, error) {
	ids, _, err := b.members(ctx, who, group)
	if err != nil {
		return nil, err
	}
	if group == "" || len(ids) == 0 {
		return nil, practice.Fault{Code: practice.NotFound, Field: "group", Value: practice.Short(group)}
	}
	for _, id := range ids {
		if err := b.gate.May(ctx, who, practice.CoachStudent, id); err != nil {
			return nil, err
		}
	}
	return ids, nil
}
