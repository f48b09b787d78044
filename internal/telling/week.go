package telling

import (
	"math"

	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/week"
	"aplomb/internal/words"
)

// Dress writes the reason of every item into the week, as a person reads it.
func Dress(b *words.Book, r *Review) {
	for s := range r.Draft.Week.Sessions {
		blocks := r.Draft.Week.Sessions[s].Blocks
		for k := range blocks {
			for i := range blocks[k].Items {
				it := &blocks[k].Items[i]
				switch reason, ok := r.Draft.Reasons[it.Drill]; {
				case ok:
					it.Why = Why(b, reason)
				case practice.FreeTry(it.Drill):
					it.Why = criterion(b, r)
					if rides := r.Draft.Week.Sessions[s].RidesOn; it.Drill == practice.ColdTry && rides != "" {
						it.Why += "; " + b.Say("item.rides", "what", rides)
					}
				default:
					if d, found := r.Library.Drill(it.Drill); found {
						it.Why = b.Say("why.trains", "component", string(d.Component))
					}
				}
			}
		}
	}
}

// criterion is what counts as a pass in a free try today, by how far the
// student is: common practice, no source.
func criterion(b *words.Book, r *Review) string {
	st := &r.Standing
	p := 0.0
	for _, c := range st.Now {
		if c.Seconds == practice.CatchS {
			p = c.P
		}
	}
	id := "criterion.milestone"
	switch {
	case p < 0.2:
		id = "criterion.vertical"
	case p < 0.5:
		id = "criterion.half"
	case st.Milestone.NextSeconds <= practice.CatchS:
		id = "criterion.second"
	}
	return b.Say("item.criterion", "what", b.Say(id, "seconds", st.Milestone.NextSeconds))
}

// Why says why a drill is in the week.
func Why(b *words.Book, r planning.Reason) string {
	var parts []string
	if r.Known && r.PLimits >= 0.5 {
		parts = append(parts, b.Say("why.limits", "component", string(r.Component), "p", words.Percent(r.PLimits)))
	} else {
		parts = append(parts, b.Say("why.trains", "component", string(r.Component)))
	}
	if r.Kind == week.Strength {
		parts = append(parts, b.Say("why.strength"))
	} else {
		parts = append(parts, b.Say("why.p", "n", int(math.Round(10*r.P))))
	}
	for _, extra := range []struct {
		so bool
		id string
	}{{r.Helped, "why.helped"}, {r.Muddy, "why.muddy"}, {r.LastWeek, "why.last"}, {r.Locked, "why.locked"}, {r.Shared, "why.shared"}} {
		if extra.so {
			parts = append(parts, b.Say(extra.id))
		}
	}
	if r.Loss != nil && *r.Loss > 0 {
		parts = append(parts, b.Say("why.loss", "share", words.Percent(*r.Loss)))
	}
	out := parts[0]
	for _, part := range parts[1:] {
		out += "; " + part
	}
	return out
}

// Notes is what is to be said of the week as a whole.
func Notes(b *words.Book, r *Review) (out []string) {
	d := &r.Draft
	share := words.Percent(d.Share.Of)
	switch d.Share.Code {
	case planning.LighterWeek:
		out = append(out, b.Say("week.lighter", "share", share, "n", planning.DefaultSettings().LighterEvery-1))
	case planning.BackFromGap:
		out = append(out, b.Say("week.back", "share", share, "days", d.Share.Days))
	case planning.CoachSaid:
		out = append(out, b.Say("week.coach", "share", share))
		if d.Share.Reason != "" {
			out = append(out, b.Say("week.share.reason", "reason", d.Share.Reason))
		}
	}
	out = append(out, empty(b, r)...)
	if len(d.Unmet) > 0 {
		out = append(out, b.Say("week.unmet", "list", b.List(Unmet(b, r))))
	}
	for _, id := range d.NotLocked {
		out = append(out, b.Say("week.not-locked", "drill", DrillName(r.Library, id), "reason", NotShared(b, r, id)))
	}
	if d.Empty == planning.NotEmpty && !d.Result.Proved {
		out = append(out, b.Say("week.unproved", "gap", words.Percent(float64(d.Result.Bound-d.Result.Objective)/float64(d.Result.Bound))))
	}
	if d.Fill.Offered > 0 && d.Fill.Share < 0.5 {
		out = append(out, b.Say("week.thin", "share", words.Percent(d.Fill.Share)))
		out = append(out, thinWhy(b, r))
	} else {
		for _, s := range d.Spare {
			out = append(out, b.Say("week.spare", "day", DayName(b, s.Day), "minutes", s.Minutes))
		}
	}
	if m := d.MoreTime; m != nil {
		id := "week.more"
		switch {
		case *m == 0:
			id = "week.more.none"
		case *m < 0:
			id = "week.more.less"
		}
		out = append(out, b.Say(id, "share", words.Percent(math.Abs(*m))))
	}
	return append(out, groupText(b, r)...)
}

