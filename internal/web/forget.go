package web

import (
	"io"
	"net/http"
	"strings"

	"aplomb/internal/practice"
)

// fetchPerson hands everything kept of one student over.
func fetchPerson(v *visit) error {
	id := v.r.PathValue("id")
	if err := v.Roster.May(v.ctx(), v.who(), practice.ExportPerson, id); err != nil {
		return err
	}
	if err := v.Account.Fresh(*v.in); err != nil {
		return err
	}
	return v.whole(id, func(w io.Writer) error { return v.Records.Person(v.ctx(), v.who(), id, w) })
}

// forgetPage asks for the name before a student is forgotten.
type forgetPage struct {
	frame
	ID, Student string
	Field       control
}

func forgetForm(v *visit) error {
	p, err := v.forgetPage("", "")
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "forget", p)
}

func (v *visit) forgetPage(typed, fault string) (forgetPage, error) {
	id := v.r.PathValue("id")
	if err := v.Roster.May(v.ctx(), v.who(), practice.ErasePerson, id); err != nil {
		return forgetPage{}, err
	}
	if err := v.Account.Fresh(*v.in); err != nil {
		return forgetPage{}, err
	}
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	name := kept.Value.Name
	return forgetPage{frame: v.frame("forget.title", "name", name), ID: id, Student: name,
		Field: control{field{Name: "name", Label: v.say("forget.name", "name", name), Kind: "text", Value: typed, Fault: fault}, "name", false}}, err
}

// forget erases a student once their name was typed.
func forget(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	p, err := v.forgetPage(v.typed("name"), v.say("forget.other"))
	if err != nil {
		return err
	}
	if strings.TrimSpace(v.typed("name")) != p.Student {
		return v.render(http.StatusUnprocessableEntity, "forget", p)
	}
	if err := v.Records.Forget(v.ctx(), v.who(), p.ID); err != nil {
		return err
	}
	return v.see("/records?forgotten=yes")
}
