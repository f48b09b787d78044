// Package account is who may come in: passwords, passkeys, links, invitations
// and the browsers that are signed in.
//
// Secrets are never kept: of a password its Argon2id hash, of a link or a
// cookie the SHA-256 of 32 random bytes. What a person may do once inside is
// decided by [practice.Role.May].
package account

import (
	"context"
	"errors"
	"io"
	"sync"
	"time"

	"github.com/go-webauthn/webauthn/webauthn"

	"aplomb/internal/practice"
)

// What a door says to who may not come in. None says which half was wrong.
var (
	ErrNotMatched = errors.New("account: email and password do not go together")
	ErrSignedOut  = errors.New("account: nobody is signed in")
	ErrLink       = errors.New("account: the link is spent, expired, revoked or was never made")
	ErrStale      = errors.New("account: too long since the person last proved who they are")
	ErrBusy       = errors.New("account: too many passwords are being checked at once")
	ErrPasskey    = errors.New("account: the passkey was not accepted")
	ErrLastOwner  = errors.New("account: a studio needs an owner")
)

// How long things last.
const (
	InviteFor = 7 * 24 * time.Hour
	OwnerFor  = 24 * time.Hour
	// FreshFor is how long after proving who one is passwords and passkeys may
	// be changed.
	FreshFor   = 15 * time.Minute
	renewAfter = 24 * time.Hour // a cookie's token is changed
	grace      = time.Minute    // the token before it still opens, for pages asked for at the same time
	seenEvery  = time.Minute    // how often being seen is written down
	// skew is how far a machine's clock may be set back before what was seen
	// later than now is refused.
	skew = 5 * time.Minute
)

// Lasting is how long a browser stays signed in: since it was last seen, and
// since the person proved who they are.
type Lasting struct{ Idle, Whole time.Duration }

// LastsFor is the time of a role. Staff prove themselves every 30 days at
// least, the limit of NIST SP 800-63B-4, section 2.1.3, for its first level;
// the three days without a visit are ours. Those who come by a link of their
// own see one student's data alone.
func LastsFor(role practice.Role) Lasting {
	if role == practice.AsStudent || role == practice.AsGuardian {
		return Lasting{Idle: 60 * 24 * time.Hour, Whole: 180 * 24 * time.Hour}
	}
	return Lasting{Idle: 3 * 24 * time.Hour, Whole: 30 * 24 * time.Hour}
}

// Parts is what an account is made of.
type Parts struct {
	Store  Store
	Ties   Ties
	Now    func() time.Time
	NewID  func() string
	Random io.Reader // unguessable
	Cost   Cost      // of a password hash
	Hashes int       // how many may be worked out at once; each takes Cost.MemoryKiB
	URL    string    // the public origin, such as https://desk.millgate.example
}

// Account is the doors of the studios of one store.
type Account struct {
	Parts
	hashing    chan struct{}
	passkeys   *webauthn.WebAuthn
	ceremony   ceremonies
	firstLock  sync.Mutex
	first      *practice.Door // of a store without a studio
	peopleLock sync.Mutex     // one change of roles at a time
}

// New is an account over a store. It fails where the URL cannot carry passkeys.
func New(p Parts) (*Account, error) {
	passkeys, err := relyingParty(p.URL)
	if err != nil {
		return nil, err
	}
	return &Account{Parts: p, hashing: make(chan struct{}, max(p.Hashes, 1)), passkeys: passkeys,
		ceremony: ceremonies{open: map[string]ceremony{}}}, nil
}

// now is the time in the studio's zone.
func (a *Account) now(s practice.Studio) practice.Instant { return s.Zone.At(a.Now()) }

// desk is the program itself in a studio: it looks up who is at the door
// before anybody is known.
func desk(studio string) practice.Who {
	return practice.Who{Studio: studio, ID: string(practice.AtTheDesk), Role: practice.AtTheDesk}
}

func (a *Account) studio(ctx context.Context, id string) (practice.Studio, error) {
	if !practice.ValidID(id) {
		return practice.Studio{}, practice.Fault{Code: practice.NotFound, Field: "studio", Value: practice.Short(id)}
	}
	kept, err := a.Store.Studio(ctx, desk(id))
	return kept.Value, err
}

// missing says whether the error is that nothing of the name is kept.
func missing(err error) bool { return practice.HasCode(err, practice.NotFound) }
