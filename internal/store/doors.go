package store

import (
	"context"
	"database/sql"

	"aplomb/internal/practice"
)

// Secrets of a studio: they are in a Dump, never in what Trail, Record or a
// folder holds, and leave no contents in the audit trail.

// when is a moment that may not have come, as two columns.
func when(i *practice.Instant) (ns, off sql.Null[int64]) {
	if i == nil {
		return ns, off
	}
	return sql.Null[int64]{V: i.UnixNano, Valid: true}, sql.Null[int64]{V: int64(i.Offset), Valid: true}
}

// moment is when read back.
func moment(ns, off sql.Null[int64]) *practice.Instant {
	if !ns.Valid {
		return nil
	}
	return &practice.Instant{UnixNano: ns.V, Offset: int16(off.V)}
}

const doorColumns = "hash, opens, of_id, made_ns, made_off, made_by, expires_ns, expires_off, used_ns, used_off"

func scanDoor(scan func(...any) error) (d practice.Door, err error) {
	var expires, expiresOff, used, usedOff sql.Null[int64]
	err = scan(&d.Hash, &d.For, &d.Of, &d.Made.UnixNano, &d.Made.Offset, &d.MadeBy, &expires, &expiresOff, &used, &usedOff)
	d.Expires, d.Used = moment(expires, expiresOff), moment(used, usedOff)
	return d, err
}

// Doors is every link of the studio, in the order they were made.
func (s *Store) Doors(ctx context.Context, who practice.Who) ([]practice.Door, error) {
	return several(ctx, s, who, scanDoor, "SELECT "+doorColumns+" FROM doors WHERE studio = $1 ORDER BY made_ns, hash", who.Studio)
}

// DoorByHash is the link whose secret has this SHA-256.
func (s *Store) DoorByHash(ctx context.Context, who practice.Who, hash string) (practice.Door, error) {
	return single(ctx, s, who, "door", scanDoor, "SELECT "+doorColumns+" FROM doors WHERE studio = $1 AND hash = $2", who.Studio, hash)
}

// PutDoor keeps a link.
func (s *Store) PutDoor(ctx context.Context, who practice.Who, d practice.Door) error {
	expires, expiresOff := when(d.Expires)
	used, usedOff := when(d.Used)
	return s.exec(ctx, who, "INSERT INTO doors (studio, "+doorColumns+") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)",
		who.Studio, d.Hash, string(d.For), d.Of, d.Made.UnixNano, d.Made.Offset, d.MadeBy, expires, expiresOff, used, usedOff)
}

// TakeDoor marks the link as used. With once it is not found for all but the
// first who takes it.
func (s *Store) TakeDoor(ctx context.Context, who practice.Who, hash string, at practice.Instant, once bool) error {
	query := "UPDATE doors SET used_ns = COALESCE(used_ns, $3), used_off = COALESCE(used_off, $4) WHERE studio = $1 AND hash = $2"
	if once {
		query += " AND used_ns IS NULL"
	}
	return s.change(ctx, who, func(t *tx) error {
		n, err := rowsOf(t.ExecContext(ctx, query, who.Studio, hash, at.UnixNano, at.Offset))
		if err == nil && n == 0 {
			err = notFound("door", "")
		}
		return err
	})
}

// CloseDoors removes every link of the kind that is somebody's.
func (s *Store) CloseDoors(ctx context.Context, who practice.Who, kind practice.DoorFor, of string) error {
	return s.exec(ctx, who, "DELETE FROM doors WHERE studio = $1 AND opens = $2 AND of_id = $3", who.Studio, string(kind), of)
}

// exec runs one statement in a transaction of its own.
func (s *Store) exec(ctx context.Context, who practice.Who, query string, args ...any) error {
	return s.change(ctx, who, func(t *tx) error {
		_, err := t.ExecContext(ctx, query, args...)
		return err
	})
}

// single reads one row, several reads all there are.
func single[T any](ctx context.Context, s *Store, who practice.Who, what practice.Noun, scan func(func(...any) error) (T, error), query string, args ...any) (T, error) {
	found, err := several(ctx, s, who, scan, query, args...)
	if err == nil && len(found) == 0 {
		err = notFound(what, "")
	}
	if err != nil {
		var none T
		return none, err
	}
	return found[0], nil
}

func several[T any](ctx context.Context, s *Store, who practice.Who, scan func(func(...any) error) (T, error), query string, args ...any) (out []T, err error) {
	err = s.view(ctx, who, func(t *tx) error {
		rows, err := t.QueryContext(ctx, query, args...)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			one, err := scan(rows.Scan)
			if err != nil {
				return err
			}
			out = append(out, one)
		}
		return rows.Err()
	})
	return out, err
}
