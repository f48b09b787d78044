package account

import (
	"context"
	"slices"

	"aplomb/internal/practice"
)

// Ways is how a student or a guardian comes in: the link there is, if any.
type Ways struct {
	For  practice.DoorFor
	Of   string
	Name string
	Door *practice.Door
}

// WaysIn are the links of a student and of those who answer for the student,
// for who coaches the student.
func (a *Account) WaysIn(ctx context.Context, who practice.Who, student string) ([]Ways, error) {
	if err := a.Ties.May(ctx, who, practice.CoachStudent, student); err != nil {
		return nil, err
	}
	kept, err := a.Store.Student(ctx, who, student)
	if err != nil {
		return nil, err
	}
	guardians, err := a.Store.Guardians(ctx, who)
	if err != nil {
		return nil, err
	}
	doors, err := a.Store.Doors(ctx, who)
	if err != nil {
		return nil, err
	}
	ways := []Ways{{For: practice.StudentDoor, Of: student, Name: kept.Value.Name}}
	for _, g := range guardians {
		if slices.Contains(g.Value.Students, student) {
			ways = append(ways, Ways{For: practice.GuardianDoor, Of: g.Value.ID, Name: g.Value.Name})
		}
	}
	for i := range ways {
		ways[i].Door = doorTo(doors, ways[i].For, ways[i].Of)
	}
	return ways, nil
}

func doorTo(doors []practice.Door, kind practice.DoorFor, of string) *practice.Door {
	for i, d := range doors {
		if d.For == kind && d.Of == of {
			return &doors[i]
		}
	}
	return nil
}

// mayLink refuses who may not hand out or take back the link: it takes the
// right to coach the student, for a guardian that to coach all they answer for.
func (a *Account) mayLink(ctx context.Context, who practice.Who, kind practice.DoorFor, of string) error {
	if kind == practice.StudentDoor {
		return a.Ties.May(ctx, who, practice.CoachStudent, of)
	}
	if !slices.Contains(practice.StaffRoles, who.Role) {
		return practice.Refused(practice.CoachStudent)
	}
	g, err := a.guardian(ctx, who, of)
	if err != nil {
		return err
	}
	for _, student := range g.Students {
		if err := a.Ties.May(ctx, who, practice.CoachStudent, student); err != nil {
			return err
		}
	}
	return nil
}

func (a *Account) guardian(ctx context.Context, who practice.Who, id string) (practice.Guardian, error) {
	all, err := a.Store.Guardians(ctx, who)
	if err != nil {
		return practice.Guardian{}, err
	}
	for _, g := range all {
		if g.Value.ID == id {
			return g.Value, nil
		}
	}
	return practice.Guardian{}, practice.Fault{Code: practice.NotFound, Field: "guardian", Value: practice.Short(id)}
}

// inside is the student or guardian behind a link.
func inside(studio string, kind practice.DoorFor, of string) practice.Who {
	role := practice.AsStudent
	if kind == practice.GuardianDoor {
		role = practice.AsGuardian
	}
	return practice.Who{Studio: studio, ID: of, Role: role}
}

// OwnLink makes the link of a student or a guardian; the one before it, and
// every browser that came in by it, is out.
func (a *Account) OwnLink(ctx context.Context, who practice.Who, kind practice.DoorFor, of string) (Link, error) {
	if err := a.mayLink(ctx, who, kind, of); err != nil {
		return Link{}, err
	}
	link, err := a.makeLink(ctx, who, kind, of, 0)
	if err != nil {
		return Link{}, err
	}
	return link, a.Store.RemoveSignIns(ctx, inside(who.Studio, kind, of), "")
}

// Revoke takes the link of a student or a guardian back, with every browser
// that came in by it.
func (a *Account) Revoke(ctx context.Context, who practice.Who, kind practice.DoorFor, of string) error {
	if err := a.mayLink(ctx, who, kind, of); err != nil {
		return err
	}
	if err := a.Store.CloseDoors(ctx, who, kind, of); err != nil {
		return err
	}
	return a.Store.RemoveSignIns(ctx, inside(who.Studio, kind, of), "")
}

// Enter lets a student or a guardian in by their own link.
func (a *Account) Enter(ctx context.Context, studio, secret, agent string) (Ticket, error) {
	o, err := a.Look(ctx, studio, secret)
	if err != nil {
		return Ticket{}, err
	}
	if once(o.For) {
		return Ticket{}, ErrLink
	}
	who := inside(studio, o.For, o.Person.ID)
	if err := a.Store.TakeDoor(ctx, who, o.hash, a.now(o.Studio), false); err != nil {
		return Ticket{}, noLink(err)
	}
	return a.begin(ctx, o.Studio, who, agent)
}
