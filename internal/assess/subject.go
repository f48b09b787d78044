package assess

import (
	"slices"

	"aplomb/internal/practice"
)

// Subject is one student with everything a standing is computed from.
type Subject struct {
	Student    practice.Student
	Zone       practice.Zone // the studio's, for a student without one
	Log        *practice.Log // each list in order of time
	Library    *practice.Library
	Milestones []float64 // seconds, rising
	AsOf       practice.Date
	// Brief leaves out what only a reader needs and takes most of the time: the
	// chances, the forecast, and which floor test would tell most.
	Brief bool
}

func (s *Subject) clock() Clock {
	if s.Student.Zone.Known() {
		return s.Student.Zone.Date
	}
	return s.Zone.Date
}

// Day is the student's local day of an instant.
func (s Subject) Day(at practice.Instant) practice.Date { return s.clock()(at) }

// nextWeek is the first and the last day of the week to be planned.
func (s *Subject) nextWeek() (monday, sunday practice.Date) {
	monday = s.AsOf.NextMonday()
	return monday, monday + 6
}

// Stand computes where the student stands at the end of the day AsOf. Rows
// after it are not looked at. It always gives a standing: what the log cannot
// say is nil or empty in it.
func Stand(s Subject) Standing {
	var f Following
	return f.Stand(s)
}

// Stand is [Stand], from where the last time left off.
func (f *Following) Stand(s Subject) Standing {
	ix := indexDrills(s.Library)
	clock := s.clock()
	items := timeline(s.Library, ix, s.Log, s.AsOf, clock)
	st := Standing{
		Student: s.Student.ID,
		AsOf:    s.AsOf,
		Tests:   map[string]float64{},
		Now:     []Chance{},
		NowCold: []Chance{},
	}
	st.Holds = recentHolds(s.Library, items, s.AsOf)
	st.Milestone = milestone(items, s.Milestones, s.AsOf)
	st.practised(&s, items, clock)
	st.Load = carried(&s, ix, items, clock)
	st.Stops = stopsFor(&s, &st.Load)
	st.drills(&s, ix, items, clock)
	st.WallHoldS = wallHold(s.Library, items, s.AsOf)
	e := f.estimate(&s, items, clock)
	st.fromHeadline(e)
	st.fromComponents(e)
	return st
}

// practised fills the days with practice and when each component was trained.
func (st *Standing) practised(s *Subject, items []item, clock Clock) {
	st.LastTrained = map[practice.Component]practice.Date{}
	seen := map[practice.Date]bool{}
	add := func(day practice.Date) {
		if day <= s.AsOf && !seen[day] {
			seen[day] = true
			st.Days = append(st.Days, day)
		}
	}
	for i := range items {
		add(items[i].day)
		if d := items[i].drill; d >= 0 {
			st.LastTrained[s.Library.Drills[d].Component] = items[i].day
		}
	}
	for i := range s.Log.Sessions {
		add(clock(s.Log.Sessions[i].At))
	}
	if len(st.Days) > 0 {
		slices.Sort(st.Days)
		st.FirstDay, st.LastDay = st.Days[0], st.Days[len(st.Days)-1]
	}
}

// drills fills what the log says of each drill, and the latest floor tests.
func (st *Standing) drills(s *Subject, ix index, items []item, clock Clock) {
	st.Drills = make([]DrillStanding, len(s.Library.Drills))
	for i := range items {
		if items[i].drill < 0 {
			continue
		}
		d := &st.Drills[items[i].drill]
		tries, passes := passesOf(s.Library, &items[i])
		d.Tries += tries
		d.Passes += passes
	}
	for i := range s.Log.Marks {
		m := &s.Log.Marks[i]
		at := ix.of(m.Drill)
		if at < 0 || clock(m.At) > s.AsOf {
			continue
		}
		if d := &st.Drills[at]; m.Mark == practice.Helped {
			d.Helped++
			d.Confusing = 0
		} else {
			d.Confusing++
		}
	}
	for i := range s.Log.Probes {
		if p := &s.Log.Probes[i]; clock(p.At) <= s.AsOf {
			st.Tests[p.Test] = p.Value
		}
	}
}

// lately is how many days back a longest hold still speaks for today.
const lately = 56

// wallHold is the longest hold at a wall of the last weeks, in seconds; 0 where
// none was timed.
func wallHold(lib *practice.Library, items []item, asOf practice.Date) (longest float64) {
	for i := range items {
		it := &items[i]
		support := supportOf(lib, it)
		if it.attempt != nil && it.day > asOf-lately && (support == practice.WallBack || support == practice.WallChest) {
			longest = max(longest, it.attempt.Seconds.Or(0))
		}
	}
	return longest
}

// passesOf is how many tries of a row have a known outcome by the drill's own
// criterion, and how many of them passed.
func passesOf(lib *practice.Library, it *item) (tries, passes int) {
	if t := it.tally; t != nil {
		if !t.Caught.Known {
			return 0, 0
		}
		return t.Tries, t.Caught.Value
	}
	a := it.attempt
	if outcomeOf(a).excluded {
		return 0, 0
	}
	passed := a.Passed
	if !passed.Known && a.Seconds.Known {
		switch d := lib.Drills[it.drill]; {
		case practice.FreeTry(d.ID):
			passed = practice.Known(a.Seconds.Value >= practice.CatchS)
		case d.Measure == practice.HoldFor:
			passed = practice.Known(a.Seconds.Value >= d.Seconds)
		}
	}
	switch {
	case !passed.Known:
		return 0, 0
	case passed.Value:
		return 1, 1
	}
	return 1, 0
}
