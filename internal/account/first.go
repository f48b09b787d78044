package account

import (
	"context"
	"crypto/subtle"
	"strings"

	"aplomb/internal/practice"
)

// Setup is what the first owner types.
type Setup struct {
	Entry
	Studio string // its name
	Zone   string // IANA name
}

// FirstLink makes the link by which the first owner comes in; ok is false
// where the store has a studio already. Nothing of it is stored: it holds in
// this process, for 24 hours, until it is used.
func (a *Account) FirstLink(ctx context.Context) (link Link, ok bool, err error) {
	studios, err := a.Store.Studios(ctx)
	if err != nil || len(studios) > 0 {
		return Link{}, false, err
	}
	secret, hash, err := newSecret(a.Random)
	if err != nil {
		return Link{}, false, err
	}
	made, at := practice.Zone{}.At(a.Now()), practice.Zone{}.At(a.Now().Add(OwnerFor))
	a.firstLock.Lock()
	defer a.firstLock.Unlock()
	a.first = &practice.Door{Hash: hash, For: practice.OwnerDoor, Made: made, Expires: &at}
	return Link{Path: "/begin/" + secret, Expires: &at}, true, nil
}

// LookFirst is [ErrLink] where the secret is not that of the first link.
func (a *Account) LookFirst(secret string) error {
	a.firstLock.Lock()
	defer a.firstLock.Unlock()
	if !a.isFirst(secret) {
		return ErrLink
	}
	return nil
}

func (a *Account) isFirst(secret string) bool {
	return a.first != nil && a.opens(*a.first, true) && subtle.ConstantTimeCompare([]byte(hashOf(secret)), []byte(a.first.Hash)) == 1
}

// SetUp makes the studio and its owner, and signs the owner in.
func (a *Account) SetUp(ctx context.Context, secret string, e Setup, agent string) (Ticket, error) {
	a.firstLock.Lock()
	defer a.firstLock.Unlock()
	if !a.isFirst(secret) {
		return Ticket{}, ErrLink
	}
	s, p, fs := a.firstNouns(e)
	if len(fs) > 0 {
		return Ticket{}, practice.Faults(fs)
	}
	studios, err := a.Store.Studios(ctx)
	if err != nil {
		return Ticket{}, err
	}
	if len(studios) > 0 {
		return Ticket{}, ErrLink
	}
	who := practice.Who{Studio: s.ID, ID: p.ID, Role: p.Role}
	pw, err := a.newPassword(ctx, who, s, e.Password)
	if err != nil {
		return Ticket{}, err
	}
	if err := a.Store.Begin(ctx, who, s, p, pw); err != nil {
		return Ticket{}, err
	}
	a.first = nil
	return a.begin(ctx, s, who, agent)
}

// firstNouns are the studio and the owner, and what is wrong with them.
func (a *Account) firstNouns(e Setup) (practice.Studio, practice.Person, []practice.Fault) {
	zone, err := practice.ParseZone(strings.TrimSpace(e.Zone))
	var fs []practice.Fault
	if err != nil {
		fs = append(fs, practice.FieldFault("time_zone", e.Zone, practice.BadZone, err))
	}
	s := practice.Studio{Format: 2, ID: idFrom(e.Studio), Name: strings.TrimSpace(e.Studio), Zone: zone}
	p := practice.Person{ID: a.NewID(), Name: strings.TrimSpace(e.Name), Email: strings.TrimSpace(e.Email), Role: practice.Owner, Since: a.now(s).Date()}
	for _, f := range s.Check() {
		if f.Field == "name" {
			f.Field = "studio"
		}
		fs = append(fs, f)
	}
	fs = append(fs, checkEntry(p)...)
	return s, p, append(fs, checkPassword(e.Password, p.Email)...)
}

// idFrom is a short name for addresses made from a name: Millgate Hall is
// millgate-hall.
func idFrom(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() == 40 {
			break
		}
	}
	if id := strings.Trim(b.String(), "-"); id != "" {
		return id
	}
	return "studio"
}
