package telling

import (
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/library"
	"aplomb/internal/load"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// Review is one student's standing and draft week, to be put into words.
type Review struct {
	Student  practice.Student
	Standing assess.Standing
	Draft    planning.Draft
	Library  *practice.Library
}

// Stop says what is ruled out, since when and by what.
func Stop(b *words.Book, s assess.StopNow) string {
	site := ""
	if s.Site != "" {
		site = b.Say("review.site", "site", s.Site)
	}
	return b.Say("review.stop", "strain", b.Say("strain."+string(s.No)), "source", b.Say("source."+s.Source), "date", ShortDate(b, s.Since), "site", site)
}

// Chances says how surely the next milestone and 15 s are held.
func Chances(b *words.Book, r *Review) (out []string) {
	st := &r.Standing
	if len(st.Now) == 0 {
		if st.Tries == 0 {
			return []string{b.Say("review.unknown.none", "name", r.Student.Name)}
		}
		if st.Tries >= assess.FewTries {
			return []string{b.Say("review.stale", "name", r.Student.Name, "days", st.DaysSinceTry)}
		}
		return []string{b.Say("review.unknown", "name", r.Student.Name, "n", st.Tries)}
	}
	next := st.Milestone.NextSeconds
	for i, c := range st.Now {
		if shown(next, c.Seconds, i == len(st.Now)-1) {
			out = append(out, b.Say("review.chance", "seconds", c.Seconds, "warm", Chance(b, c), "cold", Chance(b, st.NowCold[i])))
		}
	}
	return out
}

// shown says whether a milestone is one to talk about: the next, the goal as
// long as it is further off, and the last when all are proven.
func shown(next, seconds float64, last bool) bool {
	return seconds == next || seconds == goalSeconds && next < goalSeconds || next == 0 && last
}

// goalSeconds is the hold every student is on the way to.
const goalSeconds = 15

// Chance is a probability with its interval.
func Chance(b *words.Book, c assess.Chance) string {
	return b.Say("range.chance", "p", words.Percent(c.P), "range", b.Range(c.Lo, c.Hi))
}

// Window says what the tries of the last weeks came to.
func Window(b *words.Book, h *assess.Holds) (out []string) {
	if h.Catch == nil {
		out = append(out, b.Say("review.window.none", "days", h.WindowDays))
	} else {
		out = append(out, b.Say("review.window", "days", h.WindowDays, "attempts", h.Attempts, "caught", h.Caught, "catch", Chance(b, *h.Catch)))
	}
	if h.Excluded > 0 {
		out = append(out, b.Say("review.excluded", "n", h.Excluded))
	}
	if m := h.Median; m != nil {
		if m.Seconds == nil {
			return append(out, b.Say("review.median.open", "n", m.Holds))
		}
		if m.Lo == nil || m.Hi == nil {
			return append(out, b.Say("review.median.half", "seconds", *m.Seconds, "n", m.Holds))
		}
		out = append(out, b.Say("review.median", "seconds", *m.Seconds, "lo", *m.Lo, "hi", *m.Hi, "n", m.Holds))
	}
	return out
}

// Proven says which milestone is proven, and what the next one lacks.
func Proven(b *words.Book, r *Review) (out []string) {
	m := &r.Standing.Milestone
	if m.ReachedSeconds > 0 {
		out = append(out, b.Say("review.proven", "seconds", m.ReachedSeconds))
	} else {
		out = append(out, b.Say("review.proven.none"))
	}
	pr := m.Proven
	switch {
	case m.NextSeconds == 0:
		out = append(out, b.Say("review.proven.all"))
	case pr.Tries == 0:
		out = append(out, noTries(b, r))
	case stopped(r):
		out = append(out, b.Say("review.next.stopped", "seconds", m.NextSeconds))
	default:
		places := ""
		if pr.Places > 0 {
			places = b.Say("review.places", "n", pr.Places)
		}
		out = append(out, b.Say("review.next", "seconds", m.NextSeconds, "passes", pr.Passes, "tries", pr.Tries, "days", pr.Days, "places", places),
			b.Say("review.bound", "bound", words.Percent(pr.LowerBound)))
		var missing []string
		if pr.Missing.Passes > farPasses {
			return append(out, b.Say("review.missing.far"))
		}
		if pr.Missing.Passes > 0 {
			missing = append(missing, b.Say("review.missing.passes", "n", pr.Missing.Passes))
		}
		if pr.Missing.Days > 0 {
			missing = append(missing, b.Say("review.missing.days", "n", pr.Missing.Days))
		}
		if len(missing) > 0 {
			out = append(out, b.Say("review.missing", "list", b.List(missing)))
		}
	}
	if m.MisMarked > 0 {
		out = append(out, b.Say("review.mismarked", "n", m.MisMarked))
	}
	return out
}

// stopped says whether free tries are ruled out in the week to come.
func stopped(r *Review) bool {
	for _, no := range r.Draft.Refused {
		if no.Drill == practice.OpenTry && no.Code == planning.RuledOut {
			return true
		}
	}
	return false
}

// farPasses is how many passes in a row are too many to ask for by number: the
// Window moves on before they are there.
const farPasses = 10

// noTries says why there are no cold tries: they come later, they are stopped,
// or they were not logged.
func noTries(b *words.Book, r *Review) string {
	next := r.Standing.Milestone.NextSeconds
	for _, no := range r.Draft.Refused {
		if no.Drill != practice.OpenTry {
			continue
		}
		if no.Code == planning.NotShown {
			return b.Say("review.next.later", "seconds", next, "ways", Ways(b, r.Library, no.Need))
		}
		return b.Say("review.next.stopped", "seconds", next)
	}
	return b.Say("review.next.none", "seconds", next)
}

// farWeeks is how far off a middle guess without an upper end still helps.
const farWeeks = 26

// Forecast says when the next milestone may come.
func Forecast(b *words.Book, m *assess.Milestone) []string {
	f := m.Forecast
	switch {
	case f == nil:
		return nil
	case f.WeeksLo == nil:
		return []string{b.Say("review.forecast.far", "seconds", m.NextSeconds)}
	case f.WeeksMid != nil && *f.WeeksMid == 0:
		return []string{b.Say("review.forecast.reached", "seconds", m.NextSeconds)}
	case f.WeeksMid != nil && f.WeeksHi == nil && *f.WeeksMid <= farWeeks:
		return []string{b.Say("review.forecast.long", "seconds", m.NextSeconds, "lo", *f.WeeksLo, "mid", *f.WeeksMid)}
	case f.WeeksMid == nil || f.WeeksHi == nil:
		return []string{b.Say("review.forecast.open", "seconds", m.NextSeconds, "lo", *f.WeeksLo)}
	}
	return []string{b.Say("review.forecast", "seconds", m.NextSeconds, "lo", *f.WeeksLo, "mid", *f.WeeksMid, "hi", *f.WeeksHi)}
}

// Limits says what holds the student back, or the likeliest three.
func Limits(b *words.Book, r *Review) (out []string) {
	st := &r.Standing
	ranked := likeliest(st.Components, 3)
	var list []string
	for _, c := range ranked {
		id := "review.likely"
		if c.N == 0 {
			id = "review.likely.untested"
		}
		list = append(list, b.Say(id, "component", string(c.Name), "p", words.Percent(c.PLimits)))
	}
	switch {
	case len(list) == 0:
		return nil
	case st.LimiterKnown:
		out = append(out, b.Say("review.limits", "component", string(ranked[0].Name), "p", words.Percent(ranked[0].PLimits)))
		if len(ranked) > 1 {
			out = append(out, b.Say("review.limits.next", "component", string(ranked[1].Name), "p", words.Percent(ranked[1].PLimits)))
		}
	default:
		out = append(out, b.Say("review.limits.unknown", "n", len(list), "list", b.List(list)))
		if probe, ok := r.Library.Probe(st.ProbeNext); ok && len(r.Draft.Tests) == 0 {
			out = append(out, b.Say("review.limits.probe", "test", probe.Name))
		}
	}
	for _, t := range r.Draft.Tests {
		out = append(out, b.Say("review.test", "test", TestName(r, t), "day", DayName(b, t.Day), "minutes", t.Minutes))
	}
	switch {
	case st.Progress.Act:
		out = append(out, b.Say("review.stalled.sure"))
	case st.Progress.Look:
		out = append(out, b.Say("review.stalled"))
	}
	return out
}

// likeliest are the n components with the largest chance to limit, none with 0.
func likeliest(all []assess.ComponentLevel, n int) []assess.ComponentLevel {
	var out []assess.ComponentLevel
	for range n {
		best := -1
		for i, c := range all {
			taken := false
			for _, o := range out {
				taken = taken || o.Name == c.Name
			}
			if !taken && c.PLimits > 0 && (best < 0 || c.PLimits > all[best].PLimits) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		out = append(out, all[best])
	}
	return out
}

// ToSay is the coach's line for what the student will ask, when its moment has
// come.
func ToSay(b *words.Book, r *Review) (out []string) {
	st := &r.Standing
	lesson, _ := library.Advice().Lesson("expectations")
	for _, moment := range []struct {
		come bool
		step string
	}{
		{st.Load.Pain != load.Go, "when-it-hurts"},
		{r.Draft.Share.Code == planning.BackFromGap, "after-a-break"},
		{st.Progress.Look || st.Progress.Act, "plateau"},
		{st.Milestone.ReachedSeconds == 0 && st.Holds.Caught == 1, "first-hold"},
	} {
		if step, ok := lesson.Step(moment.step); moment.come && ok {
			return []string{b.Say("review.say", "ask", step.Head, "answer", step.Text)}
		}
	}
	return nil
}

// Hands says what the hands carried, and the most there may be next week.
func Hands(b *words.Book, l *assess.Load) (out []string) {
	reason := b.Say("ceiling." + string(l.Reason))
	switch {
	case l.Pain == load.StopHandLoad:
	case l.UsualHandMinutes == 0:
		out = append(out, b.Say("review.hands.first", "ceiling", l.Ceiling, "reason", reason))
	default:
		out = append(out, b.Say("review.hands", "last", l.WeekHandMinutes, "usual", l.UsualHandMinutes, "ceiling", l.Ceiling, "reason", reason))
	}
	if l.Monotony != nil && *l.Monotony > 2 {
		out = append(out, b.Say("review.alike"))
	}
	return out
}

// Pains says what pain allows, on what evidence.
func Pains(b *words.Book, l *assess.Load) (out []string) {
	switch l.Pain {
	case load.StopHandLoad:
		site := ""
		if sites := slices.DeleteFunc(slices.Clone(l.PainSites), func(s string) bool { return s == "" }); len(sites) > 0 {
			site = b.Say("review.site", "site", b.List(sites))
		}
		out = append(out, b.Say("review.pain.stop-hand-load", "since", ShortDate(b, *l.PainSince), "site", site))
	case load.NoIncrease:
		out = append(out, b.Say("review.pain.no-increase"))
	default:
		return nil
	}
	for _, e := range l.PainWhy {
		pairs := []any{"day", ShortDate(b, e.Day)}
		if e.Level != nil {
			pairs = append(pairs, "level", *e.Level)
		}
		out = append(out, b.Say("pain."+string(e.Reason), pairs...))
	}
	if l.Refer {
		out = append(out, b.Say("review.pain.refer"))
	}
	if len(l.AskMorning) > 0 {
		var days []string
		for _, day := range l.AskMorning {
			days = append(days, ShortDate(b, day))
		}
		out = append(out, b.Say("review.pain.ask", "days", b.List(days)))
	}
	return out
}

// DrillName is the name of a drill: names are shown, never ids.
func DrillName(lib *practice.Library, id string) string {
	if d, ok := lib.Drill(id); ok {
		return d.Name
	}
	return id
}
