package web

import (
	"net/http"

	"aplomb/internal/practice"
)

// homePage lists the students somebody may see.
type homePage struct {
	frame
	Students []listed
	Class    bool // of those met in classes, with what they may not do
}

type listed struct {
	ID, Name, Coach, Not string
	Links                bool // whether this person may hand out their links
}

func home(v *visit) error {
	if !v.in.Staff() {
		return v.see("/me")
	}
	p := homePage{frame: v.frame("home.title")}
	var err error
	if v.who().Role == practice.Assistant {
		p.Class = true
		p.Students, err = v.pupils()
	} else {
		p.Students, err = v.students()
	}
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "home", p)
}

func (v *visit) students() ([]listed, error) {
	kept, err := v.Roster.Students(v.ctx(), v.who())
	if err != nil {
		return nil, err
	}
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return nil, err
	}
	today := v.in.Studio.Zone.At(v.Now()).Date()
	var out []listed
	for _, k := range kept {
		if s := k.Value; s.ArchivedOn == nil || today < *s.ArchivedOn {
			out = append(out, listed{ID: s.ID, Name: s.Name, Coach: names[s.Coach], Links: true})
		}
	}
	return out, nil
}

func (v *visit) pupils() ([]listed, error) {
	pupils, err := v.Roster.Pupils(v.ctx(), v.who())
	if err != nil {
		return nil, err
	}
	var out []listed
	for _, p := range pupils {
		not := make([]string, len(p.No))
		for i, strain := range p.No {
			not[i] = v.Words.Say("strain." + string(strain))
		}
		out = append(out, listed{ID: p.ID, Name: p.Name, Not: v.Words.List(not)})
	}
	return out, nil
}
