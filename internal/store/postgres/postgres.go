// Package postgres keeps studios in a PostgreSQL database.
package postgres

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"io/fs"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

//go:embed schema/*.sql
var schema embed.FS

// Connections of a store: a server has a hundred by default.
const (
	writers = 8
	readers = 16
)

// Open opens the database a connection URI names (RFC 3986, as in the manual of
// PostgreSQL, 34.1.1.2) and brings its schema up to date. Without a sealer what
// is private stays closed.
func Open(ctx context.Context, uri string, seal store.Sealer, now func() time.Time, newID func() string) (*store.Store, error) {
	db, err := open(ctx, uri)
	if err != nil {
		return nil, err
	}
	return store.New(db, seal, now, newID), nil
}

type database struct {
	writer, reader *sql.DB
	schema         *store.Schema
}

func open(ctx context.Context, uri string) (*database, error) {
	config, err := pgx.ParseConfig(uri)
	if err != nil { // not told: a password may be in it
		return nil, practice.Fault{Code: practice.OutOfRange, Field: "db", Want: "an address such as postgres://user@host:5432/name"}
	}
	d := &database{writer: pool(config, "read committed", writers), reader: pool(config, "repeatable read", readers)}
	if err := d.migrate(ctx); err != nil {
		d.Close()
		return nil, d.Fault(err)
	}
	return d, nil
}

// pool is connections whose transactions are isolated like that. For reads:
// one state from the first statement to the last.
func pool(config *pgx.ConnConfig, isolation string, most int) *sql.DB {
	own := config.Copy()
	own.RuntimeParams["default_transaction_isolation"] = isolation
	db := stdlib.OpenDB(*own)
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	return db
}

func (d *database) migrate(ctx context.Context) error {
	files, err := fs.Sub(schema, "schema")
	if err != nil {
		return err
	}
	locker, err := lock.NewPostgresSessionLocker()
	if err != nil {
		return err
	}
	if d.schema, err = store.NewSchema(goose.DialectPostgres, d.writer, files, d.Fault, goose.WithSessionLocker(locker)); err != nil {
		return err
	}
	return d.schema.Up(ctx)
}

// Writer implements store.Database.
func (d *database) Writer() *sql.DB { return d.writer }

// Reader implements store.Database.
func (d *database) Reader() *sql.DB { return d.reader }

// Migrate implements store.Database.
func (d *database) Migrate(ctx context.Context, version int64) error {
	return d.schema.To(ctx, version)
}

// Bulk implements store.Database: a client that talks to a server is held up by
// the way there and back.
func (d *database) Bulk() int { return 50 }

// Counted implements store.Database: the identity of changes goes on after the
// rows there are.
func (d *database) Counted(ctx context.Context, tx *sql.Tx) error {
	_, err := tx.ExecContext(ctx, "SELECT setval(pg_get_serial_sequence('changes', 'seq'), (SELECT COALESCE(MAX(seq), 0) + 1 FROM changes), false)")
	return err
}

// Scrub has the server forget the rows that were deleted as soon as nobody
// reads an older state. What the server keeps in its own log, copies and
// backups is in the hands of who runs it. Empty pages at the end of a table are
// kept: to give them back a table is locked for everybody
// (https://www.postgresql.org/docs/current/sql-vacuum.html), and eight erasures
// at once then waited for one another for more than four seconds.
func (d *database) Scrub(ctx context.Context) error {
	_, err := d.writer.ExecContext(ctx, "VACUUM (TRUNCATE FALSE)")
	return d.Fault(err)
}

// Close implements store.Database.
func (d *database) Close() error { return errors.Join(d.reader.Close(), d.writer.Close()) }
