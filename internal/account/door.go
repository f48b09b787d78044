package account

import (
	"context"
	"slices"
	"strings"
	"time"

	"aplomb/internal/practice"
)

// Link is a way in that is shown once: the secret is not kept.
type Link struct {
	Path    string // from the root of the site
	Expires *practice.Instant
}

// Opening is what is behind a link, before anybody comes in by it.
type Opening struct {
	For    practice.DoorFor
	Studio practice.Studio
	Name   string          // of whom the link is for; empty for an owner nobody knows yet
	Person practice.Person // of those who work in the studio
	hash   string
}

// Entry is what somebody types who comes in by an invitation.
type Entry struct {
	Name, Email, Password string
}

// opens says whether a door opens now; once, that it was not used before. One
// that ends does not open where the clock was set back to before it was made.
func (a *Account) opens(d practice.Door, once bool) bool {
	now := a.Now()
	if d.Expires != nil && (!now.Before(d.Expires.Time()) || now.Before(d.Made.Time().Add(-skew))) {
		return false
	}
	return !once || d.Used == nil
}

// once are the doors that open a single time.
func once(kind practice.DoorFor) bool {
	return kind == practice.OwnerDoor || kind == practice.InviteDoor
}

// makeLink makes a door that replaces every door of this kind to the same person.
func (a *Account) makeLink(ctx context.Context, who practice.Who, kind practice.DoorFor, of string, lasts time.Duration) (Link, error) {
	s, err := a.studio(ctx, who.Studio)
	if err != nil {
		return Link{}, err
	}
	secret, hash, err := newSecret(a.Random)
	if err != nil {
		return Link{}, err
	}
	d := practice.Door{Hash: hash, For: kind, Of: of, Made: a.now(s), MadeBy: who.ID}
	if lasts > 0 {
		at := s.Zone.At(a.Now().Add(lasts))
		d.Expires = &at
	}
	if err := a.Store.CloseDoors(ctx, who, kind, of); err != nil {
		return Link{}, err
	}
	return Link{Path: "/in/" + s.ID + "/" + secret, Expires: d.Expires}, a.Store.PutDoor(ctx, who, d)
}

// OwnerLink lets an owner in who lost every other way, or the first one of a
// studio that was imported without. It is made on the machine itself; where
// the studio has several owners, person names one of them.
func (a *Account) OwnerLink(ctx context.Context, studio, person string) (Link, practice.Person, error) {
	s, err := a.studio(ctx, studio)
	if err != nil {
		return Link{}, practice.Person{}, err
	}
	today := a.now(s).Date()
	kept, err := a.find(ctx, desk(studio), func(p practice.Person) bool {
		return p.Role == practice.Owner && p.WorksOn(today) && (person == "" || p.ID == person)
	}, person)
	if missing(err) && person == "" {
		kept, err = practice.Kept[practice.Person]{Value: practice.Person{ID: a.NewID(), Role: practice.Owner, Since: today}}, nil
	}
	if err != nil {
		return Link{}, practice.Person{}, err
	}
	link, err := a.makeLink(ctx, desk(studio), practice.OwnerDoor, kept.Value.ID, OwnerFor)
	return link, kept.Value, err
}

// OwnerIn says whether an owner of the studio has a way in.
func (a *Account) OwnerIn(ctx context.Context, studio string) (bool, error) {
	s, err := a.studio(ctx, studio)
	if err != nil {
		return false, err
	}
	people, err := a.People(ctx, desk(studio))
	if err != nil {
		return false, err
	}
	today := a.now(s).Date()
	return slices.ContainsFunc(people, func(c Colleague) bool {
		return c.Role == practice.Owner && c.WorksOn(today) && (c.HasPassword || c.Passkeys > 0)
	}), nil
}

// Invite takes somebody into the studio and makes the link they come in by.
func (a *Account) Invite(ctx context.Context, who practice.Who, name, email string, role practice.Role) (Link, practice.Person, error) {
	none := practice.Person{}
	if err := runs(who); err != nil {
		return Link{}, none, err
	}
	s, err := a.studio(ctx, who.Studio)
	if err != nil {
		return Link{}, none, err
	}
	p := practice.Person{ID: a.NewID(), Name: strings.TrimSpace(name), Email: strings.TrimSpace(email), Role: role, Since: a.now(s).Date()}
	if fs := checkEntry(p); len(fs) > 0 {
		return Link{}, none, practice.Faults(fs)
	}
	if err := a.free(ctx, who, p.Email, ""); err != nil {
		return Link{}, none, err
	}
	if _, err := a.Store.PutPerson(ctx, who, p, 0); err != nil {
		return Link{}, none, err
	}
	link, err := a.makeLink(ctx, who, practice.InviteDoor, p.ID, InviteFor)
	return link, p, err
}

