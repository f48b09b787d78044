package store

import (
	"context"
	"database/sql"

	"aplomb/internal/practice"
)

// Password is how a person's password is kept.
func (s *Store) Password(ctx context.Context, who practice.Who, person string) (practice.Password, error) {
	return single(ctx, s, who, "password", func(scan func(...any) error) (p practice.Password, err error) {
		err = scan(&p.Person, &p.Hash, &p.Since.UnixNano, &p.Since.Offset)
		return p, err
	}, "SELECT person, hash, since_ns, since_off FROM passwords WHERE studio = $1 AND person = $2", who.Studio, person)
}

// PutPassword keeps a person's password in the place of any before it.
func (s *Store) PutPassword(ctx context.Context, who practice.Who, p practice.Password) error {
	return s.change(ctx, who, func(t *tx) error { return t.putPassword(ctx, p) })
}

func (t *tx) putPassword(ctx context.Context, p practice.Password) error {
	_, err := t.ExecContext(ctx, `INSERT INTO passwords (studio, person, hash, since_ns, since_off) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (studio, person) DO UPDATE SET hash = excluded.hash, since_ns = excluded.since_ns, since_off = excluded.since_off`,
		t.who.Studio, p.Person, p.Hash, p.Since.UnixNano, p.Since.Offset)
	return err
}

// RemovePassword takes a person's password away, where there is one.
func (s *Store) RemovePassword(ctx context.Context, who practice.Who, person string) error {
	return s.exec(ctx, who, "DELETE FROM passwords WHERE studio = $1 AND person = $2", who.Studio, person)
}

const passkeyColumns = "id, person, name, record, since_ns, since_off, used_ns, used_off"

func scanPasskey(scan func(...any) error) (k practice.Passkey, err error) {
	var record string
	var used, usedOff sql.Null[int64]
	err = scan(&k.ID, &k.Person, &k.Name, &record, &k.Since.UnixNano, &k.Since.Offset, &used, &usedOff)
	k.Record, k.Used = []byte(record), moment(used, usedOff)
	return k, err
}

// Passkeys is a person's passkeys, in the order they were made.
func (s *Store) Passkeys(ctx context.Context, who practice.Who, person string) ([]practice.Passkey, error) {
	return several(ctx, s, who, scanPasskey,
		"SELECT "+passkeyColumns+" FROM passkeys WHERE studio = $1 AND person = $2 ORDER BY since_ns, id", who.Studio, person)
}

// Passkey is one passkey by its credential id.
func (s *Store) Passkey(ctx context.Context, who practice.Who, id string) (practice.Passkey, error) {
	return single(ctx, s, who, "passkey", scanPasskey, "SELECT "+passkeyColumns+" FROM passkeys WHERE studio = $1 AND id = $2", who.Studio, id)
}

// PutPasskey keeps a passkey, a new one or one that was used or renamed. One of
// another person stays theirs: an exists-already fault.
func (s *Store) PutPasskey(ctx context.Context, who practice.Who, k practice.Passkey) error {
	used, usedOff := when(k.Used)
	return s.change(ctx, who, func(t *tx) error {
		n, err := rowsOf(t.ExecContext(ctx, "INSERT INTO passkeys (studio, "+passkeyColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
			ON CONFLICT (studio, id) DO UPDATE SET name = excluded.name, record = excluded.record, used_ns = excluded.used_ns, used_off = excluded.used_off
			WHERE passkeys.person = excluded.person`,
			who.Studio, k.ID, k.Person, k.Name, string(k.Record), k.Since.UnixNano, k.Since.Offset, used, usedOff))
		if err == nil && n == 0 {
			err = existsAlready("passkey", k.ID)
		}
		return err
	})
}

// RemovePasskey takes a passkey away, where it is there.
func (s *Store) RemovePasskey(ctx context.Context, who practice.Who, id string) error {
	return s.exec(ctx, who, "DELETE FROM passkeys WHERE studio = $1 AND id = $2", who.Studio, id)
}
