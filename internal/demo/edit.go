package demo

import (
	"fmt"
	"slices"
	"time"

	"aplomb/internal/practice"
)

// edit is one student's log being marked by what happened.
type edit struct {
	lib      *practice.Library
	day      practice.Date
	zone     practice.Zone
	student  *practice.Student
	log      *practice.Log
	notes    []practice.Note
	consents []practice.Consent
	n        int
}

func (e *edit) id() string {
	e.n++
	return fmt.Sprintf("%s-e%d", e.student.ID, e.n)
}

// at is a time of a day by the studio's clock.
func (e *edit) at(day practice.Date, hour, minute int) practice.Instant {
	return e.zone.At(time.Unix(int64(day)*86400+int64(hour)*3600+int64(minute)*60, 0))
}

// keep leaves only the rows of days for which so is true.
func (e *edit) keep(so func(practice.Date) bool) {
	l := e.log
	l.Attempts = slices.DeleteFunc(l.Attempts, func(a practice.Attempt) bool { return !so(a.At.Date()) })
	l.Tallies = slices.DeleteFunc(l.Tallies, func(t practice.Tally) bool { return !so(t.At.Date()) })
	l.Sessions = slices.DeleteFunc(l.Sessions, func(s practice.Session) bool { return !so(s.At.Date()) })
	l.Probes = slices.DeleteFunc(l.Probes, func(p practice.ProbeResult) bool { return !so(p.At.Date()) })
	l.Marks = slices.DeleteFunc(l.Marks, func(m practice.DrillMark) bool { return !so(m.At.Date()) })
}

// until cuts the log after the day; a week handed over for later stays away.
func (e *edit) until(day practice.Date) {
	e.keep(func(d practice.Date) bool { return d <= day })
	e.log.Weeks = slices.DeleteFunc(e.log.Weeks, func(w practice.Week) bool { return w.ISOWeek.Monday() > day })
	for i := range e.student.Stops {
		if s := &e.student.Stops[i]; s.ClearedOn != nil && *s.ClearedOn > day {
			s.ClearedOn, s.ClearedBy = nil, ""
		}
	}
	e.student.Stops = slices.DeleteFunc(e.student.Stops, func(s practice.Stop) bool { return s.Since > day })
}

// quiet ends the log so many days before today.
func quiet(days int) func(*edit) {
	return func(e *edit) { e.keep(func(d practice.Date) bool { return d <= e.day-practice.Date(days) }) }
}

// gap takes the days between from and to days ago out of the log.
func gap(from, to int) func(*edit) {
	return func(e *edit) {
		e.keep(func(d practice.Date) bool { return d < e.day-practice.Date(from) || d > e.day-practice.Date(to) })
	}
}

// hurt has a session days ago end with pain.
func hurt(daysAgo int, site string, level, morning float64) func(*edit) {
	return func(e *edit) {
		day := e.day - practice.Date(daysAgo)
		e.keep(func(d practice.Date) bool { return d < day || d >= e.day })
		e.log.Sessions = append(e.log.Sessions, practice.Session{ID: e.id(), Student: e.student.ID, At: e.at(day, 18, 50),
			Minutes: practice.Known(30.0), Effort: practice.Known(6.0), PainSite: site, Pain: practice.Known(level), PainMorning: practice.Known(morning)})
	}
}

// confused marks a drill of the last week handed over as confusing.
func confused(e *edit) {
	for i := len(e.log.Tallies) - 1; i >= 0; i-- {
		if t := e.log.Tallies[i]; !practice.FreeTry(t.Drill) && t.At.Date() > e.day-8 {
			e.log.Marks = append(e.log.Marks, practice.DrillMark{ID: e.id(), Student: e.student.ID, At: e.at(t.At.Date(), 19, 20), Drill: t.Drill, Mark: practice.Confusing})
			return
		}
	}
}

// helped marks a drill of the log as helpful.
func helped(e *edit) {
	for i := len(e.log.Tallies) - 1; i >= 0; i-- {
		if t := e.log.Tallies[i]; !practice.FreeTry(t.Drill) && t.At.Date() <= e.day-8 {
			e.log.Marks = append(e.log.Marks, practice.DrillMark{ID: e.id(), Student: e.student.ID, At: e.at(t.At.Date(), 19, 20), Drill: t.Drill, Mark: practice.Helped})
			return
		}
	}
}

