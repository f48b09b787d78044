package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"

	"aplomb/internal/practice"
)

// intakePage is a student to be taken in, or one to be changed.
type intakePage struct {
	frame
	ID     string // empty: a new one
	Rev    int64
	Told   string // why nothing was kept
	Who    []control
	Road   []control
	Days   []dayFields
	Screen []control // of a new student
}

// dayFields are the fields of one day of the week.
type dayFields struct {
	Name   string
	Fields []control
}

func intakeForm(v *visit) error {
	if err := v.may(practice.AddStudent); err != nil {
		return err
	}
	p, err := v.intakePage(practice.Student{}, 0, sent{})
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "intake", p)
}

// may refuses what is about no one student to whoever may not.
func (v *visit) may(do practice.Right) error {
	if !v.who().Role.May(do, practice.Other) {
		return practice.Refused(do)
	}
	return nil
}

// intakePage fills the form from a student, or with what was sent.
func (v *visit) intakePage(s practice.Student, rev int64, from sent) (intakePage, error) {
	p := intakePage{frame: v.frame("intake.title"), ID: s.ID, Rev: rev}
	if s.ID != "" {
		p.frame = v.frame("intake.title.change", "name", s.Name)
	}
	coaches, err := v.coaches(s)
	if err != nil {
		return p, err
	}
	m := &intakeMaker{v: v, student: s, coaches: coaches, values: from.typed, faults: from.faults}
	if from.typed == nil {
		m.values = formOf(s)
	}
	p.Who, p.Road, p.Days = m.who(), m.road(), m.days()
	if s.ID == "" {
		p.Screen = v.screenFields(from)
	}
	if len(from.faults) > 0 {
		p.Told = v.say("care.wrong")
	}
	return p, nil
}

// coaches are whom a student may be given to, by whoever runs the studio;
// nobody where the person does not run it.
func (v *visit) coaches(s practice.Student) (out []option, err error) {
	if v.may(practice.RunStudio) != nil {
		return nil, nil
	}
	people, err := v.Account.People(v.ctx(), v.who())
	if err != nil {
		return nil, err
	}
	if s.ID != "" {
		out = append(out, option{Label: v.say("intake.coach.any")})
	}
	for _, c := range people {
		if c.ID == s.Coach || c.Role != practice.Assistant && c.WorksOn(v.today()) {
			out = append(out, option{Value: c.ID, Label: c.Name})
		}
	}
	return out, nil
}

// given reads which coach the student is given to, by whoever may say so.
func (v *visit) given(s *practice.Student, faults map[string]string) error {
	coaches, err := v.coaches(*s)
	if err != nil || len(coaches) == 0 || !v.r.PostForm.Has("coach") {
		return err
	}
	coach := v.typed("coach")
	if !slices.ContainsFunc(coaches, func(o option) bool { return o.Value == coach }) {
		faults["coach"] = v.fault(practice.Fault{Code: practice.UnknownID, Field: "coach", Value: practice.Short(coach)})
		return nil
	}
	s.Coach = coach
	return nil
}

// takeIn keeps a new student; what the health screen stops is stopped at once.
func takeIn(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	if err := v.may(practice.AddStudent); err != nil {
		return err
	}
	s, faults := v.intakeOf(practice.Student{})
	if err := v.given(&s, faults); err != nil {
		return err
	}
	no := v.screened(faults)
	if len(no) > 0 {
		s.Stops = append(s.Stops, practice.Stop{No: no, Since: v.today()})
	}
	if len(faults) == 0 {
		kept, err := v.Roster.TakeIn(v.ctx(), v.who(), s)
		if err == nil {
			return v.takenIn(kept.Value)
		}
		if faults, err = v.intakeFaults(s, err); err != nil {
			return err
		}
	}
	p, err := v.intakePage(practice.Student{}, 0, sent{typed: v.r.PostForm, faults: faults})
	if err != nil {
		return err
	}
	return v.render(http.StatusUnprocessableEntity, "intake", p)
}

// takenIn leads on to the new student, by way of the stops where there are any.
func (v *visit) takenIn(s practice.Student) error {
	if err := v.keepGuardian(s); err != nil {
		return err
	}
	if len(s.Stops) > 0 {
		return v.see("/students/" + s.ID + "/care?screened=yes")
	}
	return v.see("/students/" + s.ID)
}

// keepGuardian keeps who answers for a student, so that a link can be handed to
// them, where nobody does yet.
func (v *visit) keepGuardian(s practice.Student) error {
	if s.Guardian == "" {
		return nil
	}
	there, err := v.Roster.Guardians(v.ctx(), v.who(), s.ID)
	if err != nil || slices.ContainsFunc(there, func(g practice.Guardian) bool { return g.Name == s.Guardian }) {
		return err
	}
	_, err = v.Roster.PutGuardian(v.ctx(), v.who(), practice.Guardian{Name: s.Guardian, Students: []string{s.ID}}, 0)
	return err
}

// changing is the student in the address, for whoever may change the record.
func (v *visit) changing() (practice.Kept[practice.Student], error) {
	id := v.r.PathValue("id")
	if err := v.Roster.May(v.ctx(), v.who(), practice.CoachStudent, id); err != nil {
		return practice.Kept[practice.Student]{}, err
	}
	return v.Roster.Student(v.ctx(), v.who(), id)
}

func changeForm(v *visit) error {
	kept, err := v.changing()
	if err != nil {
		return err
	}
	p, err := v.intakePage(kept.Value, kept.Rev, sent{})
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "intake", p)
}

// changeStudent keeps what was changed; somebody else's change meanwhile is
// told, and what was typed stays.
func changeStudent(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	kept, err := v.changing()
	if err != nil {
		return err
	}
	rev, err := strconv.ParseInt(v.typed("rev"), 10, 64)
	if err != nil {
		return errBadForm
	}
	s, faults := v.intakeOf(kept.Value)
	if err := v.given(&s, faults); err != nil {
		return err
	}
	if len(faults) == 0 {
		_, err := v.Roster.Change(v.ctx(), v.who(), s, rev)
		switch {
		case err == nil:
			if err := v.keepGuardian(s); err != nil {
				return err
			}
			return v.see("/students/" + s.ID)
		case practice.HasCode(err, practice.ChangedSince):
			return v.changeAgain(kept, http.StatusConflict, nil, "intake.changed")
		}
		if faults, err = v.intakeFaults(s, err); err != nil {
			return err
		}
	}
	kept.Rev = rev
	return v.changeAgain(kept, http.StatusUnprocessableEntity, faults, "care.wrong")
}

func (v *visit) changeAgain(kept practice.Kept[practice.Student], status int, faults map[string]string, told string) error {
	p, err := v.intakePage(kept.Value, kept.Rev, sent{typed: v.r.PostForm, faults: faults})
	if err != nil {
		return err
	}
	p.Told = v.say(told)
	return v.render(status, "intake", p)
}

// intakeFaults are the faults of a student by the fields of the form; an error
// that is about something else comes back.
func (v *visit) intakeFaults(s practice.Student, err error) (map[string]string, error) {
	var faults practice.Faults
	if !errors.As(err, &faults) {
		return nil, err
	}
	out := map[string]string{}
	for _, f := range faults {
		name := dayField(s, f.Field)
		f.Field = name
		out[name] = v.fault(f)
	}
	return out, nil
}
