package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// groupsPage is the groups there are.
type groupsPage struct {
	frame
	Groups []groupLine
}

type groupLine struct{ Path, Name, Size string }

// groupPage is the week a group shares, and how each member's differs.
type groupPage struct {
	frame
	Rev     int64
	Seen    string // the wish at that revision
	Told    string
	Monday  string
	Shared  []chosen // kept: by the coach, for the group
	Out     []option // drills the coach left out for the group
	Handed  bool     // to a member at least
	Members []groupMember
}

// groupMember is one member: how much is shared, and what differs and why.
type groupMember struct {
	Name, Path, Line string
	Handed           bool
	Left, Own        []string
}

func groupPath(name string) string { return "/groups/" + url.PathEscape(name) }

func groups(v *visit) error {
	all, err := v.Bench.Groups(v.ctx(), v.who())
	if err != nil {
		return err
	}
	p := groupsPage{frame: v.frame("groups.title")}
	for _, g := range all {
		p.Groups = append(p.Groups, groupLine{groupPath(g.Name), g.Name, v.say("groups.size", "n", g.Members)})
	}
	return v.render(http.StatusOK, "groups", p)
}

func group(v *visit) error {
	p, err := v.groupPage("")
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "group", p)
}

// groupPage drafts the week of every member and builds the page.
func (v *visit) groupPage(told string) (groupPage, error) {
	name := v.r.PathValue("group")
	week := planning.Next(v.today())
	g, err := v.Bench.Group(v.ctx(), v.who(), name, week)
	if err != nil {
		return groupPage{}, err
	}
	seen, err := seenWish(g.Wish.Value)
	if err != nil {
		return groupPage{}, err
	}
	p := groupPage{Seen: seen, frame: v.frame("group.title", "group", name), Rev: g.Wish.Rev, Told: told, Monday: telling.ShortDate(v.Words, week.Monday())}
	lib := g.Members[0].Input.Library
	for _, id := range g.Shared {
		kept := slices.ContainsFunc(g.Wish.Value.Locks, func(l practice.WishLock) bool { return l.Drill == id })
		p.Shared = append(p.Shared, chosen{ID: id, Name: telling.DrillName(lib, id), Kept: kept})
	}
	for _, id := range g.Wish.Value.Bans {
		p.Out = append(p.Out, option{Value: id, Label: telling.DrillName(lib, id)})
	}
	for i := range g.Members {
		p.Members = append(p.Members, v.groupMember(&g.Members[i], week))
		p.Handed = p.Handed || p.Members[i].Handed
	}
	return p, nil
}

func (v *visit) groupMember(r *planning.Review, week practice.ISOWeek) groupMember {
	s := r.Subject.Student
	t := &telling.Review{Student: s, Standing: r.Standing, Draft: r.Draft, Library: r.Input.Library}
	m := groupMember{Name: s.Name, Path: weekPath(s.ID, week), Handed: len(r.Handed) > 0}
	minutes := 0.0
	for _, session := range r.Draft.Week.Sessions {
		minutes += session.Minutes
	}
	shared, left := r.Draft.Group.Shared, r.Draft.Group.Left
	m.Line = v.say("group.member", "n", len(shared), "of", len(shared)+len(left), "sessions", len(r.Draft.Week.Sessions), "minutes", minutes)
	for _, id := range left {
		m.Left = append(m.Left, v.say("group.left", "drill", telling.DrillName(t.Library, id), "why", telling.NotShared(v.Words, t, id)))
	}
	for _, c := range r.Draft.Result.Drills {
		if !slices.Contains(r.Input.Shared, c.ID) {
			m.Own = append(m.Own, v.say("group.own", "drill", telling.DrillName(t.Library, c.ID), "why", telling.Why(v.Words, r.Draft.Reasons[c.ID])))
		}
	}
	return m
}

// changeGroup keeps or leaves out a drill for the whole group.
func changeGroup(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	rev, err := strconv.ParseInt(v.typed("rev"), 10, 64)
	if err != nil {
		return errBadForm
	}
	change, err := v.wished()
	if err != nil {
		return err
	}
	name := v.r.PathValue("group")
	var faults practice.Faults
	switch err := v.Bench.WishForGroup(v.ctx(), v.who(), name, planning.Next(v.today()), rev, change); {
	case practice.HasCode(err, practice.ChangedSince):
		p, err := v.groupPage("")
		if err != nil {
			return err
		}
		p.Told = v.changedSince(p.Seen)
		return v.render(http.StatusConflict, "group", p)
	case errors.As(err, &faults):
		p, err := v.groupPage(v.fault(faults[0]))
		if err != nil {
			return err
		}
		return v.render(http.StatusUnprocessableEntity, "group", p)
	case err != nil:
		return err
	}
	return v.see(groupPath(name))
}
