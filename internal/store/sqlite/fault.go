package sqlite

import (
	"errors"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"aplomb/internal/practice"
)

// codes are the driver's codes by ours (https://sqlite.org/rescode.html). An
// extended code goes before the one it extends.
var codes = map[int]practice.Code{
	lib.SQLITE_BUSY:                  practice.StoreLocked,
	lib.SQLITE_LOCKED:                practice.StoreLocked,
	lib.SQLITE_READONLY:              practice.StoreReadOnly,
	lib.SQLITE_CANTOPEN:              practice.StoreReadOnly,
	lib.SQLITE_PERM:                  practice.StoreReadOnly,
	lib.SQLITE_FULL:                  practice.StoreFull,
	lib.SQLITE_IOERR_SHMSIZE:         practice.StoreFull, // no room for the index of the write-ahead log
	lib.SQLITE_IOERR:                 practice.StoreAway,
	lib.SQLITE_IOERR_CORRUPTFS:       practice.StoreBroken,
	lib.SQLITE_CORRUPT:               practice.StoreBroken,
	lib.SQLITE_NOTADB:                practice.StoreBroken,
	lib.SQLITE_SCHEMA:                practice.StoreBroken,
	lib.SQLITE_ERROR:                 practice.StoreBroken, // our statements are the same always: a table or column is not there
	lib.SQLITE_CONSTRAINT_FOREIGNKEY: practice.UnknownID,
	lib.SQLITE_CONSTRAINT_UNIQUE:     practice.ExistsAlready,
	lib.SQLITE_CONSTRAINT_PRIMARYKEY: practice.ExistsAlready,
}

// Fault implements store.Database.
func (d *database) Fault(err error) error {
	var e *sqlite.Error
	var f practice.Fault
	if errors.As(err, &f) || !errors.As(err, &e) {
		return err
	}
	if ours := codeOf(e.Code()); ours != "" {
		return practice.Fault{Code: ours, File: d.path, Err: err}
	}
	return err
}

// codeOf is our code for one of the driver's, empty where we have none.
func codeOf(driver int) practice.Code {
	if ours, ok := codes[driver]; ok {
		return ours
	}
	return codes[driver&0xff]
}
