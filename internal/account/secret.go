package account

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"io"
	"strings"

	"aplomb/internal/practice"
)

const secretBytes = 32

// newSecret is 32 random bytes as base64url, and the hash that is kept of it.
func newSecret(random io.Reader) (secret, hash string, err error) {
	var raw [secretBytes]byte
	if _, err := io.ReadFull(random, raw[:]); err != nil {
		return "", "", err
	}
	secret = base64.RawURLEncoding.EncodeToString(raw[:])
	return secret, hashOf(secret), nil
}

// hashOf is the SHA-256 of a secret in hexadecimal. A secret has 256 bits of
// chance: one round is enough, and a database looks it up by the hash.
func hashOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// cookie joins the studio and the token: tokens are looked up in a studio.
func cookie(studio, token string) string { return studio + "." + token }

// opened takes a cookie apart.
func opened(cookie string) (studio, token string, ok bool) {
	studio, token, ok = strings.Cut(cookie, ".")
	raw, err := base64.RawURLEncoding.DecodeString(token)
	return studio, token, ok && practice.ValidID(studio) && err == nil && len(raw) == secretBytes
}
