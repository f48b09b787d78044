package account

import (
	"context"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"io"
	"strings"

	"golang.org/x/crypto/argon2"
)

// Cost is what one Argon2id hash takes (RFC 9106, section 3.1).
type Cost struct {
	MemoryKiB uint32
	Passes    uint32
	Lanes     uint8
}

// DefaultCost is the second recommended option of RFC 9106, section 4: 64 MiB,
// 3 passes, 4 lanes, for machines that cannot give 2 GiB to one sign-in.
var DefaultCost = Cost{MemoryKiB: 64 << 10, Passes: 3, Lanes: 4}

const (
	saltBytes = 16 // RFC 9106, section 4
	tagBytes  = 32
	// most is the dearest hash that is worked out: one above it was not made here.
	mostKiB, mostPasses = 1 << 20, 64
)

// phc is a hash in the PHC string format, taken apart.
type phc struct {
	cost      Cost
	salt, tag []byte
}

func (h phc) String() string {
	e := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, h.cost.MemoryKiB, h.cost.Passes, h.cost.Lanes,
		e.EncodeToString(h.salt), e.EncodeToString(h.tag))
}

// parseHash reads what [phc.String] writes, and nothing else.
func parseHash(s string) (h phc, ok bool) {
	parts := strings.Split(s, "$")
	if len(parts) != 6 || parts[0] != "" || parts[1] != "argon2id" {
		return phc{}, false
	}
	n, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &h.cost.MemoryKiB, &h.cost.Passes, &h.cost.Lanes)
	if err != nil || n != 3 || h.cost.Passes < 1 || h.cost.Lanes < 1 || h.cost.MemoryKiB > mostKiB || h.cost.Passes > mostPasses {
		return phc{}, false
	}
	var err1, err2 error
	h.salt, err1 = base64.RawStdEncoding.DecodeString(parts[4])
	h.tag, err2 = base64.RawStdEncoding.DecodeString(parts[5])
	return h, err1 == nil && err2 == nil && len(h.tag) == tagBytes && h.String() == s
}

func (h phc) of(password string) []byte {
	return argon2.IDKey([]byte(password), h.salt, h.cost.Passes, h.cost.MemoryKiB, h.cost.Lanes, tagBytes)
}

// hash is a new hash of a password.
func (a *Account) hash(ctx context.Context, password string) (string, error) {
	h := phc{cost: a.Cost, salt: make([]byte, saltBytes)}
	if _, err := io.ReadFull(a.Random, h.salt); err != nil {
		return "", err
	}
	err := a.inTurn(ctx, func() { h.tag = h.of(password) })
	return h.String(), err
}

// matches says whether the password made the hash, and whether the hash is of
// another cost than today's. A hash that cannot be read, as that of an unknown
// person, takes as long as one that can and matches nothing.
func (a *Account) matches(ctx context.Context, hash, password string) (match, old bool, err error) {
	h, ok := parseHash(hash)
	if !ok {
		h = phc{cost: a.Cost, salt: make([]byte, saltBytes), tag: make([]byte, tagBytes)}
	}
	err = a.inTurn(ctx, func() { match = subtle.ConstantTimeCompare(h.of(password), h.tag) == 1 })
	return match && ok, h.cost != a.Cost, err
}

// inTurn runs f when one of the few turns is free: a hash takes much memory.
func (a *Account) inTurn(ctx context.Context, f func()) error {
	select {
	case a.hashing <- struct{}{}:
	case <-ctx.Done():
		return ErrBusy
	}
	defer func() { <-a.hashing }()
	f()
	return nil
}
