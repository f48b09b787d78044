package practice

// Password is how a person's password is kept: never itself, only what proves
// it (PHC string format).
type Password struct {
	Person string
	Hash   string
	Since  Instant
}

// Passkey is a public key credential of a person, WebAuthn level 3, as the
// library that checks it writes it.
type Passkey struct {
	ID     string // credential id, base64url without padding
	Person string
	Name   string // what the person calls it
	Record []byte // JSON
	Since  Instant
	Used   *Instant
}

// DoorFor is what a link opens.
type DoorFor string

// Doors a link opens: the first owner, an invitation, a forgotten password, and
// a student's or a guardian's own pages.
const (
	OwnerDoor    DoorFor = "owner"
	InviteDoor   DoorFor = "invitation"
	StudentDoor  DoorFor = "student"
	GuardianDoor DoorFor = "guardian"
)

// Doors is the vocabulary of links.
var Doors = []DoorFor{OwnerDoor, InviteDoor, StudentDoor, GuardianDoor}

// Door is a link somebody comes in by. The secret in the link is not kept, only
// its SHA-256.
type Door struct {
	Hash    string // SHA-256 of the secret, in hexadecimal
	For     DoorFor
	Of      string // id of the person, student or guardian
	Made    Instant
	MadeBy  string
	Expires *Instant // nil: until it is renewed or revoked
	Used    *Instant // when it was first used
}

// SignIn is one browser that is signed in.
type SignIn struct {
	ID      string
	Who     Who
	Started Instant // when the person proved who they are
	Renewed Instant // when the token was last changed
	Seen    Instant
	Expires Instant
	Agent   string // what the browser calls itself, shortened
	Token   string // SHA-256 of the cookie's token, in hexadecimal
}
