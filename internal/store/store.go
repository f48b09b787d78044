// Package store keeps everything a studio knows in a database: the SQL, one
// file a noun, one text for SQLite and PostgreSQL.
//
// It decides no rights. Every method is told who asks, picks the studio by it
// and writes it into the audit trail. A public method is one transaction with
// one reading of the clock. What fails is a [practice.Fault] with a code.
package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"aplomb/internal/practice"
)

// Sealer closes and opens what is private of a student's health. Of names the
// place the text is kept at; a text that was moved to another does not open.
type Sealer interface {
	Seal(of string, plain []byte) (string, error)
	Open(of, sealed string) ([]byte, error)
}

// Database is what a database is to the store: its connections, and the few
// things the two kinds do not do alike.
type Database interface {
	// Writer hands out transactions that write; Reader ones that see a single
	// state of everything from first to last.
	Writer() *sql.DB
	Reader() *sql.DB
	// Fault names an error of the driver by its code; another error stays.
	Fault(err error) error
	// Scrub leaves nothing in the files of what was deleted, as far as the
	// database lets a client see to it.
	Scrub(ctx context.Context) error
	// Migrate brings an empty schema up or down to a version.
	Migrate(ctx context.Context, version int64) error
	// Verify looks through the database's own pages, where a client can; a
	// fault of it is store-broken.
	Verify(ctx context.Context) error
	// Bulk is how many rows one statement of many inserts should have.
	Bulk() int
	// Counted tells the database that seq of changes was written by us.
	Counted(ctx context.Context, tx *sql.Tx) error
	Close() error
}

// Store keeps studios in a database.
type Store struct {
	db    Database
	seal  Sealer // nil: the key is not here
	now   func() time.Time
	newID func() string
}

// New is a store on a database whose schema is the present one. Without a
// sealer what is private can neither be written nor read; the rest can.
func New(db Database, seal Sealer, now func() time.Time, newID func() string) *Store {
	return &Store{db, seal, now, newID}
}

// Close closes the database.
func (s *Store) Close() error { return s.db.Close() }

// tx is one transaction: who makes it and when.
type tx struct {
	*sql.Tx
	s   *Store
	who practice.Who
	at  practice.Instant
}

// change runs do in a transaction that writes, and keeps all of it or nothing.
func (s *Store) change(ctx context.Context, who practice.Who, do func(*tx) error) error {
	return s.run(ctx, s.db.Writer(), false, who, do)
}

// view runs do in a transaction that reads one state of the database.
func (s *Store) view(ctx context.Context, who practice.Who, do func(*tx) error) error {
	return s.run(ctx, s.db.Reader(), true, who, do)
}

func (s *Store) run(ctx context.Context, db *sql.DB, reads bool, who practice.Who, do func(*tx) error) error {
	begun, err := db.BeginTx(ctx, &sql.TxOptions{ReadOnly: reads})
	if err != nil {
		return s.fault(err)
	}
	defer begun.Rollback() // nothing after Commit
	if err := do(&tx{begun, s, who, instant(s.now())}); err != nil {
		return s.fault(err)
	}
	return s.fault(begun.Commit())
}

// fault is err with a code where the database knows one.
func (s *Store) fault(err error) error {
	var f practice.Fault
	if err == nil || errors.As(err, &f) {
		return err
	}
	return s.db.Fault(err)
}

// instant is a time as its own clock shows it, offset kept.
func instant(t time.Time) practice.Instant {
	_, offset := t.Zone()
	return practice.Instant{UnixNano: t.UnixNano(), Offset: int16(offset / 60)}
}

func notFound(noun practice.Noun, id string) practice.Fault {
	return practice.Fault{Code: practice.NotFound, Field: string(noun), Value: practice.Short(id)}
}

func existsAlready(noun practice.Noun, id string) practice.Fault {
	return practice.Fault{Code: practice.ExistsAlready, Field: string(noun), Value: practice.Short(id)}
}

func changedSince(noun practice.Noun, id string) practice.Fault {
	return practice.Fault{Code: practice.ChangedSince, Field: string(noun), Value: practice.Short(id)}
}

// rowsOf is how many rows a statement touched.
func rowsOf(r sql.Result, err error) (int64, error) {
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}
