package rehearse

import (
	"slices"
	"time"

	"aplomb/internal/learner"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
)

// Life is one invented student of a demo: who they are, and how a simulated
// learner lives through the weeks that are logged.
type Life struct {
	Student practice.Student
	Seed    uint64
	Before  int     // weeks practised by a timetable before the log begins
	Weeks   int     // weeks in the log
	Content Content // what the logged weeks are filled with
	Minutes []practice.Slot
	Stops   int    // logged weeks after which nothing more is learnt; 0: never
	Away    [2]int // logged weeks without practice: from, and the first after them
	Flaws   learner.Flaws
}

// Play lets the student live, and gives the student and the log as they stand
// on the day before the Monday. Times are those of a clock in the zone. Planned
// weeks are handed over on the Sunday before them; why puts the reason of a
// drill into words. The same life gives the same log.
func (l Life) Play(lib *practice.Library, monday practice.Date, zone practice.Zone, why func(planning.Reason) string) (practice.Student, practice.Log, error) {
	lib, err := known(lib)
	if err != nil {
		return practice.Student{}, practice.Log{}, err
	}
	slots := l.Minutes
	if slots == nil {
		slots = l.Student.Slots
	}
	w := newWorld(lib, learner.Defaults(), l.Seed)
	w.flaws = l.Flaws
	c := enroll(w, Policy{Name: "before", Content: Timetable, Slots: slots}, 0, l.Seed)
	kit := c.student.Kit
	c.student = l.Student
	c.student.Slots = slots
	if len(c.student.Kit) == 0 {
		c.student.Kit = kit
	}
	for week := range l.Before {
		c.live(week, c.policy.sessions(c, week))
	}
	c.log, c.student.Stops = practice.Log{}, l.Student.Stops
	c.policy = Policy{Name: "logged", Content: l.Content, Slots: slots}
	for n := range l.Weeks {
		if err := c.logged(l, n, why); err != nil {
			return practice.Student{}, practice.Log{}, err
		}
	}
	shift := monday - start - practice.Date(7*(l.Before+l.Weeks))
	c.move(shift, zone)
	student := l.Student
	student.Kit, student.Stops = c.student.Kit, c.student.Stops
	return student, c.log, nil
}

// live is a week of practice.
func (c *course) live(week int, sessions []practice.PlannedSession) {
	next := 0
	for day := range 7 {
		for ; next < len(sessions) && int(sessions[next].Day) == day; next++ {
			c.attend(7*week+day, sessions[next])
		}
		c.who.Night(1)
	}
}

// logged is week n of the log.
func (c *course) logged(l Life, n int, why func(planning.Reason) string) error {
	week := l.Before + n
	if l.Stops > 0 && n == l.Stops {
		c.who.Stop()
	}
	if n == 0 {
		c.probe(7*week-1, c.battery(0))
	}
	if n >= l.Away[0] && n < l.Away[1] {
		c.live(week, nil)
		return nil
	}
	var sessions []practice.PlannedSession
	name := ""
	if c.policy.plans() {
		c.look(7*week-1, true)
		handed, err := c.handed(week, l.Seed, why)
		if err != nil {
			return err
		}
		c.log.Weeks = append(c.log.Weeks, handed)
		sessions, name = handed.Sessions, handed.ISOWeek.String()
	} else {
		sessions = c.policy.sessions(c, week)
	}
	before := len(c.log.Sessions)
	c.live(week, sessions)
	for i := before; i < len(c.log.Sessions); i++ {
		c.log.Sessions[i].Week = name
	}
	return nil
}

// handed is the planner's week, as a coach hands it over.
func (c *course) handed(week int, seed uint64, why func(planning.Reason) string) (practice.Week, error) {
	in := planning.For(c.student, c.last, c.world.lib, nil, &c.log)
	in.Week = (start + practice.Date(7*week)).Week()
	draft, err := planning.Make(in, planning.Solver{})
	if err != nil {
		return practice.Week{}, err
	}
	c.due = draft.Tests
	return draft.HandOver(at(7*week-1, 2*3600), seed, c.world.lib, func(drill string) string {
		if reason, ok := draft.Reasons[drill]; ok {
			return why(reason)
		}
		return "" // what belongs to every session needs none
	})
}

// move puts everything so many days later, on the clock of a zone, and makes
// the ids the student's own.
func (c *course) move(days practice.Date, zone practice.Zone) {
	own := c.student.ID + "-"
	shift := func(i *practice.Instant) {
		*i = zone.At(time.Unix(0, i.UnixNano+int64(days)*86400e9))
	}
	for i := range c.log.Attempts {
		a := &c.log.Attempts[i]
		shift(&a.At)
		a.ID, a.Student = own+a.ID, c.student.ID
	}
	for i := range c.log.Tallies {
		t := &c.log.Tallies[i]
		shift(&t.At)
		t.ID, t.Student = own+t.ID, c.student.ID
	}
	for i := range c.log.Probes {
		p := &c.log.Probes[i]
		shift(&p.At)
		p.ID, p.Student = own+p.ID, c.student.ID
	}
	for i := range c.log.Sessions {
		s := &c.log.Sessions[i]
		shift(&s.At)
		s.ID, s.Student = own+s.ID, c.student.ID
		if s.Week != "" {
			week, err := practice.ParseISOWeek(s.Week)
			if err != nil {
				panic("rehearse: " + err.Error()) // written by logged
			}
			s.Week = (week.Monday() + days).Week().String()
		}
	}
	for i := range c.log.Weeks {
		w := &c.log.Weeks[i]
		w.ISOWeek, w.AsOf = (w.ISOWeek.Monday() + days).Week(), w.AsOf+days
		shift(w.HandedAt)
	}
	c.student.Stops = slices.Clone(c.student.Stops)
	for i := range c.student.Stops {
		s := &c.student.Stops[i]
		if s.ClearedBy != byTheCoach {
			continue // the cast's own, on days of the calendar
		}
		cleared := *s.ClearedOn + days
		s.Since, s.ClearedOn = s.Since+days, &cleared
	}
	c.log.Sort()
}
