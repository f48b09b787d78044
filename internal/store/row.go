package store

import (
	"context"
	"database/sql"
	"errors"
	"strconv"
	"strings"

	"aplomb/internal/practice"
)

// rowKind says how a noun of the log is kept: in columns of its own, the rows
// of a student side by side in the order they arrived.
type rowKind[T comparable] struct {
	noun    practice.Noun
	table   string
	key     func(*T) rowKey
	columns []string                 // beside studio, student, n, id, at_ns, at_off
	values  func(T) []any            // of those columns, strings and sql.Null
	fields  func(*T) ([]any, func()) // where to scan them, and what to do then
	hidden  func(*T) *string         // a private text of it; nil: none
}

// rowKey is what every row of the log has.
type rowKey struct {
	id, student *string
	at          *practice.Instant
}

// head are the columns every table of the log begins with.
var head = []string{"studio", "student", "n", "id", "at_ns", "at_off"}

func (k *rowKind[T]) all() []string {
	columns := append(append([]string{}, head...), k.columns...)
	if k.hidden != nil {
		columns = append(columns, "sealed")
	}
	return columns
}

// insert is the statement that puts count rows in.
func (k *rowKind[T]) insert(count int) string { return insertRows(k.table, k.all(), count) }

func insertRows(table string, columns []string, count int) string {
	var b strings.Builder
	b.WriteString("INSERT INTO " + table + " (" + strings.Join(columns, ", ") + ") VALUES ")
	for i := range count * len(columns) {
		switch {
		case i == 0:
			b.WriteString("(")
		case i%len(columns) == 0:
			b.WriteString("), (")
		default:
			b.WriteString(", ")
		}
		b.WriteString("$" + strconv.Itoa(i+1))
	}
	return b.String() + ")"
}

// row is the values of all for a row that is the n-th to arrive.
func (k *rowKind[T]) row(t *tx, v T, n int64) ([]any, error) {
	key := k.key(&v)
	out := make([]any, 0, len(head)+len(k.columns)+1)
	out = append(out, t.who.Studio, *key.student, n, *key.id, key.at.UnixNano, key.at.Offset)
	out = append(out, k.values(v)...)
	if err := sound(out, k.all()); err != nil || k.hidden == nil {
		return out, err
	}
	var plain []byte
	if text := *k.hidden(&v); text != "" {
		plain = []byte(text)
	}
	sealed, err := t.sealed(k.noun, *key.id, plain)
	return append(out, sealed), err
}

// rowAt is a row as it stands.
type rowAt[T any] struct {
	value  T
	sealed string
	shut   bool // sealed, and the key is not here
}

func (k *rowKind[T]) selects() string {
	columns := "student, id, at_ns, at_off, " + strings.Join(k.columns, ", ")
	if k.hidden != nil {
		columns += ", sealed"
	}
	return "SELECT " + columns + " FROM " + k.table
}

// scanner is a reader of rows of selects: what it scans into is made once.
func (k *rowKind[T]) scanner(t *tx) func(scan func(...any) error) (rowAt[T], error) {
	var r, none rowAt[T]
	key := k.key(&r.value)
	fields, done := k.fields(&r.value)
	fields = append([]any{key.student, key.id, &key.at.UnixNano, &key.at.Offset}, fields...)
	if k.hidden != nil {
		fields = append(fields, &r.sealed)
	}
	return func(scan func(...any) error) (rowAt[T], error) {
		r = none
		if err := scan(fields...); err != nil {
			return none, err
		}
		done()
		if r.sealed == "" {
			return r, nil
		}
		if r.shut = t.s.seal == nil; r.shut {
			return r, nil
		}
		plain, err := t.s.seal.Open(place(t.who.Studio, k.noun, *key.id), r.sealed)
		*k.hidden(&r.value) = string(plain)
		return r, err
	}
}

// rowsOfStudent reads a student's rows in the order they arrived, and how many
// have something the key is missing for.
func rowsOfStudent[T comparable](ctx context.Context, t *tx, k *rowKind[T], student string) (out []T, shut int, err error) {
	rows, err := t.QueryContext(ctx, k.selects()+" WHERE studio = $1 AND student = $2 ORDER BY n", t.who.Studio, student)
	if err != nil {
		return nil, 0, err
	}
	defer rows.Close()
	read := k.scanner(t)
	for rows.Next() {
		r, err := read(rows.Scan)
		if err != nil {
			return nil, 0, err
		}
		if r.shut {
			shut++
		}
		out = append(out, r.value)
	}
	return out, shut, rows.Err()
}

// findRow reads one row by its id.
func findRow[T comparable](ctx context.Context, t *tx, k *rowKind[T], id string) (rowAt[T], error) {
	row := t.QueryRowContext(ctx, k.selects()+" WHERE studio = $1 AND id = $2", t.who.Studio, id)
	r, err := k.scanner(t)(row.Scan)
	if errors.Is(err, sql.ErrNoRows) {
		err = notFound(k.noun, id)
	}
	return r, err
}

