package cli

import (
	"math"

	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/week"
	"aplomb/internal/words"
)

// dress writes the reason of every item into the week, as a person reads it.
func dress(b *words.Book, r *reviewed) {
	for s := range r.draft.Week.Sessions {
		blocks := r.draft.Week.Sessions[s].Blocks
		for k := range blocks {
			for i := range blocks[k].Items {
				it := &blocks[k].Items[i]
				switch reason, ok := r.draft.Reasons[it.Drill]; {
				case ok:
					it.Why = whyText(b, reason)
				case practice.FreeTry(it.Drill):
					it.Why = criterion(b, r)
					if rides := r.draft.Week.Sessions[s].RidesOn; it.Drill == practice.ColdTry && rides != "" {
						it.Why += "; " + b.Say("item.rides", "what", rides)
					}
				default:
					if d, found := r.library.Drill(it.Drill); found {
						it.Why = b.Say("why.trains", "component", string(d.Component))
					}
				}
			}
		}
	}
}

// criterion is what counts as a pass in a free try today, by how far the
// student is: common practice, no source.
func criterion(b *words.Book, r *reviewed) string {
	st := &r.standing
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

func whyText(b *words.Book, r planning.Reason) string {
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

func printWeek(p *page, b *words.Book, r *reviewed) {
	d := &r.draft
	monday := d.Week.ISOWeek.Monday()
	minutes := 0.0
	for _, s := range d.Week.Sessions {
		minutes += s.Minutes
	}
	if len(d.Week.Sessions) == 0 {
		p.par(2, b.Say("week.title.empty", "date", shortDate(b, monday)))
	} else {
		p.par(2, b.Say("week.title", "date", shortDate(b, monday), "sessions", len(d.Week.Sessions), "minutes", minutes))
	}
	p.par(2, notes(b, r)...)
	said := map[string]bool{}
	for _, s := range d.Week.Sessions {
		p.line("")
		printSession(p, b, r, s, said)
		if r.alone && !handsOff(s) {
			p.par(4, smallerText(b, "smaller.tired", planning.Tired(s, r.library)), smallerText(b, "smaller.five", planning.FiveMinutes(s, r.library)))
		}
	}
	if r.alone && len(d.Week.Sessions) > 0 {
		p.line("")
		stop := library.Advice().Stop
		p.par(2, stop.Name+".", stop.When, stop.Do)
	}
	if len(d.Week.DaysOff) > 0 {
		p.line("")
		var list []string
		for _, it := range d.Week.DaysOff {
			list = append(list, b.Say("item.dose", "name", it.Name, "dose", dose(b, r.library, it)))
		}
		p.par(2, b.Say("week.daysoff", "list", b.List(list)))
	}
	if len(d.LeftOut) > 0 {
		p.line("")
		p.par(2, b.Say("week.left"))
		for _, l := range d.LeftOut {
			p.par(4, leftOutText(b, r, l))
		}
	}
}

// notes is what is to be said of the week as a whole.
func notes(b *words.Book, r *reviewed) (out []string) {
	d := &r.draft
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
		out = append(out, b.Say("week.unmet", "list", b.List(unmet(b, r))))
	}
	for _, id := range d.NotLocked {
		out = append(out, b.Say("week.not-locked", "drill", drillName(r.library, id), "reason", refusalOf(b, r, id)))
	}
	if d.Empty == planning.NotEmpty && !d.Result.Proved {
		out = append(out, b.Say("week.unproved", "gap", words.Percent(float64(d.Result.Bound-d.Result.Objective)/float64(d.Result.Bound))))
	}
	if d.Fill.Offered > 0 && d.Fill.Share < 0.5 {
		out = append(out, b.Say("week.thin", "share", words.Percent(d.Fill.Share)))
		out = append(out, thinWhy(b, r))
	} else {
		for _, s := range d.Spare {
			out = append(out, b.Say("week.spare", "day", dayName(b, s.Day), "minutes", s.Minutes))
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
func thinWhy(b *words.Book, r *reviewed) string {
	var list []string
	for _, relief := range r.draft.Fill.Reliefs {
		if len(list) < 3 {
			list = append(list, b.Say("demand."+relief.Group))
		}
	}
	if len(list) > 0 {
		return b.Say("week.thin.why", "list", b.List(list))
	}
	return b.Say("fill." + string(r.draft.Fill.Reason))
}

// unmet is the demands that cannot all be met, in words.
func unmet(b *words.Book, r *reviewed) (out []string) {
	for _, d := range r.draft.Unmet {
		if d.Drill != "" {
			out = append(out, b.Say("demand.lock", "drill", drillName(r.library, d.Drill)))
		} else {
			out = append(out, b.Say("demand."+d.Rule))
		}
	}
	return out
}

func empty(b *words.Book, r *reviewed) []string {
	d := &r.draft
	switch d.Empty {
	case planning.NotEmpty:
		return nil
	case planning.NothingAllowed:
		var reasons []string
		seen := map[string]bool{}
		for _, no := range d.Refused {
			if text := refusalText(b, r.library, no); !seen[text] && len(reasons) < 5 {
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

func groupText(b *words.Book, r *reviewed) (out []string) {
	g := &r.draft.Group
	if g.Name == "" || len(g.Shared)+len(g.Left) == 0 {
		return nil
	}
	if len(g.Shared) == 0 {
		out = append(out, b.Say("week.group.none", "group", g.Name))
	} else {
		var names []string
		for _, id := range g.Shared {
			names = append(names, drillName(r.library, id))
		}
		out = append(out, b.Say("week.group", "group", g.Name, "list", b.List(names)))
	}
	if len(g.Left) > 0 {
		var left []string
		for _, id := range g.Left {
			left = append(left, drillName(r.library, id)+" ("+refusalOf(b, r, id)+")")
		}
		out = append(out, b.Say("week.group.left", "name", r.student.Name, "list", b.List(left)))
	}
	return out
}

func refusalOf(b *words.Book, r *reviewed, drill string) string {
	for _, no := range r.draft.Refused {
		if no.Drill == drill {
			return refusalText(b, r.library, no)
		}
	}
	return b.Say("week.group.nofit")
}

// refusalText is why a drill is not offered.
func refusalText(b *words.Book, lib *practice.Library, no planning.Refusal) string {
	id := "refused." + string(no.Code)
	switch no.Code {
	case planning.RuledOut:
		return b.Say(id, "strain", b.Say("strain."+string(no.Strain)), "source", b.Say("source."+no.Source))
	case planning.Resting:
		return b.Say(id, "site", no.Site)
	case planning.NoKit:
		return b.Say(id, "kit", string(no.Kit))
	case planning.NotShown:
		return b.Say(id, "ways", ways(b, lib, no.Need))
	case planning.TooHard:
		return b.Say(id, "n", int(math.Round(10*no.P)))
	}
	return b.Say(id)
}

func ways(b *words.Book, lib *practice.Library, need *practice.Need) string {
	out := ""
	for i, s := range need.Any {
		if i > 0 {
			out += " " + b.Say("or") + " "
		}
		if s.Proven > 0 {
			out += b.Say("shown.proven", "seconds", s.Proven)
		} else if s.Drill != "" {
			out += b.Say("shown.drill", "name", drillName(lib, s.Drill), "passes", s.Passes)
		} else if probe, ok := lib.Probe(s.Test); ok {
			out += b.Say("shown.test", "name", probe.Name, "value", *s.Value, "unit", probe.Unit)
		}
	}
	return out
}

func leftOutText(b *words.Book, r *reviewed, l planning.LeftOut) string {
	name := drillName(r.library, l.Drill)
	switch {
	case l.Loss == nil:
		return b.Say("week.left.never", "drill", name)
	case *l.Loss <= 0:
		return b.Say("week.left.free", "drill", name)
	}
	return b.Say("week.left.cost", "drill", name, "share", words.Percent(l.Share))
}

// printSession prints one session; cue and reason of a drill are said once a
// week, where it first comes.
func printSession(p *page, b *words.Book, r *reviewed, s practice.PlannedSession, said map[string]bool) {
	start, rides := "", ""
	if s.Start != "" {
		start = b.Say("week.session.start", "start", s.Start)
	}
	if s.RidesOn != "" {
		rides = b.Say("week.session.rides", "what", s.RidesOn)
	}
	p.par(2, b.Say("week.session", "day", dayName(b, s.Day), "start", start, "minutes", s.Minutes, "rides", rides))
	if handsOff(s) {
		p.par(4, b.Say("week.dayoff"))
	}
	tests := testsOn(r, s.Day)
	for _, block := range s.Blocks {
		if block.Kind != practice.PrepBlock && block.Kind != practice.ColdBlock {
			printFloorTests(p, b, r, tests)
			tests = nil
		}
		first, rest := margins(b.Say("block."+string(block.Kind)), block.Minutes)
		for _, it := range block.Items {
			p.hang(first, rest, b.Say("item.dose", "name", it.Name, "dose", dose(b, r.library, it))+".")
			first = rest
			if it.Drill == practice.ColdTry && s.RidesOn != "" && said[it.Drill] {
				p.hang(rest, rest, b.Say("item.rides", "what", s.RidesOn))
			}
			if said[it.Drill] {
				continue
			}
			said[it.Drill] = true
			if it.Cue != "" {
				p.hang(rest, rest, "\""+it.Cue+"\"")
			}
			p.hang(rest, rest, it.Why)
		}
		if len(block.Items) == 0 {
			p.hang(first, rest, blockText(b, r, block.Kind))
		}
	}
}

// margins are what stands before the first line of a block, and before the rest.
func margins(label string, minutes float64) (first, rest string) {
	label = pad(label, 9) + padLeft(words.Number(minutes), 4) + " min  "
	return "    " + label, "    " + pad("", len(label))
}

// testsOn are the floor tests of a day's session.
func testsOn(r *reviewed, day practice.Weekday) (out []planning.FloorTest) {
	for _, t := range r.draft.Tests {
		if t.Day == day {
			out = append(out, t)
		}
	}
	return out
}

// printFloorTests prints floor tests where they belong: while the student is fresh.
func printFloorTests(p *page, b *words.Book, r *reviewed, tests []planning.FloorTest) {
	for _, t := range tests {
		first, rest := margins(b.Say("block.test"), t.Minutes)
		p.hang(first, rest, testName(r, t)+".")
		p.hang(rest, rest, testWhy(b, t))
	}
}

func testName(r *reviewed, t planning.FloorTest) string {
	probe, _ := r.library.Probe(t.ID)
	return probe.Name
}

// testWhy is why a floor test is worth its minutes.
func testWhy(b *words.Book, t planning.FloorTest) string {
	return b.Say("test.why", "one", string(t.Between[0]), "other", string(t.Between[1]),
		"worth", words.Percent(t.Worth), "cost", words.Percent(t.Cost))
}

// smallerText is a smaller version of a session in one line.
func smallerText(b *words.Book, id string, s practice.PlannedSession) string {
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

// handsOff says whether the session is one of stretching only.
func handsOff(s practice.PlannedSession) bool {
	return len(s.Blocks) > 0 && s.Blocks[0].Kind == practice.StretchBlock
}

func blockText(b *words.Book, r *reviewed, kind practice.BlockKind) string {
	if kind == practice.PrepBlock && r.standing.Barred(practice.HandLoad) {
		return b.Say("block.prep.noload.text")
	}
	return b.Say("block." + string(kind) + ".text")
}

// dose is how much of an item, in words.
func dose(b *words.Book, lib *practice.Library, it practice.Item) string {
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

func pad(s string, n int) string {
	for len(s) < n {
		s += " "
	}
	return s
}

func padLeft(s string, n int) string {
	for len(s) < n {
		s = " " + s
	}
	return s
}
