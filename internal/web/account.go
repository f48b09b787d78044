package web

import (
	"errors"
	"net/http"

	"aplomb/internal/account"
	"aplomb/internal/practice"
)

// ownAccount is a person's own: name, password, passkeys, browsers.
type ownAccount struct {
	frame
	Done           string
	Email          string
	NameFields     []field
	PasswordFields []field
	Passkeys       []practice.Passkey
	Browsers       []browser
	Fresh          bool
}

// browser is one place the person is signed in.
type browser struct {
	ID, Agent   string
	Since, Seen practice.Date
	This        bool
}

// done are the words for what was just changed; anything else says nothing.
var done = map[string]string{"name": "account.done.name", "password": "account.done.password", "passkey": "account.done.passkey", "browsers": "account.done.browsers"}

func accountPage(v *visit) error {
	p, err := v.ownAccount()
	if err != nil {
		return err
	}
	if id := done[v.r.URL.Query().Get("done")]; id != "" {
		p.Done = v.say(id)
	}
	return v.render(http.StatusOK, "account", p)
}

func (v *visit) ownAccount() (ownAccount, error) {
	p := ownAccount{frame: v.frame("account.title"), Fresh: v.Account.Fresh(*v.in) == nil,
		Email: v.in.Person.Email, NameFields: v.nameFields(v.in.Person.Name, v.in.Person.Email, nil), PasswordFields: v.passwordFields(nil)}
	var err error
	if p.Passkeys, err = v.Account.Passkeys(v.ctx(), *v.in); err != nil {
		return p, err
	}
	all, err := v.Account.SignIns(v.ctx(), *v.in)
	for _, s := range all {
		p.Browsers = append(p.Browsers, browser{ID: s.ID, Agent: v.agent(s.Agent), Since: s.Started.Date(), Seen: s.Seen.Date(), This: s.ID == v.in.SignIn.ID})
	}
	return p, err
}

func (v *visit) nameFields(name, email string, wrong map[string]string) []field {
	return []field{
		{Name: "name", Label: v.say("field.name"), Kind: "text", Value: name, Auto: "name", Fault: wrong["name"]},
		{Name: "email", Label: v.say("field.email"), Kind: "email", Value: email, Auto: "username", Fault: wrong["email"]},
	}
}

func (v *visit) passwordFields(wrong map[string]string) []field {
	return []field{
		{Name: "current", Label: v.say("account.current"), Kind: "password", Auto: "current-password", Fault: wrong["current"]},
		{Name: "password", Label: v.say("account.new"), Kind: "password", Auto: "new-password", Hint: v.say("field.password.hint"), Fault: wrong["password"]},
	}
}

func changeName(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	name, email := v.typed("name"), v.typed("email")
	err := v.Account.Rename(v.ctx(), *v.in, name, email)
	if wrong, ok := v.faulty(err); ok {
		return v.again(func(p *ownAccount) { p.NameFields = v.nameFields(name, email, wrong) })
	}
	if err != nil {
		return err
	}
	return v.see("/account?done=name")
}

func changePassword(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	if !v.limits.account.allow(v.who().Studio + "/" + v.who().ID) {
		return errTooOften
	}
	err := v.Account.ChangePassword(v.ctx(), *v.in, v.typed("current"), v.typed("password"))
	wrong, ok := v.faulty(err)
	if errors.Is(err, account.ErrNotMatched) {
		wrong, ok = map[string]string{"current": v.say("account.current.wrong")}, true
	}
	if ok {
		return v.again(func(p *ownAccount) { p.PasswordFields = v.passwordFields(wrong) })
	}
	if err != nil {
		return err
	}
	return v.see("/account?done=password")
}

// again shows the page once more with what is wrong.
func (v *visit) again(mark func(*ownAccount)) error {
	p, err := v.ownAccount()
	if err != nil {
		return err
	}
	mark(&p)
	return v.render(http.StatusUnprocessableEntity, "account", p)
}

func changePasskey(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	var err error
	switch v.typed("do") {
	case "name":
		err = v.Account.NamePasskey(v.ctx(), *v.in, v.typed("id"), v.typed("name"))
	case "remove":
		err = v.Account.RemovePasskey(v.ctx(), *v.in, v.typed("id"))
	default:
		err = errBadForm
	}
	if err != nil {
		return err
	}
	return v.see("/account?done=passkey")
}

func endBrowsers(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	var err error
	if id := v.typed("id"); id != "" {
		err = v.Account.End(v.ctx(), *v.in, id)
	} else {
		err = v.Account.EndOthers(v.ctx(), *v.in)
	}
	if err != nil {
		return err
	}
	return v.see("/account?done=browsers")
}
