package logbook

import "aplomb/internal/practice"

type wordsBody struct {
	Session string `json:"session"`
	Drill   string `json:"drill"`
	Set     int    `json:"set"`
	Keep    string `json:"keep"`
	Next    string `json:"next"`
}

type wordsRow struct{ practice.SetWords }

func (b *wordsBody) row(id, student string) (row, []practice.Fault) {
	return &wordsRow{practice.SetWords{ID: id, Student: student, Session: b.Session, Drill: b.Drill, Set: b.Set, Keep: b.Keep, Next: b.Next}}, nil
}

func (r *wordsRow) check() []practice.Fault { return r.Check() }

func (r *wordsRow) drills() []named { return []named{{"drill", r.Drill}} }

func (r *wordsRow) put(l *practice.Log, at practice.Instant) {
	r.At = at
	l.Words = append(l.Words, r.SetWords)
}

type markBody struct {
	Session string `json:"session"` // which one is not kept: a mark is of a drill
	Drill   string `json:"drill"`
	Mark    string `json:"mark"`
	Cue     string `json:"cue"`
}

type markRow struct{ practice.DrillMark }

func (b *markBody) row(id, student string) (row, []practice.Fault) {
	var w words
	w.required("mark", b.Mark)
	w.text("cue", b.Cue)
	return &markRow{practice.DrillMark{ID: id, Student: student, Drill: b.Drill, Mark: word(&w, "mark", practice.Marks, b.Mark), Cue: b.Cue}}, w.faults
}

func (r *markRow) check() []practice.Fault { return r.Check() }

func (r *markRow) drills() []named { return []named{{"drill", r.Drill}} }

func (r *markRow) put(l *practice.Log, at practice.Instant) {
	r.At = at
	l.Marks = append(l.Marks, r.DrillMark)
}

type detourBody struct {
	Week    string `json:"week"` // student/week/version
	Day     string `json:"day"`
	Session int    `json:"session"` // which one of the day, from 0
	What    string `json:"what"`
	To      string `json:"to"`
	Drill   string `json:"drill"`
	For     string `json:"for"` // done instead of it
	Reason  string `json:"reason"`
}

type detourRow struct{ practice.Detour }

func (b *detourBody) row(id, student string) (row, []practice.Fault) {
	var w words
	w.required("week", b.Week)
	w.required("day", b.Day)
	week, version := w.week(b.Week, student)
	return &detourRow{practice.Detour{ID: id, Student: student, Week: week, Version: version, Day: w.weekday("day", b.Day).Value, Session: b.Session,
		What: practice.DetourKind(b.What), To: w.weekday("to", b.To), Drill: b.Drill, For: b.For, Reason: b.Reason}}, w.faults
}

func (r *detourRow) check() []practice.Fault { return r.Check() }

func (r *detourRow) drills() []named { return nil }

func (r *detourRow) put(l *practice.Log, at practice.Instant) {
	r.At = at
	l.Detours = append(l.Detours, r.Detour)
}