// thinWhy says what holds a thin or empty week down: the rules that do, the
// greatest first, or that no one rule alone does.
func thinWhy(b *words.Book, r *Review) string {
	var list []string
	for _, relief := range r.Draft.Fill.Reliefs {
		if len(list) < 3 {
			list = append(list, b.Say("demand."+relief.Group))
		}
	}
	if len(list) > 0 {
		return b.Say("week.thin.why", "list", b.List(list))
	}
	return b.Say("fill." + string(r.Draft.Fill.Reason))
}

// Unmet is the demands that cannot all be met, in words.
func Unmet(b *words.Book, r *Review) (out []string) {
	for _, d := range r.Draft.Unmet {
		if d.Drill != "" {
			out = append(out, b.Say("demand.lock", "drill", DrillName(r.Library, d.Drill)))
		} else {
			out = append(out, b.Say("demand."+d.Rule))
		}
	}
	return out
}

func empty(b *words.Book, r *Review) []string {
	d := &r.Draft
	switch d.Empty {
	case planning.NotEmpty:
		return nil
	case planning.NothingAllowed:
		var reasons []string
		seen := map[string]bool{}
		for _, no := range d.Refused {
			if text := Refusal(b, r.Library, no); !seen[text] && len(reasons) < 5 {
				seen[text] = true
				reasons = append(reasons, text)
			}
		}
		return []string{b.Say("week.empty.nothing-allowed", "list", b.List(reasons))}
	case planning.NothingFits:
		return []string{b.Say("week.empty.nothing-fits"), thinWhy(b, r)}
	}
	return []string{b.Say("week.empty." + string(d.Empty))}
}

func groupText(b *words.Book, r *Review) (out []string) {
	g := &r.Draft.Group
	if g.Name == "" || len(g.Shared)+len(g.Left) == 0 {
		return nil
	}
	if len(g.Shared) == 0 {
		out = append(out, b.Say("week.group.none", "group", g.Name))
	} else {
		var names []string
		for _, id := range g.Shared {
			names = append(names, DrillName(r.Library, id))
		}
		out = append(out, b.Say("week.group", "group", g.Name, "list", b.List(names)))
	}
	if len(g.Left) > 0 {
		var left []string
		for _, id := range g.Left {
			left = append(left, DrillName(r.Library, id)+" ("+NotShared(b, r, id)+")")
		}
		out = append(out, b.Say("week.group.left", "name", r.Student.Name, "list", b.List(left)))
	}
	return out
}

// NotShared says why a drill of the group's week is not in the student's.
func NotShared(b *words.Book, r *Review, drill string) string {
	for _, no := range r.Draft.Refused {
		if no.Drill == drill {
			return Refusal(b, r.Library, no)
		}
	}
	return b.Say("week.group.nofit")
}

// Refusal says why a drill is not offered.
func Refusal(b *words.Book, lib *practice.Library, no planning.Refusal) string {
	id := "refused." + string(no.Code)
	switch no.Code {
	case planning.RuledOut:
		return b.Say(id, "strain", b.Say("strain."+string(no.Strain)), "source", b.Say("source."+no.Source))
	case planning.Resting:
		return b.Say(id, "site", no.Site)
	case planning.NoKit:
		return b.Say(id, "kit", string(no.Kit))
	case planning.NotShown:
		return b.Say(id, "ways", Ways(b, lib, no.Need))
	case planning.TooHard:
		return b.Say(id, "n", int(math.Round(10*no.P)))
	}
	return b.Say(id)
}

