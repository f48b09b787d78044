package account

import (
	"context"
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// Colleague is somebody who works in the studio, with how they come in.
type Colleague struct {
	practice.Person
	HasPassword bool
	Passkeys    int
	Link        *practice.Door // an invitation nobody has used yet
}

// runs refuses who may not run the studio.
func runs(who practice.Who) error {
	if !who.Role.May(practice.RunStudio, practice.Other) {
		return practice.Refused(practice.RunStudio)
	}
	return nil
}

// People are those who work in the studio or did, for who runs it.
func (a *Account) People(ctx context.Context, who practice.Who) ([]Colleague, error) {
	if err := runs(who); err != nil {
		return nil, err
	}
	people, err := a.Store.People(ctx, who)
	if err != nil {
		return nil, err
	}
	doors, err := a.Store.Doors(ctx, who)
	if err != nil {
		return nil, err
	}
	out := make([]Colleague, len(people))
	for i, k := range people {
		if out[i], err = a.colleague(ctx, who, k.Value, doors); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (a *Account) colleague(ctx context.Context, who practice.Who, p practice.Person, doors []practice.Door) (Colleague, error) {
	c := Colleague{Person: p}
	_, err := a.Store.Password(ctx, who, p.ID)
	if err != nil && !missing(err) {
		return c, err
	}
	c.HasPassword = err == nil
	keys, err := a.Store.Passkeys(ctx, who, p.ID)
	if err != nil {
		return c, err
	}
	c.Passkeys = len(keys)
	for i, d := range doors {
		if (d.For == practice.InviteDoor || d.For == practice.OwnerDoor) && d.Of == p.ID && a.opens(d, true) {
			c.Link = &doors[i]
		}
	}
	return c, nil
}

// Names are what the people of the studio are called, by id, for those who
// work there and those who come by a link of their own.
func (a *Account) Names(ctx context.Context, who practice.Who) (map[string]string, error) {
	people, err := a.Store.People(ctx, who)
	if err != nil {
		return nil, err
	}
	names := make(map[string]string, len(people))
	for _, k := range people {
		names[k.Value.ID] = k.Value.Name
	}
	return names, nil
}

// Working are the names of those who work in the studio on the day, by id.
func (a *Account) Working(ctx context.Context, who practice.Who, day practice.Date) (map[string]string, error) {
	people, err := a.Store.People(ctx, who)
	if err != nil {
		return nil, err
	}
	names := map[string]string{}
	for _, k := range people {
		if k.Value.WorksOn(day) && k.Value.Role != practice.Assistant {
			names[k.Value.ID] = k.Value.Name
		}
	}
	return names, nil
}

func (a *Account) person(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Person], error) {
	return a.Store.Person(ctx, who, id)
}

// byEmail finds who signs in with an address.
func (a *Account) byEmail(ctx context.Context, who practice.Who, email string) (practice.Kept[practice.Person], error) {
	email = strings.TrimSpace(email)
	if email == "" {
		return practice.Kept[practice.Person]{}, practice.Fault{Code: practice.NotFound, Field: "person"}
	}
	return a.Store.PersonByEmail(ctx, who, email)
}

func (a *Account) find(ctx context.Context, who practice.Who, is func(practice.Person) bool, name string) (practice.Kept[practice.Person], error) {
	people, err := a.Store.People(ctx, who)
	if err != nil {
		return practice.Kept[practice.Person]{}, err
	}
	i := slices.IndexFunc(people, func(k practice.Kept[practice.Person]) bool { return is(k.Value) })
	if i < 0 {
		return practice.Kept[practice.Person]{}, practice.Fault{Code: practice.NotFound, Field: "person", Value: practice.Short(name)}
	}
	return people[i], nil
}

// free refuses an address somebody else signs in with.
func (a *Account) free(ctx context.Context, who practice.Who, email, except string) error {
	kept, err := a.byEmail(ctx, who, email)
	switch {
	case missing(err):
		return nil
	case err != nil:
		return err
	case kept.Value.ID == except:
		return nil
	}
	return practice.Faults{{Code: practice.ExistsAlready, Field: "email", Value: practice.Short(email)}}
}

// Rename changes what a person of the studio is called and signs in with. A
// changed address needs proof that was given just now.
func (a *Account) Rename(ctx context.Context, in Signed, name, email string) error {
	if !in.Staff() {
		return practice.Refused(practice.RunStudio)
	}
	kept, err := a.person(ctx, in.Who, in.Who.ID)
	if err != nil {
		return err
	}
	p := kept.Value
	if !strings.EqualFold(p.Email, strings.TrimSpace(email)) && !a.fresh(in) {
		return ErrStale
	}
	p.Name, p.Email = strings.TrimSpace(name), strings.TrimSpace(email)
	if fs := checkEntry(p); len(fs) > 0 {
		return practice.Faults(fs)
	}
	if err := a.free(ctx, in.Who, p.Email, p.ID); err != nil {
		return err
	}
	_, err = a.Store.PutPerson(ctx, in.Who, p, kept.Rev)
	return err
}

// checkEntry is what is wrong with somebody who is to sign in: unlike others
// they need an address.
func checkEntry(p practice.Person) []practice.Fault {
	fs := p.Check()
	if p.Email == "" {
		fs = append(fs, practice.Fault{Code: practice.MissingField, Field: "email", Want: "an address such as ines@millgate.example"})
	}
	return fs
}

// otherOwner is [ErrLastOwner] where nobody else owns the studio today.
func (a *Account) otherOwner(ctx context.Context, who practice.Who, person string, today practice.Date) error {
	_, err := a.find(ctx, who, func(p practice.Person) bool {
		return p.Role == practice.Owner && p.ID != person && p.WorksOn(today)
	}, "")
	if missing(err) {
		return ErrLastOwner
	}
	return err
}

// shut takes every way in from somebody who works in the studio.
func (a *Account) shut(ctx context.Context, who practice.Who) error {
	for _, kind := range []practice.DoorFor{practice.InviteDoor, practice.OwnerDoor} {
		if err := a.Store.CloseDoors(ctx, who, kind, who.ID); err != nil {
			return err
		}
	}
	keys, err := a.Store.Passkeys(ctx, who, who.ID)
	if err != nil {
		return err
	}
	for _, k := range keys {
		if err := a.Store.RemovePasskey(ctx, who, k.ID); err != nil {
			return err
		}
	}
	if err := a.Store.RemovePassword(ctx, who, who.ID); err != nil && !missing(err) {
		return err
	}
	return a.Store.RemoveSignIns(ctx, who, "")
}

// Studios are all there are, for the sign-in page.
func (a *Account) Studios(ctx context.Context) ([]practice.Studio, error) {
	return a.Store.Studios(ctx)
}
