package account

import (
	"context"
	"slices"
	"strings"
	"time"
	"unicode"

	"aplomb/internal/practice"
)

// Ticket is what a browser is given when it comes in.
type Ticket struct {
	Cookie  string
	Expires time.Time
	Who     practice.Who
}

// Signed is who is behind a browser.
type Signed struct {
	Who    practice.Who
	Name   string
	Person practice.Person // of staff; empty for those who came by a link of their own
	Studio practice.Studio
	SignIn practice.SignIn
	Renew  *Ticket // a new cookie for the browser, now and then
}

// Staff says whether the person works in the studio.
func (in Signed) Staff() bool { return slices.Contains(practice.StaffRoles, in.Who.Role) }

// SignIn lets a person in by password. An unknown address takes as long as a
// known one, and is told the same.
func (a *Account) SignIn(ctx context.Context, studio, email, password, agent string) (Ticket, error) {
	s, person, kept, err := a.claimed(ctx, studio, email)
	if err != nil {
		return Ticket{}, err
	}
	if len(password) > 4*MaxPassword {
		password = ""
	}
	match, old, err := a.matches(ctx, kept.Hash, password)
	if err != nil {
		return Ticket{}, err
	}
	if !match || !person.WorksOn(a.now(s).Date()) {
		return Ticket{}, ErrNotMatched
	}
	who := practice.Who{Studio: s.ID, ID: person.ID, Role: person.Role}
	if old {
		if err := a.putPassword(ctx, who, s, password); err != nil {
			return Ticket{}, err
		}
	}
	return a.begin(ctx, s, who, agent)
}

// claimed is the studio, the person and the password the address is for; all
// of them empty where there is no such thing.
func (a *Account) claimed(ctx context.Context, studio, email string) (s practice.Studio, p practice.Person, pw practice.Password, err error) {
	s, err = a.studio(ctx, studio)
	if err == nil {
		var kept practice.Kept[practice.Person]
		kept, err = a.byEmail(ctx, desk(s.ID), email)
		p = kept.Value
	}
	if err == nil {
		pw, err = a.Store.Password(ctx, desk(s.ID), p.ID)
	}
	if missing(err) {
		err = nil
	}
	return s, p, pw, err
}

// maxAgent is the most that is kept of what a browser calls itself, in bytes.
const maxAgent = 200

// begin signs a browser in; what has expired in the studio goes.
func (a *Account) begin(ctx context.Context, s practice.Studio, who practice.Who, agent string) (Ticket, error) {
	now := a.now(s)
	if err := a.Store.RemoveExpired(ctx, who, now); err != nil {
		return Ticket{}, err
	}
	in := practice.SignIn{ID: a.NewID(), Who: who, Started: now, Renewed: now, Agent: short(agent)}
	seen(&in, s, now)
	return a.issue(in, func(in practice.SignIn) error { return a.Store.PutSignIn(ctx, in.Who, in) })
}

// whole is when a sign-in ends however often it is seen.
func whole(in practice.SignIn) time.Time { return in.Started.Time().Add(LastsFor(in.Who.Role).Whole) }

// seen has the sign-in seen now: it expires when it has not been seen for too
// long, or has lasted its time.
func seen(in *practice.SignIn, s practice.Studio, now practice.Instant) {
	expires := now.Time().Add(LastsFor(in.Who.Role).Idle)
	if last := whole(*in); last.Before(expires) {
		expires = last
	}
	in.Seen, in.Expires = now, s.Zone.At(expires)
}

// holds says whether a sign-in is good now. One that was seen later than now is
// not: the clock was set back, and how long it lasted is not known any more.
func holds(in practice.SignIn, now time.Time) bool {
	return now.Before(in.Expires.Time()) && !now.Before(in.Seen.Time().Add(-skew))
}

// RemoveExpired ends for good, in every studio, what expired by now, so that
// no clock set back later brings it back.
func (a *Account) RemoveExpired(ctx context.Context) error {
	studios, err := a.Store.Studios(ctx)
	if err != nil {
		return err
	}
	for _, s := range studios {
		if err := a.Store.RemoveExpired(ctx, desk(s.ID), a.now(s)); err != nil {
			return err
		}
	}
	return nil
}

// short is what a browser calls itself on one line, of 200 bytes at most.
func short(agent string) string {
	if len(agent) > maxAgent {
		agent = agent[:maxAgent]
	}
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(agent, ""))
}

// issue has the sign-in kept under a new token.
func (a *Account) issue(in practice.SignIn, keep func(practice.SignIn) error) (Ticket, error) {
	token, hash, err := newSecret(a.Random)
	if err != nil {
		return Ticket{}, err
	}
	in.Token = hash
	if err := keep(in); err != nil {
		return Ticket{}, err
	}
	return Ticket{Cookie: cookie(in.Who.Studio, token), Expires: whole(in), Who: in.Who}, nil
}

