package store

import (
	"bufio"
	"context"
	"encoding/json"
	"io"

	"aplomb/internal/practice"
)

// tables are all tables in an order in which they can be filled, but for looks
// and lore, which are worked out again.
var tables = []string{"studios", "people", "guardians", "covers", "drills", "students", "wishes", "weeks", "notes", "consents", "decisions",
	"attempts", "tallies", "sessions", "probes", "marks", "set_words", "detours", "receipts", "changes", "passwords", "passkeys", "doors", "sign_ins"}

// dumpFormat is the number of the form a dump has.
const dumpFormat = 1

// dumpHead is the first line of a dump; each line after it is a row, an array
// of the number of its table and its values; dumpEnd is the last.
type dumpHead struct {
	Dump   int         `json:"dump"` // dumpFormat
	Schema int64       `json:"schema"`
	Tables []dumpTable `json:"tables"`
}

type dumpTable struct {
	Name    string   `json:"name"`
	Columns []string `json:"columns"`
}

type dumpEnd struct {
	Rows []int64 `json:"rows"` // of each table
}

// Dump writes every row of every table, what is sealed as it is, from one state
// of the database, as lines of JSON. It is the same from both kinds of database.
// Passwords, passkeys, links and sign-ins are in it: it is for a backup that is
// encrypted, and for moving from one database to another.
func (s *Store) Dump(ctx context.Context, w io.Writer) error {
	return s.view(ctx, practice.Who{}, func(t *tx) error {
		buffered := bufio.NewWriterSize(w, 1<<16)
		if err := t.dump(ctx, buffered); err != nil {
			return err
		}
		return buffered.Flush()
	})
}

func (t *tx) dump(ctx context.Context, w io.Writer) (err error) {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	head := dumpHead{Dump: dumpFormat}
	if head.Schema, err = t.schema(ctx); err != nil {
		return err
	}
	for _, name := range tables {
		columns, err := t.columns(ctx, name)
		if err != nil {
			return err
		}
		head.Tables = append(head.Tables, dumpTable{name, columns})
	}
	if err := enc.Encode(head); err != nil {
		return err
	}
	end := dumpEnd{Rows: make([]int64, len(tables))}
	for i, table := range head.Tables {
		if end.Rows[i], err = t.dumpTable(ctx, enc, i, table); err != nil {
			return err
		}
	}
	return enc.Encode(end)
}

// schema is the version of the schema.
func (t *tx) schema(ctx context.Context) (version int64, err error) {
	err = t.QueryRowContext(ctx, "SELECT MAX(version_id) FROM goose_db_version").Scan(&version)
	return version, err
}

func (t *tx) columns(ctx context.Context, table string) ([]string, error) {
	rows, err := t.QueryContext(ctx, "SELECT * FROM "+table+" LIMIT 0")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	return rows.Columns()
}

func (t *tx) dumpTable(ctx context.Context, enc *json.Encoder, no int, table dumpTable) (count int64, err error) {
	rows, err := t.QueryContext(ctx, "SELECT * FROM "+table.Name)
	if err != nil {
		return 0, err
	}
	defer rows.Close()
	line := make([]any, len(table.Columns)+1)
	into := make([]any, len(table.Columns))
	line[0] = no
	for i := range into {
		into[i] = &line[i+1]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return 0, err
		}
		if err := enc.Encode(line); err != nil {
			return 0, err
		}
		count++
	}
	return count, rows.Err()
}
