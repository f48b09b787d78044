package web

import (
	"net/http"

	"aplomb/internal/practice"
)

// trailPage is who changed what and when, the newest first.
type trailPage struct {
	frame
	ID            string // of the student; empty: of the whole studio
	Lines         []trailLine
	Older         string
	Export, Erase string // of the student, for whoever may
	Archive       string // what a button does, for whoever may; empty: none
	Archived      bool
}

// trailLine is one change, with what was before and is since.
type trailLine struct {
	When, What string
	Student    string // whose record; empty where it is that of the page, or nobody's
	Of         string // id, where there is such a student to see
	Fields     []trailField
}

// trailField is one field of what was changed, in words.
type trailField struct{ Name, Was, Is string }

// linesAPage is how many changes a page has.
const linesAPage = 100

func studioTrail(v *visit) error { return v.trail("") }

func studentTrail(v *visit) error { return v.trail(v.r.PathValue("id")) }

func (v *visit) trail(student string) error {
	changes, err := v.Roster.Trail(v.ctx(), v.who(), student, v.r.URL.Query().Get("before"), linesAPage)
	if err != nil {
		return err
	}
	t, err := v.teller()
	if err != nil {
		return err
	}
	p := trailPage{frame: v.frame("trail.title"), ID: student}
	if student != "" {
		p.frame = v.frame("trail.title.of", "name", t.students[student].Name)
		v.mayDo(&p, t.students[student])
	}
	for _, c := range changes {
		p.Lines = append(p.Lines, t.line(c, student))
	}
	if n := len(changes); n == linesAPage {
		p.Older = "?before=" + changes[n-1].ID
	}
	return v.render(http.StatusOK, "trail", p)
}

// mayDo is what the person may do with the whole of a student's record.
func (v *visit) mayDo(p *trailPage, s practice.Student) {
	for do, path := range map[practice.Right]*string{practice.ExportPerson: &p.Export, practice.ErasePerson: &p.Erase, practice.CoachStudent: &p.Archive} {
		if v.Roster.May(v.ctx(), v.who(), do, s.ID) == nil {
			*path = "/students/" + s.ID
		}
	}
	p.Archived = s.ArchivedOn != nil
}

// teller tells changes in words.
type teller struct {
	*visit
	people   map[string]string // names, by id
	students map[string]practice.Student
}

func (v *visit) teller() (*teller, error) {
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return nil, err
	}
	students, err := v.Roster.Students(v.ctx(), v.who())
	t := &teller{v, names, map[string]practice.Student{}}
	for _, k := range students {
		t.students[k.Value.ID] = k.Value
	}
	return t, err
}

// line is one change; on the page of a student it does not say whose.
func (t *teller) line(c practice.Change, student string) trailLine {
	by := t.people[c.By]
	switch {
	case by == "" && c.By == c.Student && c.Role == practice.AsStudent:
		by = t.say("trail.student")
	case by == "":
		by = t.say("trail.role." + string(c.Role))
	}
	one := trailLine{When: t.moment(c.At.Time()), What: t.say("trail.line", "by", by, "act", t.say("trail.act."+string(c.Act)), "noun", t.say("trail.noun."+string(c.Noun)))}
	switch {
	case c.Act == practice.Erased:
		one.What = t.say("trail.erased", "by", by)
	case c.Rows > 0:
		one.What = t.say("trail.rows", "by", by, "act", t.say("trail.act."+string(c.Act)), "n", c.Rows)
	}
	if s, seen := t.students[c.Student]; seen && student == "" {
		one.Student, one.Of = s.Name, s.ID
	}
	one.Fields = t.fields(c.Noun, c.Before, c.After)
	return one
}
