package web

import (
	"errors"
	"net/http"
	"strings"

	"aplomb/internal/account"
	"aplomb/internal/practice"
)

// signInPage asks for an address and a password, or a passkey.
type signInPage struct {
	frame
	Fields   []field
	SignInTo string // the studio, where there is one
	Next     string
	Wrong    string
	Empty    bool // no studio yet
	As       string
}

func (v *visit) signInPage(studio, email, wrong string) (signInPage, error) {
	studios, err := v.Account.Studios(v.ctx())
	if err != nil {
		return signInPage{}, err
	}
	p := signInPage{frame: v.frame("signin.title"), Next: local(v.r.FormValue("next")), Wrong: wrong, Empty: len(studios) == 0}
	if v.in != nil {
		p.As = v.in.Name
		if email == "" {
			email = v.in.Person.Email
		}
	}
	switch {
	case len(studios) == 1:
		p.SignInTo = studios[0].ID
		p.Studio = studios[0].Name
	default:
		p.Fields = append(p.Fields, field{Name: "studio", Label: v.say("signin.studio"), Kind: "text", Value: studio, Auto: "organization"})
	}
	p.Fields = append(p.Fields,
		field{Name: "email", Label: v.say("field.email"), Kind: "email", Value: email, Auto: "username webauthn"},
		field{Name: "password", Label: v.say("field.password"), Kind: "password", Auto: "current-password"})
	return p, nil
}

func signInForm(v *visit) error {
	p, err := v.signInPage(v.r.URL.Query().Get("studio"), "", "")
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "signin", p)
}

func signIn(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	if err := v.patient(v.limits.signIn); err != nil {
		return err
	}
	studio, email := v.typed("studio"), v.typed("email")
	if !v.limits.account.allow(practice.Short(studio) + "/" + practice.Short(strings.ToLower(strings.TrimSpace(email)))) {
		return errTooOften
	}
	ticket, err := v.Account.SignIn(v.ctx(), studio, email, v.typed("password"), v.r.UserAgent())
	if errors.Is(err, account.ErrNotMatched) {
		p, err := v.signInPage(studio, email, v.say("signin.wrong"))
		if err != nil {
			return err
		}
		return v.render(http.StatusUnauthorized, "signin", p)
	}
	if err != nil {
		return err
	}
	return v.comeIn(ticket, local(v.typed("next")))
}

// comeIn gives the browser its cookie; whoever was signed in before is out.
func (v *visit) comeIn(t account.Ticket, to string) error {
	if v.in != nil {
		if err := v.Account.SignOut(v.ctx(), *v.in); err != nil {
			return err
		}
	}
	v.setCookie(t)
	return v.see(to)
}

func signOut(v *visit) error {
	if err := v.Account.SignOut(v.ctx(), *v.in); err != nil {
		return err
	}
	v.dropCookie()
	v.w.Header().Set("Clear-Site-Data", `"cache", "storage"`)
	return v.see("/sign-in")
}

// forgottenPage says what to do without a password.
type forgottenPage struct{ frame }

func forgotten(v *visit) error {
	return v.render(http.StatusOK, "forgotten", forgottenPage{v.frame("forgotten.title")})
}
