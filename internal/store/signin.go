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

// PutSignIn keeps a new sign-in.
func (s *Store) PutSignIn(ctx context.Context, who practice.Who, v practice.SignIn) error {
	return s.change(ctx, who, func(t *tx) error { return t.putSignIn(ctx, v) })
}

func (t *tx) putSignIn(ctx context.Context, v practice.SignIn) error {
	_, err := t.ExecContext(ctx, "INSERT INTO sign_ins (studio, "+signInColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
		t.who.Studio, v.ID, v.Who.ID, string(v.Who.Role), v.Started.UnixNano, v.Started.Offset, v.Renewed.UnixNano, v.Renewed.Offset,
		v.Seen.UnixNano, v.Seen.Offset, v.Expires.UnixNano, v.Expires.Offset, v.Agent, v.Token)
	return err
}

// SeeSignIn writes down when a sign-in was seen and expires. One that was ended
// meanwhile is a not-found fault and stays ended.
func (s *Store) SeeSignIn(ctx context.Context, who practice.Who, v practice.SignIn) error {
	return s.change(ctx, who, func(t *tx) error { return t.seeSignIn(ctx, v) })
}

func (t *tx) seeSignIn(ctx context.Context, v practice.SignIn) error {
	n, err := rowsOf(t.ExecContext(ctx, `UPDATE sign_ins SET seen_ns = $4, seen_off = $5, expires_ns = $6, expires_off = $7
		WHERE studio = $1 AND id = $2 AND token = $3`,
		t.who.Studio, v.ID, v.Token, v.Seen.UnixNano, v.Seen.Offset, v.Expires.UnixNano, v.Expires.Offset))
	if err == nil && n == 0 {
		err = notFound("sign-in", v.ID)
	}
	return err
}

// RenewSignIn puts next beside old, which is seen for the last time, as long as
// old was not ended meanwhile: then it is a not-found fault and nothing is kept.
func (s *Store) RenewSignIn(ctx context.Context, who practice.Who, old, next practice.SignIn) error {
	return s.change(ctx, who, func(t *tx) error {
		if err := t.seeSignIn(ctx, old); err != nil {
			return err
		}
		return t.putSignIn(ctx, next)
	})
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

// RemoveExpired ends the sign-ins and the links of the studio that expired by
// then.
func (s *Store) RemoveExpired(ctx context.Context, who practice.Who, by practice.Instant) error {
	return s.change(ctx, who, func(t *tx) error {
		for _, table := range []string{"sign_ins", "doors"} {
			if _, err := t.ExecContext(ctx, "DELETE FROM "+table+" WHERE studio = $1 AND expires_ns <= $2", who.Studio, by.UnixNano); err != nil {
				return err
			}
		}
		return nil
	})
}
