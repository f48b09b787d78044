package store

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"strconv"

	"github.com/pressly/goose/v3"

	"aplomb/internal/practice"
)

// Schema is the migrations of one kind of database.
type Schema struct {
	provider *goose.Provider
	fault    func(error) error
}

// NewSchema reads the migrations in files, numbered SQL with an up and a down
// half. Fault names errors of the driver, as [Database] does.
func NewSchema(dialect goose.Dialect, db *sql.DB, files fs.FS, fault func(error) error, options ...goose.ProviderOption) (*Schema, error) {
	p, err := goose.NewProvider(dialect, db, files, append(options, goose.WithDisableGlobalRegistry(true))...)
	return &Schema{p, fault}, err
}

// failed is the fault of a step that could not be made: the driver's where it
// has a code (no room, locked), else a store-broken one that names the step.
func (m *Schema) failed(err error) error {
	if err == nil {
		return nil
	}
	err = m.fault(err)
	var f practice.Fault
	var step *goose.PartialError
	if !errors.As(err, &f) && errors.As(err, &step) {
		return practice.Fault{Code: practice.StoreBroken, Field: "schema", Value: strconv.FormatInt(step.Failed.Source.Version, 10), Err: err}
	}
	return err
}

// Present says whether a version is the newest; one of a newer program is a
// store-newer fault.
func (m *Schema) Present(version int64) (bool, error) {
	sources := m.provider.ListSources()
	newest := sources[len(sources)-1].Version
	if version > newest {
		return false, newer(version, newest)
	}
	return version == newest, nil
}

// Up brings the database to the newest schema, each step whole or not at all. A
// database of a newer program is a store-newer fault and left as it is. Two
// programs must not do it at once: the database locks.
func (m *Schema) Up(ctx context.Context) error {
	at, _, err := m.provider.GetVersions(ctx)
	if err != nil {
		return err
	}
	if done, err := m.Present(at); done || err != nil {
		return err
	}
	_, err = m.provider.Up(ctx)
	return m.failed(err)
}

// To brings the database up or down to a version. What a step down leaves out
// is lost: it is for databases with nothing in them.
func (m *Schema) To(ctx context.Context, version int64) error {
	at, newest, err := m.provider.GetVersions(ctx)
	switch {
	case err != nil:
		return err
	case version > newest:
		return newer(version, newest)
	case version < at:
		_, err = m.provider.DownTo(ctx, version)
	case version > at:
		_, err = m.provider.UpTo(ctx, version)
	}
	return m.failed(err)
}

func newer(at, known int64) practice.Fault {
	return practice.Fault{Code: practice.StoreNewer, Value: strconv.FormatInt(at, 10), Want: strconv.FormatInt(known, 10) + " or older"}
}
