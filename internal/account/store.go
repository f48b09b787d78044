package account

import (
	"context"

	"aplomb/internal/practice"
)

// People keeps who works in a studio, and knows its students and guardians. An
// unknown id is a not-found fault.
type People interface {
	Studios(ctx context.Context) ([]practice.Studio, error)
	Studio(ctx context.Context, who practice.Who) (practice.Kept[practice.Studio], error)
	// Begin keeps a new studio, its owner and the owner's password: all or none.
	Begin(ctx context.Context, who practice.Who, s practice.Studio, owner practice.Person, pw practice.Password) error
	People(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Person], error)
	Person(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Person], error)
	// PersonByEmail takes large and small letters alike.
	PersonByEmail(ctx context.Context, who practice.Who, address string) (practice.Kept[practice.Person], error)
	PutPerson(ctx context.Context, who practice.Who, p practice.Person, base int64) (int64, error)
	Student(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Student], error)
	Guardians(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Guardian], error)
}

// Proofs keeps what proves who somebody is. A password or passkey that is not
// there is a not-found fault.
type Proofs interface {
	Password(ctx context.Context, who practice.Who, person string) (practice.Password, error)
	PutPassword(ctx context.Context, who practice.Who, p practice.Password) error
	RemovePassword(ctx context.Context, who practice.Who, person string) error
	Passkeys(ctx context.Context, who practice.Who, person string) ([]practice.Passkey, error)
	Passkey(ctx context.Context, who practice.Who, id string) (practice.Passkey, error)
	PutPasskey(ctx context.Context, who practice.Who, k practice.Passkey) error
	RemovePasskey(ctx context.Context, who practice.Who, id string) error
}

// Doors keeps links, by the SHA-256 of their secret. A door that is not there
// is a not-found fault.
type Doors interface {
	Doors(ctx context.Context, who practice.Who) ([]practice.Door, error)
	DoorByHash(ctx context.Context, who practice.Who, hash string) (practice.Door, error)
	PutDoor(ctx context.Context, who practice.Who, d practice.Door) error
	// TakeDoor marks the door as used. With once it is not found for all but
	// the first who takes it.
	TakeDoor(ctx context.Context, who practice.Who, hash string, at practice.Instant, once bool) error
	// CloseDoors removes every door of the kind that is somebody's.
	CloseDoors(ctx context.Context, who practice.Who, kind practice.DoorFor, of string) error
}

// SignIns keeps the browsers that are signed in.
type SignIns interface {
	// SignIns are those of one person, student or guardian in one role.
	SignIns(ctx context.Context, who practice.Who) ([]practice.SignIn, error)
	SignInByToken(ctx context.Context, who practice.Who, token string) (practice.SignIn, error)
	// PutSignIn keeps a new one.
	PutSignIn(ctx context.Context, who practice.Who, s practice.SignIn) error
	// SeeSignIn writes down that one was seen, and RenewSignIn puts next beside
	// old; one that was ended meanwhile is a not-found fault and stays ended.
	SeeSignIn(ctx context.Context, who practice.Who, s practice.SignIn) error
	RenewSignIn(ctx context.Context, who practice.Who, old, next practice.SignIn) error
	RemoveSignIn(ctx context.Context, who practice.Who, id string) error
	// RemoveSignIns ends all of the person's, but for the one called except.
	RemoveSignIns(ctx context.Context, who practice.Who, except string) error
	// RemoveExpired ends what expired in the studio by then, links too.
	RemoveExpired(ctx context.Context, who practice.Who, by practice.Instant) error
}

// Store is all an account needs.
type Store interface {
	People
	Proofs
	Doors
	SignIns
}

// Ties decides what one person may do with one student.
type Ties interface {
	May(ctx context.Context, who practice.Who, do practice.Right, student string) error
}
