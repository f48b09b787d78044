package web

import (
	"errors"
	"net/http"

	"aplomb/internal/account"
	"aplomb/internal/practice"
)

// peopleList is who works in the studio, for its owner.
type peopleList struct {
	frame
	Told   string
	People []colleague
	Invite []field
	Link   *newLink
}

type colleague struct {
	ID, Name, Email, Role, In string
	Roles                     []option
	Left                      *practice.Date
	Self                      bool
}

// newLink is a link that is shown this once.
type newLink struct {
	Href, Name, Text string
}

func (v *visit) newLink(l account.Link, name string) *newLink {
	text := v.say("link.forever", "name", name)
	if l.Expires != nil {
		text = v.say("link.once", "name", name, "day", v.frame("people.title").Day(l.Expires.Date()))
	}
	return &newLink{v.site.Scheme + "://" + v.site.Host + l.Path, name, text}
}

func (v *visit) peopleList(name, email string, role practice.Role, wrong map[string]string) (peopleList, error) {
	p := peopleList{frame: v.frame("people.title"), Invite: v.nameFields(name, email, wrong)}
	roles := field{Name: "role", Label: v.say("people.role"), Kind: "select", Fault: wrong["role"]}
	roles.Options = v.roles(role)
	p.Invite = append(p.Invite, roles)
	p.Invite[0].Label = v.say("people.name")
	for i := range p.Invite {
		p.Invite[i].Auto = "off"
	}
	people, err := v.Account.People(v.ctx(), v.who())
	for _, c := range people {
		p.People = append(p.People, colleague{ID: c.ID, Name: c.Name, Email: c.Email, Role: v.say("role." + string(c.Role)), In: v.ways(c),
			Roles: v.roles(c.Role), Left: c.Left, Self: c.ID == v.who().ID})
	}
	return p, err
}

// roles are those to choose from.
func (v *visit) roles(chosen practice.Role) (out []option) {
	for _, r := range []practice.Role{practice.Coach, practice.Assistant, practice.Owner} {
		out = append(out, option{string(r), v.say("role." + string(r) + ".can"), r == chosen})
	}
	return out
}

// ways says how somebody comes in.
func (v *visit) ways(c account.Colleague) string {
	switch {
	case c.Link != nil:
		return v.say("people.invited", "day", v.frame("people.title").Day(c.Link.Expires.Date()))
	case c.HasPassword && c.Passkeys > 0:
		return v.say("people.both", "n", c.Passkeys)
	case c.HasPassword:
		return v.say("people.password")
	case c.Passkeys > 0:
		return v.say("people.passkeys", "n", c.Passkeys)
	}
	return v.say("people.none")
}

func peoplePage(v *visit) error {
	p, err := v.peopleList("", "", practice.Coach, nil)
	if err != nil {
		return err
	}
	for _, c := range p.People {
		for _, done := range []string{"changed", "ended"} {
			if v.r.URL.Query().Get(done) == c.ID {
				p.Told = v.say("people."+done, "name", c.Name, "role", c.Role)
			}
		}
	}
	return v.render(http.StatusOK, "people", p)
}

func invite(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	name, email, role := v.typed("name"), v.typed("email"), practice.Role(v.typed("role"))
	link, person, err := v.Account.Invite(v.ctx(), v.who(), name, email, role)
	if wrong, ok := v.faulty(err); ok {
		p, err := v.peopleList(name, email, role, wrong)
		if err != nil {
			return err
		}
		return v.render(http.StatusUnprocessableEntity, "people", p)
	}
	return v.withLink(link, person, err)
}

func inviteAgain(v *visit) error {
	link, person, err := v.Account.InviteAgain(v.ctx(), v.who(), v.r.PathValue("id"))
	return v.withLink(link, person, err)
}

// withLink shows the people with a link that was just made.
func (v *visit) withLink(link account.Link, person practice.Person, err error) error {
	if err != nil {
		return err
	}
	p, err := v.peopleList("", "", practice.Coach, nil)
	if err != nil {
		return err
	}
	p.Link = v.newLink(link, person.Name)
	return v.render(http.StatusOK, "people", p)
}

// leavePage asks once more before somebody leaves.
type leavePage struct {
	frame
	LeaverName string
}

func leaveForm(v *visit) error {
	people, err := v.Account.People(v.ctx(), v.who())
	if err != nil {
		return err
	}
	for _, c := range people {
		if c.ID == v.r.PathValue("id") {
			return v.render(http.StatusOK, "leave", leavePage{v.frame("leave.title", "name", c.Name), c.Name})
		}
	}
	return errNoPage
}

func leave(v *visit) error {
	if err := v.Account.Leave(v.ctx(), v.who(), v.r.PathValue("id")); err != nil {
		return err
	}
	return v.see("/people")
}

// changeRole makes a colleague something else in the studio.
func changeRole(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	err := v.Account.ChangeRole(v.ctx(), v.who(), id, practice.Role(v.typed("role")))
	if _, ok := v.faulty(err); ok {
		return errors.Join(errBadForm, err)
	}
	if err != nil {
		return err
	}
	return v.see("/people?changed=" + id)
}

// endColleague signs a colleague's browsers out.
func endColleague(v *visit) error {
	id := v.r.PathValue("id")
	if err := v.Account.EndPerson(v.ctx(), v.who(), id); err != nil {
		return err
	}
	return v.see("/people?ended=" + id)
}