// InviteAgain makes a new link for somebody who works in the studio: the first
// was lost or has expired, or a password was forgotten.
func (a *Account) InviteAgain(ctx context.Context, who practice.Who, person string) (Link, practice.Person, error) {
	if err := runs(who); err != nil {
		return Link{}, practice.Person{}, err
	}
	kept, err := a.person(ctx, who, person)
	if err != nil {
		return Link{}, practice.Person{}, err
	}
	s, err := a.studio(ctx, who.Studio)
	if err != nil {
		return Link{}, practice.Person{}, err
	}
	if !kept.Value.WorksOn(a.now(s).Date()) {
		return Link{}, practice.Person{}, practice.Refused(practice.RunStudio)
	}
	link, err := a.makeLink(ctx, who, practice.InviteDoor, person, InviteFor)
	return link, kept.Value, err
}

// Look is what a link opens; [ErrLink] where it opens nothing.
func (a *Account) Look(ctx context.Context, studio, secret string) (Opening, error) {
	s, err := a.studio(ctx, studio)
	if err != nil {
		return Opening{}, noLink(err)
	}
	d, err := a.Store.DoorByHash(ctx, desk(studio), hashOf(secret))
	if err != nil {
		return Opening{}, noLink(err)
	}
	if !a.opens(d, once(d.For)) {
		return Opening{}, ErrLink
	}
	o := Opening{For: d.For, Studio: s, hash: d.Hash}
	return o, noLink(a.whose(ctx, &o, d))
}

// noLink hides why there is no way in.
func noLink(err error) error {
	if missing(err) {
		return ErrLink
	}
	return err
}

// whose looks up whom a door is for.
func (a *Account) whose(ctx context.Context, o *Opening, d practice.Door) (err error) {
	who := desk(o.Studio.ID)
	switch d.For {
	case practice.StudentDoor:
		kept, err := a.Store.Student(ctx, who, d.Of)
		o.Name, o.Person.ID = kept.Value.Name, d.Of
		return err
	case practice.GuardianDoor:
		g, err := a.guardian(ctx, who, d.Of)
		o.Name, o.Person.ID = g.Name, d.Of
		return err
	}
	kept, err := a.person(ctx, who, d.Of)
	today := a.now(o.Studio).Date()
	if missing(err) && d.For == practice.OwnerDoor {
		kept.Value, err = practice.Person{ID: d.Of, Role: practice.Owner, Since: today}, nil
	}
	if err == nil && !kept.Value.WorksOn(today) {
		return ErrLink
	}
	o.Name, o.Person = kept.Value.Name, kept.Value
	return err
}

// Accept lets somebody who works in the studio in by a link that opens once,
// with a name, an address and a new password. Whatever the person was signed
// in with before is signed out.
func (a *Account) Accept(ctx context.Context, studio, secret string, e Entry, agent string) (Ticket, error) {
	o, err := a.Look(ctx, studio, secret)
	if err != nil {
		return Ticket{}, err
	}
	if !once(o.For) {
		return Ticket{}, ErrLink
	}
	p := o.Person
	p.Name, p.Email = strings.TrimSpace(e.Name), strings.TrimSpace(e.Email)
	if fs := append(checkEntry(p), checkPassword(e.Password, p.Email)...); len(fs) > 0 {
		return Ticket{}, practice.Faults(fs)
	}
	who := practice.Who{Studio: o.Studio.ID, ID: p.ID, Role: p.Role}
	if err := a.free(ctx, who, p.Email, p.ID); err != nil {
		return Ticket{}, err
	}
	if err := a.Store.TakeDoor(ctx, who, o.hash, a.now(o.Studio), true); err != nil {
		return Ticket{}, noLink(err)
	}
	return a.settle(ctx, o.Studio, p, e.Password, agent)
}

// settle keeps the person and the password, and signs the browser in.
func (a *Account) settle(ctx context.Context, s practice.Studio, p practice.Person, password, agent string) (Ticket, error) {
	who := practice.Who{Studio: s.ID, ID: p.ID, Role: p.Role}
	before, err := a.person(ctx, who, p.ID)
	switch {
	case missing(err):
	case err != nil:
		return Ticket{}, err
	default: // what the studio decided of them meanwhile holds
		p.Role, p.Since, p.Left = before.Value.Role, before.Value.Since, before.Value.Left
		who.Role = p.Role
	}
	if before.Rev == 0 || before.Value != p {
		if _, err := a.Store.PutPerson(ctx, who, p, before.Rev); err != nil {
			return Ticket{}, err
		}
	}
	if err := a.putPassword(ctx, who, s, password); err != nil {
		return Ticket{}, err
	}
	if err := a.Store.RemoveSignIns(ctx, who, ""); err != nil {
		return Ticket{}, err
	}
	return a.begin(ctx, s, who, agent)
}