// Ways says how a need may be shown.
func Ways(b *words.Book, lib *practice.Library, need *practice.Need) string {
	out := ""
	for i, s := range need.Any {
		if i > 0 {
			out += " " + b.Say("or") + " "
		}
		if s.Proven > 0 {
			out += b.Say("shown.proven", "seconds", s.Proven)
		} else if s.Drill != "" {
			out += b.Say("shown.drill", "name", DrillName(lib, s.Drill), "passes", s.Passes)
		} else if probe, ok := lib.Probe(s.Test); ok {
			out += b.Say("shown.test", "name", probe.Name, "value", *s.Value, "unit", probe.Unit)
		}
	}
	return out
}

// LeftOut says what bringing a drill in would cost.
func LeftOut(b *words.Book, r *Review, l planning.LeftOut) string {
	name := DrillName(r.Library, l.Drill)
	switch {
	case l.Loss == nil:
		return b.Say("week.left.never", "drill", name)
	case *l.Loss <= 0:
		return b.Say("week.left.free", "drill", name)
	}
	return b.Say("week.left.cost", "drill", name, "share", words.Percent(l.Share))
}

// TestsOn are the floor tests of a day's session.
func TestsOn(r *Review, day practice.Weekday) (out []planning.FloorTest) {
	for _, t := range r.Draft.Tests {
		if t.Day == day {
			out = append(out, t)
		}
	}
	return out
}

// TestName is the name of a floor test.
func TestName(r *Review, t planning.FloorTest) string {
	probe, _ := r.Library.Probe(t.ID)
	return probe.Name
}

// TestWhy is why a floor test is worth its minutes.
func TestWhy(b *words.Book, t planning.FloorTest) string {
	return b.Say("test.why", "one", string(t.Between[0]), "other", string(t.Between[1]),
		"worth", words.Percent(t.Worth), "cost", words.Percent(t.Cost))
}

// Smaller is a smaller version of a session in one line.
func Smaller(b *words.Book, id string, s practice.PlannedSession) string {
	var list []string
	for _, block := range s.Blocks {
		for _, it := range block.Items {
			if block.Kind != practice.StretchBlock {
				list = append(list, b.Say("smaller.item", "name", it.Name, "sets", it.Sets))
			}
		}
	}
	if len(list) == 0 {
		return ""
	}
	return b.Say(id, "minutes", s.Minutes, "list", b.List(list))
}

// HandsOff says whether the session is one of stretching only.
func HandsOff(s practice.PlannedSession) bool {
	return len(s.Blocks) > 0 && s.Blocks[0].Kind == practice.StretchBlock
}

// BlockText says what is done in a block without drills.
func BlockText(b *words.Book, r *Review, kind practice.BlockKind) string {
	if kind == practice.PrepBlock && r.Standing.Barred(practice.HandLoad) {
		return b.Say("block.prep.noload.text")
	}
	return b.Say("block." + string(kind) + ".text")
}

// Dose is how much of an item, in words.
func Dose(b *words.Book, lib *practice.Library, it practice.Item) string {
	d, _ := lib.Drill(it.Drill)
	if practice.FreeTry(it.Drill) {
		return b.Say("item.tries", "n", it.Reps)
	}
	if d.Measure == practice.Minutes {
		return b.Say("dose.minutes", "minutes", it.Minutes)
	}
	out := ""
	switch {
	case it.Reps > 1 && it.Seconds > 0 && d.Measure == practice.HoldFor:
		out = b.Say("dose.sets.hold", "sets", it.Sets, "reps", it.Reps, "seconds", it.Seconds)
	case d.Measure == practice.HoldFor:
		out = b.Say("dose.holds", "sets", it.Sets, "seconds", it.Seconds)
	case it.Reps <= 1:
		out = b.Say("dose.once", "sets", it.Sets)
	default:
		out = b.Say("dose.sets", "sets", it.Sets, "reps", it.Reps)
	}
	if it.RestSeconds > 0 {
		out += b.Say("dose.rest", "rest", it.RestSeconds)
	}
	return out
}
