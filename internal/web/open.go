package web

import (
	"net/http"

	"aplomb/internal/account"
	"aplomb/internal/practice"
)

// openPage is behind a link: a form for those who work in the studio, one
// button for students and guardians. Looking at it changes nothing, so that a
// program that looks at links ahead of people uses none up.
type openPage struct {
	frame
	Hello  string
	Text   string
	Fields []field
	As     string // who is signed in here already
}

func (v *visit) openPage(o account.Opening, e account.Entry, wrong map[string]string) openPage {
	p := openPage{frame: v.frame("open.title", "studio", o.Studio.Name),
		Text: v.say("open."+string(o.For), "studio", o.Studio.Name)}
	p.Hello = v.say("open.hello", "name", o.Name)
	if o.Name == "" {
		p.Hello = v.say("open.hello.owner", "studio", o.Studio.Name)
	}
	if v.in != nil {
		p.As = v.in.Name
	}
	if o.For == practice.OwnerDoor || o.For == practice.InviteDoor {
		p.Fields = v.entryFields(e, wrong)
	}
	return p
}

func openForm(v *visit) error {
	if err := v.patient(v.limits.link); err != nil {
		return err
	}
	o, err := v.Account.Look(v.ctx(), v.r.PathValue("studio"), v.r.PathValue("secret"))
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "open", v.openPage(o, account.Entry{Name: o.Person.Name, Email: o.Person.Email}, nil))
}

func open(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	if err := v.patient(v.limits.link); err != nil {
		return err
	}
	studio, secret := v.r.PathValue("studio"), v.r.PathValue("secret")
	o, err := v.Account.Look(v.ctx(), studio, secret)
	if err != nil {
		return err
	}
	if o.For == practice.StudentDoor || o.For == practice.GuardianDoor {
		ticket, err := v.Account.Enter(v.ctx(), studio, secret, v.r.UserAgent())
		if err != nil {
			return err
		}
		return v.comeIn(ticket, "/me")
	}
	e := v.entry()
	ticket, err := v.Account.Accept(v.ctx(), studio, secret, e, v.r.UserAgent())
	if wrong, ok := v.faulty(err); ok {
		return v.render(http.StatusUnprocessableEntity, "open", v.openPage(o, e, wrong))
	}
	if err != nil {
		return err
	}
	return v.comeIn(ticket, "/")
}
