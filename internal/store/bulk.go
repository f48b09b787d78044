package store

import (
	"context"
	"database/sql"
)

// bulk writes many rows with few statements. Rows of one table are written
// together; when a row of another table comes, those before it are.
type bulk struct {
	ctx     context.Context
	tx      *sql.Tx
	most    int                  // rows of one statement
	full    map[string]*sql.Stmt // by table, for most rows
	table   string               // the rows below are of
	columns []string
	args    []any
	rows    int
}

func newBulk(ctx context.Context, t *tx) *bulk {
	return &bulk{ctx: ctx, tx: t.Tx, most: t.s.db.Bulk(), full: map[string]*sql.Stmt{}}
}

// row adds one row to its table.
func (b *bulk) row(table string, columns []string, values []any) error {
	if table != b.table {
		if err := b.flush(); err != nil {
			return err
		}
		b.table, b.columns = table, columns
	}
	b.args = append(b.args, values...)
	if b.rows++; b.rows == b.most {
		return b.flush()
	}
	return nil
}

// flush writes the rows there are.
func (b *bulk) flush() (err error) {
	switch b.rows {
	case 0:
		return nil
	case b.most:
		err = b.many()
	default:
		_, err = b.tx.ExecContext(b.ctx, insertRows(b.table, b.columns, b.rows), b.args...)
	}
	b.args, b.rows = b.args[:0], 0
	return err
}

func (b *bulk) many() (err error) {
	stmt := b.full[b.table]
	if stmt == nil {
		if stmt, err = b.tx.PrepareContext(b.ctx, insertRows(b.table, b.columns, b.most)); err != nil {
			return err
		}
		b.full[b.table] = stmt
	}
	_, err = stmt.ExecContext(b.ctx, b.args...)
	return err
}
