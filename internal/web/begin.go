package web

import (
	"net/http"

	"aplomb/internal/account"
)

// beginPage sets up the studio and its first owner.
type beginPage struct {
	frame
	Fields []field
}

func (v *visit) beginPage(e account.Setup, wrong map[string]string) beginPage {
	return beginPage{frame: v.frame("begin.title"), Fields: append([]field{
		{Name: "studio", Label: v.say("begin.studio"), Kind: "text", Value: e.Studio, Auto: "organization", Fault: wrong["studio"]},
		{Name: "time_zone", Label: v.say("begin.zone"), Kind: "text", Value: e.Zone, Hint: v.say("begin.zone.hint"), Fault: wrong["time_zone"]},
	}, v.entryFields(e.Entry, wrong)...)}
}

// entryFields are name, address and a new password.
func (v *visit) entryFields(e account.Entry, wrong map[string]string) []field {
	return []field{
		{Name: "name", Label: v.say("field.name"), Kind: "text", Value: e.Name, Auto: "name", Fault: wrong["name"]},
		{Name: "email", Label: v.say("field.email"), Kind: "email", Value: e.Email, Auto: "username", Hint: v.say("field.email.hint"), Fault: wrong["email"]},
		{Name: "password", Label: v.say("field.password"), Kind: "password", Auto: "new-password", Hint: v.say("field.password.hint"), Fault: wrong["password"]},
	}
}

func beginForm(v *visit) error {
	if err := v.patient(v.limits.link); err != nil {
		return err
	}
	if err := v.Account.LookFirst(v.r.PathValue("secret")); err != nil {
		return err
	}
	return v.render(http.StatusOK, "begin", v.beginPage(account.Setup{}, nil))
}

func begin(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	if err := v.patient(v.limits.link); err != nil {
		return err
	}
	e := account.Setup{Entry: v.entry(), Studio: v.typed("studio"), Zone: v.typed("time_zone")}
	ticket, err := v.Account.SetUp(v.ctx(), v.r.PathValue("secret"), e, v.r.UserAgent())
	if wrong, ok := v.faulty(err); ok {
		return v.render(http.StatusUnprocessableEntity, "begin", v.beginPage(e, wrong))
	}
	if err != nil {
		return err
	}
	return v.comeIn(ticket, "/account")
}

func (v *visit) entry() account.Entry {
	return account.Entry{Name: v.typed("name"), Email: v.typed("email"), Password: v.typed("password")}
}
