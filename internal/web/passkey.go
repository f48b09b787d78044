package web

import (
	"encoding/json"
	"errors"
	"net/http"

	"aplomb/internal/account"
)

// answered is what the script sends back of a question put to an authenticator.
type answered struct {
	Key    string          `json:"key"`
	Name   string          `json:"name"`
	Answer json.RawMessage `json:"answer"`
	Studio string          `json:"studio"`
	Next   string          `json:"next"`
}

func (v *visit) answered() (a answered, err error) {
	if err := json.NewDecoder(v.r.Body).Decode(&a); err != nil {
		return a, errors.Join(errBadForm, err)
	}
	return a, nil
}

func askPasskey(v *visit) error {
	a, err := v.answered()
	if err != nil {
		return err
	}
	if err := v.patient(v.limits.signIn); err != nil {
		return err
	}
	q, err := v.Account.AskPasskey(v.ctx(), a.Studio)
	if err != nil {
		return v.noPasskey(err)
	}
	return v.json(http.StatusOK, q)
}

func enterByPasskey(v *visit) error {
	a, err := v.answered()
	if err != nil {
		return err
	}
	if err := v.patient(v.limits.signIn); err != nil {
		return err
	}
	ticket, err := v.Account.SignInByPasskey(v.ctx(), a.Key, a.Answer, v.r.UserAgent())
	if err != nil {
		return v.noPasskey(err)
	}
	if v.in != nil {
		if err := v.Account.SignOut(v.ctx(), *v.in); err != nil {
			return err
		}
	}
	v.setCookie(ticket)
	return v.json(http.StatusOK, map[string]string{"to": local(a.Next)})
}

func askNewPasskey(v *visit) error {
	q, err := v.Account.AskNewPasskey(v.ctx(), *v.in)
	if err != nil {
		return err
	}
	return v.json(http.StatusOK, q)
}

func keepPasskey(v *visit) error {
	a, err := v.answered()
	if err != nil {
		return err
	}
	if err := v.Account.KeepPasskey(v.ctx(), *v.in, a.Key, a.Name, a.Answer); err != nil {
		return v.noPasskey(err)
	}
	return v.json(http.StatusOK, map[string]string{"to": "/account"})
}

// noPasskey answers that a passkey was not accepted; why is in the log alone.
func (v *visit) noPasskey(err error) error {
	if !errors.Is(err, account.ErrPasskey) {
		return err
	}
	v.Log.Info("passkey not accepted", "cause", err)
	return v.json(http.StatusUnauthorized, map[string]string{"error": v.say("passkey.no")})
}