// sides is how the row reads in the audit trail.
func (k *rowKind[T]) sides(r rowAt[T]) (side, error) {
	key := k.key(&r.value)
	doc := map[string]any{"id": *key.id, "student": *key.student, "at": *key.at}
	values := k.values(r.value)
	for i, column := range k.columns {
		if v := plain(values[i]); v != nil && v != "" {
			doc[column] = v
		}
	}
	open, err := marshal(doc)
	if err != nil || r.sealed == "" {
		return side{open: open}, err
	}
	if r.shut {
		return side{open: marked(open)}, nil
	}
	doc[painSite] = *k.hidden(&r.value)
	whole, err := marshal(doc)
	return side{open: marked(open), whole: whole}, err
}

// addRows keeps the rows of a student that are not there yet. A row that is
// there with other contents is changed. Where here is not nil it says which ids
// are there.
func addRows[T comparable](ctx context.Context, t *tx, k *rowKind[T], student string, rows []T, here map[string]bool) error {
	if len(rows) == 0 {
		return nil
	}
	n, err := t.arrive(ctx, student, len(rows))
	if err != nil {
		return err
	}
	insert, err := t.PrepareContext(ctx, k.insert(1))
	if err != nil {
		return err
	}
	defer insert.Close()
	added := 0
	for i, v := range rows {
		there := here == nil || here[*k.key(&v).id]
		if there {
			if there, err = again(ctx, t, k, student, v); err != nil {
				return err
			}
		}
		if there {
			continue
		}
		values, err := k.row(t, v, n+int64(i))
		if err != nil {
			return err
		}
		if _, err := insert.ExecContext(ctx, values...); err != nil {
			return err
		}
		added++
	}
	if added == 0 {
		return nil
	}
	return t.record(ctx, practice.Change{Act: practice.Added, Noun: k.noun, Student: student, Rows: added}, side{}, side{})
}

// again keeps a row that may be there already; it says whether it was.
func again[T comparable](ctx context.Context, t *tx, k *rowKind[T], student string, v T) (there bool, err error) {
	was, err := findRow(ctx, t, k, *k.key(&v).id)
	switch {
	case practice.HasCode(err, practice.NotFound):
		return false, nil
	case err != nil:
		return false, err
	case *k.key(&was.value).student != student:
		return true, existsAlready(k.noun, *k.key(&v).id)
	case was.value != v:
		return true, k.changeRow(ctx, t, was, v)
	}
	return true, nil
}

// arrive makes room for count rows of a student and is the number of the first.
// It holds the student's row until the transaction ends.
func (t *tx) arrive(ctx context.Context, student string, count int) (first int64, err error) {
	row := t.QueryRowContext(ctx, "UPDATE students SET arrived = arrived + $3 WHERE studio = $1 AND id = $2 RETURNING arrived", t.who.Studio, student, count)
	if err := row.Scan(&first); errors.Is(err, sql.ErrNoRows) {
		return 0, notFound(practice.StudentNoun, student)
	} else if err != nil {
		return 0, err
	}
	return first - int64(count), nil
}

// changeRow puts v in the place of a row. What is sealed of it and could not be
// read stays, where v has nothing in its place.
func (k *rowKind[T]) changeRow(ctx context.Context, t *tx, was rowAt[T], v T) error {
	values, err := k.row(t, v, 0)
	if err != nil {
		return err
	}
	if was.shut {
		values[len(values)-1] = was.sealed
	}
	set := []string{}
	args := []any{t.who.Studio, *k.key(&v).id}
	for i, column := range k.all() {
		if i < 4 { // studio, student, n and id stay
			continue
		}
		args = append(args, values[i])
		set = append(set, column+" = $"+strconv.Itoa(len(args)))
	}
	if _, err := t.ExecContext(ctx, "UPDATE "+k.table+" SET "+strings.Join(set, ", ")+" WHERE studio = $1 AND id = $2", args...); err != nil {
		return err
	}
	before, err := k.sides(was)
	if err != nil {
		return err
	}
	is := rowAt[T]{value: v, shut: was.shut}
	if k.hidden != nil {
		is.sealed = values[len(values)-1].(string)
	}
	after, err := k.sides(is)
	if err != nil {
		return err
	}
	key := k.key(&v)
	return t.record(ctx, practice.Change{Act: practice.Changed, Noun: k.noun, Student: *key.student, Key: *key.id}, before, after)
}

func removeRow[T comparable](ctx context.Context, t *tx, k *rowKind[T], student, id string) error {
	was, err := findRow(ctx, t, k, id)
	if err == nil && *k.key(&was.value).student != student {
		err = notFound(k.noun, id)
	}
	if err != nil {
		return err
	}
	if _, err := t.ExecContext(ctx, "DELETE FROM "+k.table+" WHERE studio = $1 AND id = $2", t.who.Studio, id); err != nil {
		return err
	}
	before, err := k.sides(was)
	if err != nil {
		return err
	}
	return t.record(ctx, practice.Change{Act: practice.Removed, Noun: k.noun, Student: student, Key: id}, before, side{})
}
