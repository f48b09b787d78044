package web

import (
	"net/http"

	"aplomb/internal/practice"
)

// linksOf is how a student, and those who answer for the student, come in.
type linksOf struct {
	frame
	Ways []wayIn
	Link *newLink
}

type wayIn struct {
	For, Of, Name, What, State string
	Made                       bool
}

func (v *visit) linksOf() (linksOf, error) {
	ways, err := v.Account.WaysIn(v.ctx(), v.who(), v.r.PathValue("id"))
	if err != nil {
		return linksOf{}, err
	}
	p := linksOf{frame: v.frame("links.title", "name", ways[0].Name)}
	for _, w := range ways {
		one := wayIn{For: string(w.For), Of: w.Of, Name: w.Name, What: v.say("links." + string(w.For)), Made: w.Door != nil, State: v.say("links.none")}
		switch {
		case w.Door != nil && w.Door.Used != nil:
			one.State = v.say("links.used", "made", p.Day(w.Door.Made.Date()), "used", p.Day(w.Door.Used.Date()))
		case w.Door != nil:
			one.State = v.say("links.unused", "made", p.Day(w.Door.Made.Date()))
		}
		p.Ways = append(p.Ways, one)
	}
	return p, nil
}

func linksPage(v *visit) error {
	p, err := v.linksOf()
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "links", p)
}

// changeLink makes a link or takes it back: of the student in the address, or
// of somebody who answers for that student.
func changeLink(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	before, err := v.linksOf()
	if err != nil {
		return err
	}
	for _, w := range before.Ways {
		if w.For == v.typed("for") && w.Of == v.typed("of") {
			return v.changeWay(w)
		}
	}
	return errNoPage
}

func (v *visit) changeWay(w wayIn) error {
	kind := practice.DoorFor(w.For)
	if v.typed("do") == "revoke" {
		if err := v.Account.Revoke(v.ctx(), v.who(), kind, w.Of); err != nil {
			return err
		}
		return v.see(v.r.URL.Path)
	}
	link, err := v.Account.OwnLink(v.ctx(), v.who(), kind, w.Of)
	if err != nil {
		return err
	}
	p, err := v.linksOf()
	if err != nil {
		return err
	}
	p.Link = v.newLink(link, w.Name)
	return v.render(http.StatusOK, "links", p)
}
