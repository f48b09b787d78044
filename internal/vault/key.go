// Package vault keeps the key of a studio outside its database, seals health
// notes with it, and writes, reads and checks encrypted backups.
package vault

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"filippo.io/age"

	"aplomb/internal/practice"
)

// Key opens what is private of a studio, and seals it so that both the key and
// the studio's recovery key can open it. It does not change and may be used by
// many at once. However it is printed, it shows nothing of itself.
type Key struct {
	own      *age.X25519Identity  // nil: this key opens and does not seal
	recovery *age.X25519Recipient // nil with own
	old      []*age.X25519Identity
}

// New makes a key, and the secret of its recovery key. The secret is kept
// nowhere: whoever makes the key writes it down.
func New() (key *Key, recovery string, err error) {
	own, err := age.GenerateX25519Identity()
	if err != nil {
		return nil, "", err
	}
	spare, err := age.GenerateX25519Identity()
	if err != nil {
		return nil, "", err
	}
	return &Key{own: own, recovery: spare.Recipient()}, spare.String(), nil
}

// Recovery is the key of a recovery secret, as it was printed or typed from
// paper: spaces and case do not matter. It opens and does not seal; [Key.Rotate]
// makes one of it that seals.
func Recovery(secret string) (*Key, error) {
	id, err := age.ParseX25519Identity(strings.ToUpper(strings.Join(strings.Fields(secret), "")))
	if err != nil {
		return nil, practice.Fault{Code: practice.BadKey, Want: "one line that begins with " + secretPrefix,
			Err: errors.New("vault: not an identity")}
	}
	return &Key{old: []*age.X25519Identity{id}}, nil
}

// Rotate makes a new key and a new recovery key. The new key also opens what
// was sealed for k.
func (k *Key) Rotate() (next *Key, recovery string, err error) {
	if next, recovery, err = New(); err != nil {
		return nil, "", err
	}
	next.old = k.identities()
	return next, recovery, nil
}

// Seals says whether the key can seal; a recovery key cannot.
func (k *Key) Seals() bool { return k.own != nil }

// Format prints nothing of the key, whatever the verb.
func (k *Key) Format(s fmt.State, _ rune) { io.WriteString(s, "vault.Key") }

// identities opens what the key opens, the newest first.
func (k *Key) identities() []*age.X25519Identity {
	if k.own == nil {
		return k.old
	}
	return append([]*age.X25519Identity{k.own}, k.old...)
}

// encrypt writes an age file that the key and its recovery key open. Its
// recipients stand nowhere but in the key file.
func (k *Key) encrypt(w io.Writer) (io.WriteCloser, error) {
	if k.own == nil {
		return nil, practice.Fault{Code: practice.NoKey,
			Want: "A recovery key opens and does not seal: make a new key of it with `aplomb key rotate`"}
	}
	return age.Encrypt(w, k.own.Recipient(), k.recovery)
}

// decrypt reads an age file with any of the identities.
func decrypt(r io.Reader, ids []*age.X25519Identity) (io.Reader, error) {
	all := make([]age.Identity, len(ids))
	for i, id := range ids {
		all[i] = id
	}
	return age.Decrypt(r, all...)
}
