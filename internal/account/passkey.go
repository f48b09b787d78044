package account

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"net/url"
	"strings"
	"sync"
	"time"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"

	"aplomb/internal/practice"
)

const (
	ceremonyFor   = 5 * time.Minute
	maxCeremonies = 1000
	maxPasskeys   = 20
	maxKeyName    = 60
)

// relyingParty is this site as WebAuthn level 3 names it.
func relyingParty(origin string) (*webauthn.WebAuthn, error) {
	u, err := url.Parse(origin)
	if err != nil || u.Hostname() == "" {
		return nil, fmt.Errorf("account: %q is not the address of a site", origin)
	}
	return webauthn.New(&webauthn.Config{
		RPID:          u.Hostname(),
		RPDisplayName: "aplomb",
		RPOrigins:     []string{strings.TrimSuffix(origin, "/")},
		AuthenticatorSelection: protocol.AuthenticatorSelection{
			ResidentKey:      protocol.ResidentKeyRequirementRequired,
			UserVerification: protocol.VerificationRequired,
		},
		AttestationPreference: protocol.PreferNoAttestation,
	})
}

// holder is a person as the passkey library asks after one.
type holder struct {
	studio string
	person practice.Person
	keys   []webauthn.Credential
}

// WebAuthnID is an opaque handle: the SHA-256 of studio and id.
func (h holder) WebAuthnID() []byte {
	sum := sha256.Sum256([]byte(h.studio + "/" + h.person.ID))
	return sum[:]
}

func (h holder) WebAuthnName() string                       { return h.person.Email }
func (h holder) WebAuthnDisplayName() string                { return h.person.Name }
func (h holder) WebAuthnCredentials() []webauthn.Credential { return h.keys }

func (a *Account) holder(ctx context.Context, studio string, p practice.Person) (holder, error) {
	h := holder{studio: studio, person: p}
	keys, err := a.Store.Passkeys(ctx, desk(studio), p.ID)
	if err != nil {
		return h, err
	}
	h.keys = make([]webauthn.Credential, len(keys))
	for i, k := range keys {
		if err := json.Unmarshal(k.Record, &h.keys[i]); err != nil {
			return h, fmt.Errorf("account: passkey %s: %w", k.ID, err)
		}
	}
	return h, nil
}

// ceremony is a question put to a browser, until it is answered.
type ceremony struct {
	studio, person string
	data           webauthn.SessionData
	until          time.Time
}

// ceremonies are few, short-lived and in memory: who asks a thousand questions
// loses the oldest.
type ceremonies struct {
	mu   sync.Mutex
	open map[string]ceremony
}

func (c *ceremonies) put(key string, one ceremony, now time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	maps.DeleteFunc(c.open, func(_ string, o ceremony) bool { return now.After(o.until) })
	if len(c.open) >= maxCeremonies {
		var oldest string
		for k, o := range c.open {
			if oldest == "" || o.until.Before(c.open[oldest].until) {
				oldest = k
			}
		}
		delete(c.open, oldest)
	}
	c.open[key] = one
}

// take gives a question out once.
func (c *ceremonies) take(key string, now time.Time) (ceremony, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	one, ok := c.open[key]
	delete(c.open, key)
	return one, ok && now.Before(one.until)
}

// Question is what a browser's authenticator is asked, and the name under
// which the answer is awaited.
type Question struct {
	Key     string `json:"key"`
	Options any    `json:"options"`
}

func (a *Account) ask(studio, person string, options any, data *webauthn.SessionData) (Question, error) {
	key, _, err := newSecret(a.Random)
	if err != nil {
		return Question{}, err
	}
	a.ceremony.put(key, ceremony{studio, person, *data, a.Now().Add(ceremonyFor)}, a.Now())
	return Question{key, options}, nil
}

// AskNewPasskey begins the making of a passkey by somebody who came in just now.
func (a *Account) AskNewPasskey(ctx context.Context, in Signed) (Question, error) {
	if !in.Staff() {
		return Question{}, practice.Refused(practice.RunStudio)
	}
	if !a.fresh(in) {
		return Question{}, ErrStale
	}
	h, err := a.holder(ctx, in.Who.Studio, in.Person)
	if err != nil {
		return Question{}, err
	}
	if len(h.keys) >= maxPasskeys {
		return Question{}, practice.Fault{Code: practice.OutOfRange, Field: "passkey", Want: "20 passkeys at most"}
	}
	options, data, err := a.passkeys.BeginRegistration(h, webauthn.WithExclusions(webauthn.Credentials(h.keys).CredentialDescriptors()))
	if err != nil {
		return Question{}, err
	}
	return a.ask(in.Who.Studio, in.Who.ID, options.Response, data)
}

