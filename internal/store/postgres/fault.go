package postgres

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"net"

	"github.com/jackc/pgx/v5/pgconn"

	"aplomb/internal/practice"
)

// codes are conditions of PostgreSQL by our codes (PostgreSQL manual, appendix
// A); two letters are a class, and go after what is more exact.
var codes = map[string]practice.Code{
	"23505": practice.ExistsAlready, // unique_violation
	"23503": practice.UnknownID,     // foreign_key_violation
	"22021": practice.NotUTF8,       // character_not_in_repertoire
	"53100": practice.StoreFull,     // disk_full
	"25006": practice.StoreReadOnly, // read_only_sql_transaction
	"42501": practice.StoreReadOnly, // insufficient_privilege
	"40001": practice.StoreLocked,   // serialization_failure
	"40P01": practice.StoreLocked,   // deadlock_detected
	"55P03": practice.StoreLocked,   // lock_not_available
	"42P01": practice.StoreBroken,   // undefined_table
	"42P07": practice.StoreBroken,   // duplicate_table: another program's
	"42703": practice.StoreBroken,   // undefined_column
	"3D000": practice.StoreAway,     // invalid_catalog_name
	"08":    practice.StoreAway,     // connection exception
	"28":    practice.StoreAway,     // invalid authorization
	"53":    practice.StoreAway,     // insufficient resources
	"57":    practice.StoreAway,     // operator intervention
	"58":    practice.StoreAway,     // system error
	"XX":    practice.StoreBroken,   // internal error, damaged data
}

// Fault implements store.Database.
func (d *database) Fault(err error) error {
	var f practice.Fault
	if err == nil || errors.As(err, &f) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	var e *pgconn.PgError
	if errors.As(err, &e) {
		for _, code := range []string{e.Code, e.Code[:2]} {
			if ours, ok := codes[code]; ok {
				return practice.Fault{Code: ours, Err: err}
			}
		}
		return err
	}
	var dial *pgconn.ConnectError
	var network net.Error
	if errors.As(err, &dial) || errors.As(err, &network) || errors.Is(err, driver.ErrBadConn) || errors.Is(err, sql.ErrConnDone) {
		return practice.Fault{Code: practice.StoreAway, Err: err}
	}
	return err
}
