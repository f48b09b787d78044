package folder

import "aplomb/internal/practice"

type session = practice.Session

var sessions = table[session]{
	file: "sessions.csv",
	columns: []column[session]{
		text("id", func(s *session) *string { return &s.ID }).required(),
		shared("student", func(s *session) *string { return &s.Student }).required(),
		instant("at", func(s *session) *practice.Instant { return &s.At }).required(),
		isoWeek("week", func(s *session) *string { return &s.Week }),
		count("version", func(s *session) *int { return &s.Version }),
		maybeWeekday("day", func(s *session) *practice.Maybe[practice.Weekday] { return &s.Day }),
		word("form", practice.Forms, func(s *session) *practice.Form { return &s.Form }),
		maybeNumber("minutes", func(s *session) *practice.Maybe[float64] { return &s.Minutes }),
		maybeNumber("effort", func(s *session) *practice.Maybe[float64] { return &s.Effort }),
		word("pain_site", practice.PainSites, func(s *session) *string { return &s.PainSite }),
		maybeNumber("pain_before", func(s *session) *practice.Maybe[float64] { return &s.PainBefore }),
		maybeNumber("pain", func(s *session) *practice.Maybe[float64] { return &s.Pain }),
		maybeNumber("pain_next_morning", func(s *session) *practice.Maybe[float64] { return &s.PainMorning }),
		flag("numb", func(s *session) *practice.Maybe[bool] { return &s.Numb }),
		flag("swollen", func(s *session) *practice.Maybe[bool] { return &s.Swollen }),
		text("note", func(s *session) *string { return &s.Note }),
	},
	id:      func(s *session) string { return s.ID },
	student: func(s *session) string { return s.Student },
	to:      Sink.Session,
	check:   func(s *session) []practice.Fault { return s.Check() },
	refer: func(s *session, k *known) []practice.Fault {
		fs := k.lookUp(reference{"student", s.Student, &k.students})
		if s.Week != "" && !k.weeks.has(weekKey(s.Student, s.Week)) {
			fs = append(fs, practice.Fault{Code: practice.UnknownID, Field: "week", Value: s.Week,
				Want: "a week that weeks.jsonl has for this student"})
		}
		return fs
	},
}

// isoWeek is a week such as 2026-W14, kept as it is written.
func isoWeek[T any](name string, at func(*T) *string) column[T] {
	c := shared(name, at)
	keep := c.read
	c.read = func(row *T, cell string, p pool) *practice.Fault {
		if _, err := practice.ParseISOWeek(cell); err != nil {
			return &practice.Fault{Code: practice.BadDate, Field: name, Value: practice.Short(cell), Want: weekWant, Err: err}
		}
		return keep(row, cell, p)
	}
	return c
}
