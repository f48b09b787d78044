package web

import (
	"net/http"
	"slices"

	"aplomb/internal/practice"
)

// ownPages are what somebody sees who came by a link of their own: who they
// are, or whom they answer for, who coaches, and what was agreed to.
type ownPages struct {
	frame
	Students []own
}

type own struct {
	ID, Name, Coach string
	Self            bool
	Agreed          []agreed
}

// agreed is one thing that may be agreed to.
type agreed struct {
	For, What, Text, State string
	Holds, Can             bool
}

// ownPage is the first page of who came by a link: a student's week, or whom a
// guardian answers for.
func ownPage(v *visit) error {
	if v.who().Role == practice.AsStudent {
		return ownWeek(v)
	}
	return agreedPage(v)
}

// agreedPage is what was agreed to.
func agreedPage(v *visit) error {
	p := ownPages{frame: v.frame("me.title")}
	students, err := v.Roster.Students(v.ctx(), v.who())
	if err != nil {
		return err
	}
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return err
	}
	for _, k := range students {
		s := k.Value
		one := own{ID: s.ID, Name: s.Name, Coach: names[s.Coach], Self: v.who().ID == s.ID}
		if one.Agreed, err = v.agreements(s); err != nil {
			return err
		}
		p.Students = append(p.Students, one)
	}
	return v.render(http.StatusOK, "me", p)
}

func (v *visit) agreements(s practice.Student) ([]agreed, error) {
	consents, err := v.Roster.Consents(v.ctx(), v.who(), s.ID)
	if err != nil {
		return nil, err
	}
	alone := v.who().Role == practice.AsGuardian || v.in.Studio.Consents(s, v.in.Studio.Zone.At(v.Now()).Date())
	out := make([]agreed, len(practice.Purposes))
	for i, purpose := range practice.Purposes {
		a := agreed{For: string(purpose), What: v.say("consent." + string(purpose)), Text: v.say("consent." + string(purpose) + ".text"),
			State: v.say("consent.no"), Can: alone}
		if !alone {
			a.State = v.say("consent.guardian")
		}
		holds := slices.IndexFunc(consents, func(k practice.Kept[practice.Consent]) bool { return k.Value.For == purpose && k.Value.Holds() })
		if holds >= 0 {
			c := consents[holds].Value
			a.Holds = true
			a.State = v.say("consent.yes."+string(c.Role), "day", v.frame("me.title").Day(c.At.Date()))
		}
		out[i] = a
	}
	return out, nil
}

func consent(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	student, purpose := v.typed("student"), practice.Purpose(v.typed("for"))
	if !slices.Contains(practice.Purposes, purpose) {
		return errBadForm
	}
	var err error
	switch v.typed("do") {
	case "give":
		err = v.Roster.Agree(v.ctx(), v.who(), student, purpose)
	case "withdraw":
		err = v.Roster.Withdraw(v.ctx(), v.who(), student, purpose)
	default:
		err = errBadForm
	}
	if err != nil {
		return err
	}
	if v.who().Role == practice.AsStudent {
		return v.see("/me/agreed")
	}
	return v.see("/me")
}
