package desk

import (
	"cmp"
	"fmt"
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/load"
	"aplomb/internal/practice"
)

// Subject is one student as the desk looks at them.
type Subject struct {
	Student  practice.Student
	Standing assess.Standing
	Log      *practice.Log // each list in order of time
	Library  *practice.Library
	Zone     practice.Zone // the studio's, for a student without one
}

// Bars of the notices.
const (
	quietDays    = 10   // without practice, days away not counted
	gapDays      = 14   // a longer one is a gap; the planner starts lower after it
	backDays     = 7    // how long after a gap a student counts as just back
	readyFrom    = 0.85 // chance of a cold pass
	readyLeast   = 0.75 // lower end of its interval
	lostUnder    = 0.70 // a proven milestone counts as lost when the upper end is under this
	recentDays   = 14
	longDays     = 28
	hardTries    = 40
	hardShare    = 0.60
	bunchedShare = 0.60
	sidedSets    = 24
	sidedShare   = 0.60
	thinDrills   = 7
	thinSets     = 3 // sets a drill in two weeks under which it cannot tell
)

// Notices finds what there is to notice of one student, the most pressing first.
// An archived student, and one away on the day, give no notices but of pain.
func Notices(s Subject) []Notice {
	day := s.Standing.AsOf
	if at := s.Student.ArchivedOn; at != nil && *at <= day {
		return nil
	}
	found := []*Notice{s.pain()}
	if !s.Student.AwayOn(day) {
		found = append(found, s.quiet(), s.back(), s.muddy())
		if !s.stopped() {
			found = append(found, s.backwards(), s.progress(), s.ready())
		}
		if !s.isQuiet() {
			found = append(found, s.hard(), s.bunched(), s.oneSided(), s.thin())
		}
	}
	var out []Notice
	for _, n := range found {
		if n != nil {
			n.Student = s.Student.ID
			out = append(out, *n)
		}
	}
	slices.SortStableFunc(out, func(a, b Notice) int { return cmp.Compare(a.rank(), b.rank()) })
	return out
}

func (n Notice) rank() int { return slices.Index(Kinds, n.Kind) }

// pain is what hurts, and whether it stops hand load.
func (s Subject) pain() *Notice {
	l := s.Standing.Load
	if l.Pain == load.Go || l.PainSince == nil {
		return nil
	}
	e := Evidence{Since: *l.PainSince, Stops: l.Pain == load.StopHandLoad, Sites: l.PainSites}
	for _, p := range l.PainWhy {
		if p.Level != nil {
			e.Level = max(e.Level, *p.Level)
		}
	}
	n := &Notice{Kind: Hurts, About: fmt.Sprintf("%s since %s", l.Pain, e.Since), Evidence: e}
	if l.Refer {
		n.Kind = Refer
	}
	return n
}

// stopped says whether the student may not go upside down or onto the hands:
// then nobody asks for tries, and none are missed.
func (s Subject) stopped() bool {
	return s.Standing.Barred(practice.Inverted) || s.Standing.Barred(practice.HandLoad)
}

func (s Subject) isQuiet() bool {
	return s.Standing.LastDay == 0 || s.daysHere(s.Standing.LastDay) >= quietDays
}

// daysHere is the days since then on which the student was not away.
func (s Subject) daysHere(then practice.Date) (n int) {
	for d := then + 1; d <= s.Standing.AsOf; d++ {
		if !s.Student.AwayOn(d) {
			n++
		}
	}
	return n
}

// quiet counts from the last practice, or from the first week that was handed
// over where nothing ever came back.
func (s Subject) quiet() *Notice {
	last := s.Standing.LastDay
	if last == 0 {
		if len(s.Log.Weeks) == 0 {
			return nil
		}
		last = s.Log.Weeks[0].ISOWeek.Monday()
	}
	if days := s.daysHere(last); days >= quietDays {
		return &Notice{Kind: Quiet, About: "since " + last.String(), Evidence: Evidence{Since: last, Days: days}}
	}
	return nil
}

// backwards: cold tries now pass the highest proven milestone too seldom, the
// interval's upper end included.
func (s Subject) backwards() *Notice {
	m := s.Standing.Milestone
	c, ok := chanceOf(s.Standing.NowCold, m.ReachedSeconds)
	if m.ReachedSeconds == 0 || !ok || c.Hi >= lostUnder {
		return nil
	}
	return &Notice{Kind: Backwards, About: fmt.Sprintf("%g s", m.ReachedSeconds),
		Evidence: Evidence{Seconds: m.ReachedSeconds, P: c.P, Lo: c.Lo, Hi: c.Hi}}
}

// progress is what the watch over the weekly residuals says.
func (s Subject) progress() *Notice {
	p := s.Standing.Progress
	kind := Slower
	switch {
	case p.Act:
		kind = Stalled
	case !p.Look:
		return nil
	}
	return &Notice{Kind: kind, About: monthOf(s.Standing.AsOf), Evidence: Evidence{N: p.Weeks}}
}

// ready: the next milestone is likely to be passed cold, and is not proven.
func (s Subject) ready() *Notice {
	m := s.Standing.Milestone
	c, ok := chanceOf(s.Standing.NowCold, m.NextSeconds)
	if m.NextSeconds == 0 || !ok || c.P < readyFrom || c.Lo < readyLeast {
		return nil
	}
	return &Notice{Kind: Ready, About: fmt.Sprintf("%g s", m.NextSeconds),
		Evidence: Evidence{Seconds: m.NextSeconds, P: c.P, Lo: c.Lo, Hi: c.Hi, N: m.Proven.Passes, Of: m.Proven.Tries}}
}

func chanceOf(cs []assess.Chance, seconds float64) (assess.Chance, bool) {
	for _, c := range cs {
		if c.Seconds == seconds {
			return c, true
		}
	}
	return assess.Chance{}, false
}

// back: practised in the last days, after more than a gap without, days away
// included.
func (s Subject) back() *Notice {
	days := s.Standing.Days
	for i := len(days) - 1; i > 0 && days[i] > s.Standing.AsOf-backDays; i-- {
		if gap := int(days[i]-days[i-1]) - 1; gap > gapDays {
			return &Notice{Kind: Back, About: "on " + days[i].String(), Evidence: Evidence{Since: days[i], Days: gap}}
		}
	}
	return nil
}

// muddy: the drill marked confusing most lately, and not helpful since.
func (s Subject) muddy() *Notice {
	for i := len(s.Log.Marks) - 1; i >= 0; i-- {
		m := s.Log.Marks[i]
		day := s.dayOf(m.At)
		if day > s.Standing.AsOf {
			continue
		}
		if day <= s.Standing.AsOf-recentDays {
			return nil
		}
		d := slices.IndexFunc(s.Library.Drills, func(d practice.Drill) bool { return d.ID == m.Drill })
		if d >= 0 && s.Standing.Drills[d].Confusing > 0 {
			return &Notice{Kind: Muddy, About: m.Drill + " on " + day.String(),
				Evidence: Evidence{Drill: m.Drill, N: s.Standing.Drills[d].Confusing, Since: day}}
		}
	}
	return nil
}

func (s Subject) dayOf(at practice.Instant) practice.Date {
	if s.Student.Zone.Known() {
		return s.Student.Zone.Date(at)
	}
	return s.Zone.Date(at)
}

// monthOf names four weeks: what was decided of a habit holds that long.
func monthOf(day practice.Date) string { return fmt.Sprintf("four weeks %d", int(day)/longDays) }
