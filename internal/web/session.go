package web

import (
	"slices"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// doneSession is one session a student told of.
type doneSession struct{ Day, Line, Note string }

// mostSessions is how many sessions a page shows.
const mostSessions = 10

// sessions are the last ones a student told of, the newest first.
func (v *visit) sessions(student string) (out []doneSession, err error) {
	all, err := v.Roster.Sessions(v.ctx(), v.who(), student)
	if err != nil {
		return nil, err
	}
	for _, s := range slices.Backward(all) {
		if len(out) == mostSessions {
			break
		}
		out = append(out, doneSession{telling.LongDate(v.Words, s.At.Date()), v.sessionLine(s), s.Note})
	}
	return out, nil
}

// sessionLine is what was told of a session, as far as it was.
func (v *visit) sessionLine(s practice.Session) string {
	var parts []string
	add := func(x practice.Maybe[float64], id string) {
		if x.Known {
			parts = append(parts, v.say(id, "n", x.Value))
		}
	}
	add(s.Minutes, "session.minutes")
	add(s.Effort, "session.effort")
	switch told := s.PainBefore.Known || s.Pain.Known || s.PainMorning.Known; {
	case told && s.PainBefore.Or(0) == 0 && s.Pain.Or(0) == 0 && s.PainMorning.Or(0) == 0:
		parts = append(parts, v.say("session.free"))
	case told:
		if s.PainSite != "" {
			parts = append(parts, s.PainSite)
		}
		add(s.PainBefore, "session.before")
		add(s.Pain, "session.pain")
		add(s.PainMorning, "session.morning")
	}
	if len(parts) == 0 {
		return v.say("session.nothing")
	}
	return strings.Join(parts, " · ")
}
