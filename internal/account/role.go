package account

import (
	"context"
	"slices"

	"aplomb/internal/practice"
)

// ChangeRole makes somebody who works in the studio its owner, a coach or an
// assistant. What they are signed in with ends: they come in anew as what they
// are now. The last owner stays one.
func (a *Account) ChangeRole(ctx context.Context, who practice.Who, person string, role practice.Role) error {
	if err := runs(who); err != nil {
		return err
	}
	if !slices.Contains(practice.StaffRoles, role) {
		return practice.Faults{{Code: practice.UnknownWord, Field: "role", Value: practice.Short(string(role))}}
	}
	return a.changePerson(ctx, who, person, func(p *practice.Person, _ practice.Date) { p.Role = role }, func(who practice.Who) error {
		return a.Store.RemoveSignIns(ctx, who, "")
	})
}

// Leave ends somebody's work in the studio from today on, and with it every
// way in: password, passkeys, links, browsers. The last owner cannot leave.
func (a *Account) Leave(ctx context.Context, who practice.Who, person string) error {
	if err := runs(who); err != nil {
		return err
	}
	return a.changePerson(ctx, who, person, func(p *practice.Person, today practice.Date) {
		left := max(today, p.Since)
		p.Left = &left
	}, func(who practice.Who) error { return a.shut(ctx, who) })
}

// changePerson changes somebody who works in the studio, which keeps an owner,
// and then ends what they come in by. One change at a time: two owners do not
// each rely on the other.
func (a *Account) changePerson(ctx context.Context, who practice.Who, person string, change func(*practice.Person, practice.Date), end func(practice.Who) error) error {
	a.peopleLock.Lock()
	defer a.peopleLock.Unlock()
	kept, today, err := a.working(ctx, who, person)
	if err != nil {
		return err
	}
	p := kept.Value
	change(&p, today)
	if kept.Value.Role == practice.Owner && (p.Role != practice.Owner || p.Left != nil) {
		if err := a.otherOwner(ctx, who, person, today); err != nil {
			return err
		}
	}
	if p == kept.Value {
		return nil
	}
	if _, err := a.Store.PutPerson(ctx, who, p, kept.Rev); err != nil {
		return err
	}
	return end(practice.Who{Studio: who.Studio, ID: p.ID, Role: p.Role})
}

// EndPerson signs every browser of somebody who works in the studio out. What
// they come in by stays theirs.
func (a *Account) EndPerson(ctx context.Context, who practice.Who, person string) error {
	if err := runs(who); err != nil {
		return err
	}
	kept, _, err := a.working(ctx, who, person)
	if err != nil {
		return err
	}
	return a.Store.RemoveSignIns(ctx, practice.Who{Studio: who.Studio, ID: person, Role: kept.Value.Role}, "")
}

// working is somebody who works in the studio today; who left is not found.
func (a *Account) working(ctx context.Context, who practice.Who, person string) (practice.Kept[practice.Person], practice.Date, error) {
	studio, err := a.studio(ctx, who.Studio)
	if err != nil {
		return practice.Kept[practice.Person]{}, 0, err
	}
	today := a.now(studio).Date()
	kept, err := a.person(ctx, who, person)
	if err == nil && !kept.Value.WorksOn(today) {
		err = practice.Fault{Code: practice.NotFound, Field: "person", Value: practice.Short(person)}
	}
	return kept, today, err
}
