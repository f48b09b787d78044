// Package sqlite keeps studios in one file of a data folder.
package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"io/fs"
	"net/url"
	"os"
	"runtime"
	"strconv"
	"syscall"
	"time"

	"github.com/pressly/goose/v3"
	_ "modernc.org/sqlite" // the driver

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

//go:embed schema/*.sql
var schema embed.FS

// application marks a file as ours: "aplm", in the header field SQLite keeps
// for it (https://sqlite.org/pragma.html#pragma_application_id).
const application = 0x61706c6d

// Open opens the file, makes it where it is not, and brings its schema up to
// date. Without a sealer what is private stays closed.
func Open(ctx context.Context, path string, seal store.Sealer, now func() time.Time, newID func() string) (*store.Store, error) {
	db, err := open(ctx, path)
	if err != nil {
		return nil, err
	}
	return store.New(db, seal, now, newID), nil
}

// database is one connection that writes, for SQLite lets one write at a time,
// and a few that read: with a write-ahead log neither waits for the other.
type database struct {
	path           string
	writer, reader *sql.DB
	schema         *store.Schema
}

func open(ctx context.Context, path string) (*database, error) {
	d := &database{path: path}
	err := touch(path)
	if err == nil {
		err = d.settle(ctx)
	}
	if err == nil {
		err = d.connect()
	}
	if err != nil {
		d.Close()
		return nil, d.Fault(err)
	}
	return d, nil
}

// touch makes the file, for its owner alone, where it is not there. One that is
// there is not opened: to close it again would take this program's locks off it
// (https://sqlite.org/howtocorrupt.html, 2.2).
func touch(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err == nil {
		return f.Close()
	}
	fault := practice.Fault{Code: practice.NotRead, File: path, Err: err}
	switch {
	case errors.Is(err, fs.ErrExist):
		return nil
	case errors.Is(err, fs.ErrNotExist):
		fault.Code = practice.NotThere
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		fault.Code = practice.StoreReadOnly
	case errors.Is(err, syscall.ENOSPC):
		fault.Code = practice.StoreFull
	}
	return fault
}

func (d *database) connect() (err error) {
	if d.writer, err = sql.Open("sqlite", dsn(d.path, "immediate", false, writerCache)); err != nil {
		return err
	}
	d.writer.SetMaxOpenConns(1)
	if d.reader, err = sql.Open("sqlite", dsn(d.path, "deferred", true, readerCache)); err != nil {
		return err
	}
	readers := max(4, runtime.GOMAXPROCS(0))
	d.reader.SetMaxOpenConns(readers)
	d.reader.SetMaxIdleConns(readers)
	d.schema, err = d.steps(d.writer)
	return err
}

// steps are the migrations, to be made through db.
func (d *database) steps(db *sql.DB) (*store.Schema, error) {
	files, err := fs.Sub(schema, "schema")
	if err != nil {
		return nil, err
	}
	return store.NewSchema(goose.DialectSQLite3, db, files, d.Fault)
}

// Pages a connection keeps in memory, in KiB, filled as it needs them. The
// writer's holds the index of ids of a large import, which come in no order.
const (
	writerCache = 48 << 10
	readerCache = 8 << 10
)

// dsn has every setting in the address, so that each connection has it.
func dsn(path, lock string, readOnly bool, cache int) string {
	return address(path, url.Values{"_txlock": {lock}, "_pragma": {"busy_timeout(10000)", "journal_mode(WAL)", "foreign_keys(1)",
		"synchronous(FULL)", "secure_delete(1)",
		"journal_size_limit(67108864)", // the log of a large import does not stay
		"cache_size(-" + strconv.Itoa(cache) + ")", "query_only(" + strconv.FormatBool(readOnly) + ")"}})
}

func address(path string, settings url.Values) string {
	return (&url.URL{Scheme: "file", Opaque: (&url.URL{Path: path}).EscapedPath(), RawQuery: settings.Encode()}).String()
}

// Writer implements store.Database.
func (d *database) Writer() *sql.DB { return d.writer }

// Reader implements store.Database.
func (d *database) Reader() *sql.DB { return d.reader }

// Migrate implements store.Database.
func (d *database) Migrate(ctx context.Context, version int64) error {
	return d.schema.To(ctx, version)
}

// Bulk implements store.Database: one, for a statement that may fail half-way
// has SQLite keep a journal of its own, and the driver looks up the name of
// every parameter among those before it. Two million attempts took 38 s; with
// 50 rows, 97 s.
func (d *database) Bulk() int { return 1 }

// Counted implements store.Database: SQLite goes on from the highest number.
func (d *database) Counted(context.Context, *sql.Tx) error { return nil }

// Scrub writes the file anew without what was deleted and empties the
// write-ahead log. While somebody reads an older state, that cannot be done: a
// store-locked fault, and the next Scrub does it.
func (d *database) Scrub(ctx context.Context) error {
	if _, err := d.writer.ExecContext(ctx, "VACUUM"); err != nil {
		return d.Fault(err)
	}
	var busy, frames, moved int64
	if err := d.writer.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &frames, &moved); err != nil {
		return d.Fault(err)
	}
	if busy != 0 {
		return practice.Fault{Code: practice.StoreLocked, File: d.path}
	}
	return nil
}

// Close implements store.Database.
func (d *database) Close() error {
	var errs []error
	for _, db := range []*sql.DB{d.reader, d.writer} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}
