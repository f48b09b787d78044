package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"net/url"
	"strconv"
	"time"

	"aplomb/internal/practice"
)

// How often, and how long apart, settle asks for a file that another program
// holds: with the tenth of a second each ask waits, ten seconds in all.
const (
	asks  = 33
	apart = 200 * time.Millisecond
)

// settle makes sure the file is ours and its schema the present one, before it
// is used. Only where the schema is older does it need the file to itself: two
// programs never migrate at once, and none under the feet of one that runs.
func (d *database) settle(ctx context.Context) (err error) {
	for range asks {
		var ready bool
		if ready, err = d.ready(ctx); ready || err != nil && !d.held(err) {
			return err
		}
		if err == nil {
			if err = d.update(ctx); err == nil || !d.held(err) {
				return err
			}
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(apart):
		}
	}
	return err
}

// held says whether the error is that another program has the file.
func (d *database) held(err error) bool { return practice.HasCode(d.Fault(err), practice.StoreLocked) }

// alone is one connection with the settings, and nothing changed in the file.
func (d *database) alone(settings ...string) (*sql.DB, error) {
	db, err := sql.Open("sqlite", address(d.path, url.Values{"_txlock": {"immediate"}, "_pragma": append(settings, "busy_timeout(100)", "foreign_keys(1)", "secure_delete(1)")}))
	if err == nil {
		db.SetMaxOpenConns(1)
	}
	return db, err
}

// ready looks whether the file is ours and up to date; one of another program
// or of a newer one is a fault, and stays as it is to the byte.
func (d *database) ready(ctx context.Context) (ready bool, err error) {
	db, err := d.alone()
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var id, things, migrated, version int64
	row := db.QueryRowContext(ctx, `SELECT (SELECT application_id FROM pragma_application_id),
		(SELECT COUNT(*) FROM sqlite_schema), (SELECT COUNT(*) FROM sqlite_schema WHERE name = 'goose_db_version')`)
	if err := row.Scan(&id, &things, &migrated); err != nil {
		return false, err
	}
	if id != application && (id != 0 || things > 0) {
		return false, practice.Fault{Code: practice.StoreBroken, File: d.path, Want: "a database aplomb made"}
	}
	if migrated == 0 {
		return false, nil
	}
	if err := db.QueryRowContext(ctx, "SELECT MAX(version_id) FROM goose_db_version").Scan(&version); err != nil {
		return false, err
	}
	steps, err := d.steps(db)
	if err != nil {
		return false, err
	}
	return steps.Present(version)
}

// update brings the schema up to date, with the file to itself.
func (d *database) update(ctx context.Context) (err error) {
	db, err := d.alone("locking_mode(EXCLUSIVE)")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	for _, hold := range []string{"BEGIN EXCLUSIVE", "COMMIT", "PRAGMA application_id = " + strconv.Itoa(application)} {
		if _, err := db.ExecContext(ctx, hold); err != nil {
			return err
		}
	}
	steps, err := d.steps(db)
	if err != nil {
		return err
	}
	return steps.Up(ctx)
}
