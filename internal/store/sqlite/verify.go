package sqlite

import (
	"context"
	"errors"

	"aplomb/internal/practice"
)

// Verify implements store.Database: every page, every index against its table,
// and every reference (https://sqlite.org/pragma.html#pragma_integrity_check).
func (d *database) Verify(ctx context.Context) error {
	var said string
	if err := d.reader.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&said); err != nil {
		return d.Fault(err)
	}
	if said != "ok" {
		return practice.Fault{Code: practice.StoreBroken, File: d.path, Err: errors.New("sqlite: " + said)}
	}
	rows, err := d.reader.QueryContext(ctx, "PRAGMA foreign_key_check")
	if err != nil {
		return d.Fault(err)
	}
	defer rows.Close()
	if rows.Next() {
		return practice.Fault{Code: practice.StoreBroken, File: d.path, Err: errors.New("sqlite: a row that belongs to nothing")}
	}
	return d.Fault(rows.Err())
}