// KeepPasskey ends it: answer is the browser's PublicKeyCredential as JSON.
func (a *Account) KeepPasskey(ctx context.Context, in Signed, key, name string, answer []byte) error {
	c, ok := a.ceremony.take(key, a.Now())
	if !ok || c.studio != in.Who.Studio || c.person != in.Who.ID {
		return ErrPasskey
	}
	h, err := a.holder(ctx, in.Who.Studio, in.Person)
	if err != nil {
		return err
	}
	parsed, err := protocol.ParseCredentialCreationResponseBytes(answer)
	if err != nil {
		return errors.Join(ErrPasskey, err)
	}
	credential, err := a.passkeys.CreateCredential(h, c.data, parsed)
	if err != nil {
		return errors.Join(ErrPasskey, err)
	}
	now := a.now(in.Studio)
	k := practice.Passkey{Person: in.Who.ID, Name: keyName(name, now), Since: now}
	return a.putPasskey(ctx, in.Who, k, credential)
}

func (a *Account) putPasskey(ctx context.Context, who practice.Who, k practice.Passkey, c *webauthn.Credential) (err error) {
	k.ID = base64.RawURLEncoding.EncodeToString(c.ID)
	if k.Record, err = json.Marshal(c); err != nil {
		return err
	}
	return a.Store.PutPasskey(ctx, who, k)
}

// keyName is what a person calls a passkey: the day it was made, if nothing.
func keyName(name string, made practice.Instant) string {
	name = strings.TrimSpace(name)
	if name == "" {
		return made.Date().String()
	}
	if r := []rune(name); len(r) > maxKeyName {
		name = string(r[:maxKeyName])
	}
	return name
}

// AskPasskey begins a sign-in by whichever passkey the browser has.
func (a *Account) AskPasskey(ctx context.Context, studio string) (Question, error) {
	if _, err := a.studio(ctx, studio); err != nil {
		if missing(err) {
			return Question{}, ErrPasskey
		}
		return Question{}, err
	}
	options, data, err := a.passkeys.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return Question{}, err
	}
	return a.ask(studio, "", options.Response, data)
}

// SignInByPasskey ends it: answer is the browser's PublicKeyCredential as JSON.
func (a *Account) SignInByPasskey(ctx context.Context, key string, answer []byte, agent string) (Ticket, error) {
	c, ok := a.ceremony.take(key, a.Now())
	if !ok || c.person != "" {
		return Ticket{}, ErrPasskey
	}
	parsed, err := protocol.ParseCredentialRequestResponseBytes(answer)
	if err != nil {
		return Ticket{}, errors.Join(ErrPasskey, err)
	}
	s, err := a.studio(ctx, c.studio)
	if err != nil {
		return Ticket{}, err
	}
	var kept practice.Passkey
	var who holder
	credential, err := a.passkeys.ValidateDiscoverableLogin(func(id, _ []byte) (webauthn.User, error) {
		kept, who, err = a.keyHolder(ctx, s, id)
		return who, err
	}, c.data, parsed)
	if err != nil {
		return Ticket{}, errors.Join(ErrPasskey, err)
	}
	if credential.Authenticator.CloneWarning {
		return Ticket{}, ErrPasskey
	}
	in := practice.Who{Studio: s.ID, ID: who.person.ID, Role: who.person.Role}
	used := a.now(s)
	kept.Used = &used
	if err := a.putPasskey(ctx, in, kept, credential); err != nil {
		return Ticket{}, err
	}
	return a.begin(ctx, s, in, agent)
}

// keyHolder is the person who has the passkey with this credential id. The
// library compares the handle the browser sent with the person's own.
func (a *Account) keyHolder(ctx context.Context, s practice.Studio, id []byte) (practice.Passkey, holder, error) {
	kept, err := a.Store.Passkey(ctx, desk(s.ID), base64.RawURLEncoding.EncodeToString(id))
	if err != nil {
		return kept, holder{}, err
	}
	p, err := a.person(ctx, desk(s.ID), kept.Person)
	if err == nil && !p.Value.WorksOn(a.now(s).Date()) {
		err = ErrPasskey
	}
	if err != nil {
		return kept, holder{}, err
	}
	h, err := a.holder(ctx, s.ID, p.Value)
	return kept, h, err
}

// Passkeys are the person's own.
func (a *Account) Passkeys(ctx context.Context, in Signed) ([]practice.Passkey, error) {
	return a.Store.Passkeys(ctx, in.Who, in.Who.ID)
}

// NamePasskey calls one of the person's passkeys something else.
func (a *Account) NamePasskey(ctx context.Context, in Signed, id, name string) error {
	k, err := a.ownPasskey(ctx, in, id)
	if err != nil {
		return err
	}
	k.Name = keyName(name, k.Since)
	return a.Store.PutPasskey(ctx, in.Who, k)
}

// RemovePasskey takes one of the person's passkeys away. A password is always
// there: nobody comes in the first time without setting one.
func (a *Account) RemovePasskey(ctx context.Context, in Signed, id string) error {
	if !a.fresh(in) {
		return ErrStale
	}
	if _, err := a.ownPasskey(ctx, in, id); err != nil {
		return err
	}
	return a.Store.RemovePasskey(ctx, in.Who, id)
}

func (a *Account) ownPasskey(ctx context.Context, in Signed, id string) (practice.Passkey, error) {
	k, err := a.Store.Passkey(ctx, in.Who, id)
	if err == nil && k.Person != in.Who.ID {
		err = practice.Fault{Code: practice.NotFound, Field: "passkey", Value: practice.Short(id)}
	}
	return k, err
}
