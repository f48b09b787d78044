package store

import (
	"context"

	"aplomb/internal/practice"
)

const signInColumns = `id, who, role, started_ns, started_off, renewed_ns, renewed_off, seen_ns, seen_off, expires_ns, expires_off, agent, token`

// ofWho is whose sign-ins: a person of the studio has them whatever role they
// were given since, a student or guardian of the same id is somebody else.
const ofWho = `studio = $1 AND who = $3 AND (role = $2 OR role NOT IN ('student', 'guardian') AND $2 NOT IN ('student', 'guardian'))`

func scanSignIn(studio string) func(func(...any) error) (practice.SignIn, error) {
	return func(scan func(...any) error) (v practice.SignIn, err error) {
		v.Who.Studio = studio
		err = scan(&v.ID, &v.Who.ID, &v.Who.Role, &v.Started.UnixNano, &v.Started.Offset, &v.Renewed.UnixNano, &v.Renewed.Offset,
			&v.Seen.UnixNano, &v.Seen.Offset, &v.Expires.UnixNano, &v.Expires.Offset, &v.Agent, &v.Token)
		return v, err
	}
}

// SignIns is where who is signed in, the latest first.
func (s *Store) SignIns(ctx context.Context, who practice.Who) ([]practice.SignIn, error) {
	return several(ctx, s, who, scanSignIn(who.Studio),
		"SELECT "+signInColumns+" FROM sign_ins WHERE "+ofWho+" ORDER BY seen_ns DESC, id", who.Studio, string(who.Role), who.ID)
}

// SignInByToken is the sign-in whose token has this SHA-256.
func (s *Store) SignInByToken(ctx context.Context, who practice.Who, token string) (practice.SignIn, error) {
	return single(ctx, s, who, "sign-in", scanSignIn(who.Studio),
		"SELECT "+signInColumns+" FROM sign_ins WHERE studio = $1 AND token = $2", who.Studio, token)
}

// PutSignIn keeps a sign-in, a new one or one that was seen again or has a new
// token. Who it is of never changes.
func (s *Store) PutSignIn(ctx context.Context, who practice.Who, v practice.SignIn) error {
	return s.exec(ctx, who, "INSERT INTO sign_ins (studio, "+signInColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)
		ON CONFLICT (studio, id) DO UPDATE SET started_ns = excluded.started_ns, started_off = excluded.started_off,
			renewed_ns = excluded.renewed_ns, renewed_off = excluded.renewed_off, seen_ns = excluded.seen_ns, seen_off = excluded.seen_off,
			expires_ns = excluded.expires_ns, expires_off = excluded.expires_off, agent = excluded.agent, token = excluded.token`,
		who.Studio, v.ID, v.Who.ID, string(v.Who.Role), v.Started.UnixNano, v.Started.Offset, v.Renewed.UnixNano, v.Renewed.Offset,
		v.Seen.UnixNano, v.Seen.Offset, v.Expires.UnixNano, v.Expires.Offset, v.Agent, v.Token)
}

// RemoveSignIn ends one of who's sign-ins, where it is there.
func (s *Store) RemoveSignIn(ctx context.Context, who practice.Who, id string) error {
	return s.exec(ctx, who, "DELETE FROM sign_ins WHERE "+ofWho+" AND id = $4",
		who.Studio, string(who.Role), who.ID, id)
}

// RemoveSignIns ends all of who's sign-ins but the one called except.
func (s *Store) RemoveSignIns(ctx context.Context, who practice.Who, except string) error {
	return s.exec(ctx, who, "DELETE FROM sign_ins WHERE "+ofWho+" AND id <> $4",
		who.Studio, string(who.Role), who.ID, except)
}

// RemoveExpired ends the sign-ins of the studio that expired by then.
func (s *Store) RemoveExpired(ctx context.Context, who practice.Who, by practice.Instant) error {
	return s.exec(ctx, who, "DELETE FROM sign_ins WHERE studio = $1 AND expires_ns <= $2", who.Studio, by.UnixNano)
}