// Who is who is behind a cookie; [ErrSignedOut] where nobody is, any more.
func (a *Account) Who(ctx context.Context, cookie string) (Signed, error) {
	id, token, ok := opened(cookie)
	if !ok {
		return Signed{}, ErrSignedOut
	}
	studio, err := a.studio(ctx, id)
	if err != nil {
		return Signed{}, signedOut(err)
	}
	kept, err := a.Store.SignInByToken(ctx, desk(id), hashOf(token))
	if err != nil {
		return Signed{}, signedOut(err)
	}
	in := Signed{Who: kept.Who, Studio: studio, SignIn: kept}
	now := a.now(studio)
	if !holds(kept, now.Time()) {
		return Signed{}, ErrSignedOut
	}
	if err := a.name(ctx, &in, now.Date()); err != nil {
		return Signed{}, signedOut(err)
	}
	return in, a.visited(ctx, &in, now)
}

func signedOut(err error) error {
	if missing(err) {
		return ErrSignedOut
	}
	return err
}

// name looks up who is behind a sign-in: who left, was forgotten or has no
// student under age any more is nobody.
func (a *Account) name(ctx context.Context, in *Signed, today practice.Date) error {
	switch in.Who.Role {
	case practice.AsStudent:
		kept, err := a.Store.Student(ctx, in.Who, in.Who.ID)
		in.Name = kept.Value.Name
		return err
	case practice.AsGuardian:
		g, err := a.guardian(ctx, in.Who, in.Who.ID)
		in.Name = g.Name
		return err
	}
	kept, err := a.person(ctx, in.Who, in.Who.ID)
	if err == nil && !kept.Value.WorksOn(today) {
		return ErrSignedOut
	}
	in.Person, in.Name, in.Who.Role = kept.Value, kept.Value.Name, kept.Value.Role
	return err
}

// visited writes down that the browser was seen, and changes its token once a
// day. The old token opens for a minute more.
func (a *Account) visited(ctx context.Context, in *Signed, now practice.Instant) error {
	leaving := in.SignIn.Expires.Time().Sub(now.Time()) <= grace
	switch {
	case leaving:
	case now.Time().Sub(in.SignIn.Renewed.Time()) >= renewAfter:
		next := in.SignIn
		next.ID, next.Renewed = a.NewID(), now
		seen(&next, in.Studio, now)
		old := in.SignIn
		old.Expires = in.Studio.Zone.At(now.Time().Add(grace))
		ticket, err := a.issue(next, func(next practice.SignIn) error {
			in.SignIn = next
			return a.Store.RenewSignIn(ctx, in.Who, old, next)
		})
		if err != nil {
			return signedOut(err)
		}
		in.Renew = &ticket
	case now.Time().Sub(in.SignIn.Seen.Time()) >= seenEvery:
		seen(&in.SignIn, in.Studio, now)
		return signedOut(a.Store.SeeSignIn(ctx, in.Who, in.SignIn))
	}
	return nil
}

// fresh says whether the person proved who they are just now.
func (a *Account) fresh(in Signed) bool { return a.Now().Sub(in.SignIn.Started.Time()) <= FreshFor }

// Fresh is [ErrStale] where it is too long since the person proved who they are.
func (a *Account) Fresh(in Signed) error {
	if !a.fresh(in) {
		return ErrStale
	}
	return nil
}

// SignOut ends this browser's sign-in.
func (a *Account) SignOut(ctx context.Context, in Signed) error {
	return a.Store.RemoveSignIn(ctx, in.Who, in.SignIn.ID)
}

// SignIns are the browsers the person is signed in with, the last seen first.
// One whose token was just changed counts once.
func (a *Account) SignIns(ctx context.Context, in Signed) ([]practice.SignIn, error) {
	all, err := a.Store.SignIns(ctx, in.Who)
	if err != nil {
		return nil, err
	}
	now := a.Now()
	all = slices.DeleteFunc(all, func(s practice.SignIn) bool {
		return s.Expires.Time().Sub(now) <= grace || !holds(s, now)
	})
	slices.SortFunc(all, func(x, y practice.SignIn) int { return y.Seen.Time().Compare(x.Seen.Time()) })
	return all, nil
}

// End signs one of the person's own browsers out.
func (a *Account) End(ctx context.Context, in Signed, id string) error {
	mine, err := a.Store.SignIns(ctx, in.Who)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(mine, func(s practice.SignIn) bool { return s.ID == id }) {
		return practice.Fault{Code: practice.NotFound, Field: "sign-in", Value: practice.Short(id)}
	}
	return a.Store.RemoveSignIn(ctx, in.Who, id)
}

// EndOthers signs every other browser of the person out.
func (a *Account) EndOthers(ctx context.Context, in Signed) error {
	return a.Store.RemoveSignIns(ctx, in.Who, in.SignIn.ID)
}
