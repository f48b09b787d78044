package web

import (
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// around is who is around a student: who coaches, who stands in, who answers for
// the student, and what was agreed to.
type around struct {
	Lines    []string
	Consents []consentLine
}

// consentLine is one thing that may be agreed to, and whether it is.
type consentLine struct{ What, State string }

func (v *visit) around(s practice.Student, day practice.Date) (a around, err error) {
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return a, err
	}
	a.Lines = append(a.Lines, v.say("around.any"))
	if s.Coach != "" {
		a.Lines[0] = v.say("around.coach", "name", names[s.Coach])
	}
	covers, err := v.Roster.Covers(v.ctx(), v.who())
	if err != nil {
		return a, err
	}
	for _, k := range covers {
		if c := k.Value; c.For == s.Coach && (c.Student == "" || c.Student == s.ID) && c.To >= day {
			a.Lines = append(a.Lines, v.say("around.cover", "name", names[c.By], "from", telling.LongDate(v.Words, c.From), "to", telling.LongDate(v.Words, c.To)))
		}
	}
	guardians, err := v.Roster.Guardians(v.ctx(), v.who(), s.ID)
	if err != nil {
		return a, err
	}
	for _, g := range guardians {
		a.Lines = append(a.Lines, v.say("around.guardian", "name", g.Name))
	}
	if len(guardians) == 0 && s.Minor(day) {
		a.Lines = append(a.Lines, v.say("around.noguardian"))
	}
	a.Consents, err = v.consents(s.ID)
	return a, err
}

// consents are what may be agreed to, with what was.
func (v *visit) consents(student string) (out []consentLine, err error) {
	given, err := v.Roster.Consents(v.ctx(), v.who(), student)
	if err != nil {
		return nil, err
	}
	for _, purpose := range practice.Purposes {
		line := consentLine{v.say("consent." + string(purpose)), v.say("consent.no")}
		holds := slices.IndexFunc(given, func(k practice.Kept[practice.Consent]) bool { return k.Value.For == purpose && k.Value.Holds() })
		if holds >= 0 {
			c := given[holds].Value
			line.State = v.say("consent.yes."+string(c.Role), "day", telling.LongDate(v.Words, c.At.Date()))
		}
		out = append(out, line)
	}
	return out, nil
}