// one day of the week only: everything else was left out.
func bunched(day practice.Weekday) func(*edit) {
	return func(e *edit) {
		e.keep(func(d practice.Date) bool { return d.Weekday() == day || d <= e.day-28 })
		for i := range e.log.Sessions {
			if s := &e.log.Sessions[i]; s.At.Date() > e.day-28 {
				s.Minutes = practice.Known(85.0)
			}
		}
	}
}

// scattered logs one set of each of many drills in the last days.
func scattered(e *edit) {
	n := 0
	for _, d := range e.lib.Drills {
		if d.Support != practice.Floor || d.Kind != practice.Skill && d.Kind != practice.Strength {
			continue
		}
		e.log.Tallies = append(e.log.Tallies, practice.Tally{ID: e.id(), Student: e.student.ID, At: e.at(e.day-practice.Date(1+n%6), 20, n),
			Drill: d.ID, Tries: 6, Caught: practice.Known(5), Timed: "counted"})
		if n++; n == 14 {
			return
		}
	}
}

// fading makes cold holds long ago long and lately short.
func fading(e *edit) {
	e.cold(70, 30, func(i int) float64 { return 6 + float64(i%5) })
	e.cold(20, 0, func(i int) float64 { return 1.4 + 0.3*float64(i%4) })
}

// steady makes cold tries reach a length nearly always, on a few days only: more
// are wanted before it is proven.
func steady(seconds float64) func(*edit) {
	return func(e *edit) { e.cold(24, 0, func(i int) float64 { return seconds + float64(i%4) }) }
}

// cold puts what hold says in the place of every cold try between so many days
// ago.
func (e *edit) cold(from, to int, hold func(i int) float64) {
	n := 0
	for i := range e.log.Attempts {
		a := &e.log.Attempts[i]
		if day := a.At.Date(); a.Drill != practice.ColdTry || day < e.day-practice.Date(from) || day > e.day-practice.Date(to) {
			continue
		}
		a.Seconds, a.Passed, a.End = practice.Known(hold(n)), practice.Known(true), practice.Over
		n++
	}
}

// overreached makes most tries of the last two weeks fail: all of them were
// beyond what the student can do.
func overreached(e *edit) {
	for i := range e.log.Attempts {
		if a := &e.log.Attempts[i]; a.At.Date() > e.day-14 && i%5 != 0 {
			a.Passed, a.Seconds, a.End = practice.Known(false), practice.Maybe[float64]{}, practice.Under
		}
	}
	for i := range e.log.Tallies {
		if t := &e.log.Tallies[i]; t.At.Date() > e.day-14 {
			t.Caught, t.Best, t.SecondBest = practice.Known(t.Tries/5), practice.Maybe[float64]{}, practice.Maybe[float64]{}
		}
	}
}

// story is a health note with the consent it needs.
func story(kind practice.NoteKind, daysAgo int, text string) func(*edit) {
	return func(e *edit) {
		day := e.day - practice.Date(daysAgo)
		e.agreed(day - 1)
		e.notes = append(e.notes, practice.Note{ID: e.id(), Student: e.student.ID, At: e.at(day, 10, 5), By: OwnerID, Kind: kind, Text: text})
	}
}

func (e *edit) agreed(day practice.Date) {
	by, role := e.student.ID, practice.AsStudent
	switch e.student.ID {
	case "ilse":
		by, role = "maren", practice.AsGuardian
	case "henrik":
		by, role = "piet", practice.AsGuardian
	}
	e.consents = append(e.consents, practice.Consent{ID: e.id(), Student: e.student.ID, For: practice.ForHealth, At: e.at(day, 9, 0), By: by, Role: role})
}

// note is a plain note of the coach.
func note(daysAgo int, text string) func(*edit) {
	return func(e *edit) {
		e.notes = append(e.notes, practice.Note{ID: e.id(), Student: e.student.ID, At: e.at(e.day-practice.Date(daysAgo), 20, 40), By: OwnerID,
			Kind: practice.PlainNote, Text: text})
	}
}

// lesson is a one-to-one lesson.
func lesson(daysAgo int, minutes float64, text string) func(*edit) {
	return func(e *edit) {
		e.notes = append(e.notes, practice.Note{ID: e.id(), Student: e.student.ID, At: e.at(e.day-practice.Date(daysAgo), 17, 0), By: OwnerID,
			Kind: practice.LessonNote, Minutes: minutes, Text: text})
	}
}
