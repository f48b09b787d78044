package store

import (
	"context"
	"database/sql"
	"errors"
	"strconv"
	"strings"

	"aplomb/internal/practice"
)

// kind says how a noun that is an object is kept: as one JSON text with the
// columns it is found by, a revision, and what is private of it sealed apart.
type kind[T any] struct {
	noun    practice.Noun
	table   string
	id      func(T) string
	student func(T) string // whose record it belongs to; nil: nobody's
	columns []string       // beside studio, id, n, doc, rev
	values  func(T) []any  // of those columns
	order   string         // of a list
	private *private[T]    // nil: nothing of it is private
}

// private says what of a noun is sealed.
type private[T any] struct {
	// split parts a value into what may be read without the key and the rest,
	// nil where there is no rest.
	split func(T) (T, []byte, error)
	// join puts the rest back.
	join func(*T, []byte) error
	// stays says whether the rest of was, which could not be opened, still
	// belongs to a value that was read without it and is now is.
	stays func(was, is T) bool
}

// kept is a row of an object as it stands.
type kept[T any] struct {
	practice.Kept[T]
	doc    string
	sealed string // what is private of it, or empty
	shut   bool   // sealed, and the key is not here
}

// value is how the row reads, whole and without what is private.
func (k kept[T]) sides() (side, error) {
	whole, err := marshal(k.Value)
	if err != nil {
		return side{}, err
	}
	if k.sealed == "" {
		return side{open: whole}, nil
	}
	if k.shut {
		return side{open: marked([]byte(k.doc))}, nil
	}
	return side{open: marked([]byte(k.doc)), whole: whole}, nil
}

func (k *kind[T]) selects() string {
	if k.private == nil {
		return "SELECT doc, '', rev FROM " + k.table
	}
	return "SELECT doc, sealed, rev FROM " + k.table
}

// scan reads one row of selects.
func (k *kind[T]) scan(s *Store, studio string, row interface{ Scan(...any) error }) (kept[T], error) {
	var out kept[T]
	if err := row.Scan(&out.doc, &out.sealed, &out.Rev); err != nil {
		return out, err
	}
	if err := unmarshal([]byte(out.doc), &out.Value); err != nil {
		return out, broken(err)
	}
	if out.sealed == "" {
		return out, nil
	}
	if out.shut = s.seal == nil; out.shut {
		return out, nil
	}
	rest, err := s.seal.Open(place(studio, k.noun, k.id(out.Value)), out.sealed)
	if err != nil {
		return out, err
	}
	return out, k.private.join(&out.Value, rest)
}

// bare is the objects of a studio for which where holds, without what is
// private of them.
func bare[T any](ctx context.Context, s *Store, who practice.Who, k *kind[T], where string, args ...any) ([]practice.Kept[T], error) {
	query := "SELECT doc, rev FROM " + k.table + " WHERE studio = $1 " + where + " ORDER BY " + k.order
	return several(ctx, s, who, func(scan func(...any) error) (out practice.Kept[T], err error) {
		var doc []byte
		if err = scan(&doc, &out.Rev); err != nil {
			return out, err
		}
		if err = unmarshal(doc, &out.Value); err != nil {
			err = broken(err)
		}
		return out, err
	}, query, append([]any{who.Studio}, args...)...)
}

// find reads one object.
func find[T any](ctx context.Context, t *tx, k *kind[T], id string) (kept[T], error) {
	row := t.QueryRowContext(ctx, k.selects()+" WHERE studio = $1 AND id = $2", t.who.Studio, id)
	out, err := k.scan(t.s, t.who.Studio, row)
	if errors.Is(err, sql.ErrNoRows) {
		return out, notFound(k.noun, id)
	}
	return out, err
}

// list reads the objects of a studio for which where holds.
func list[T any](ctx context.Context, t *tx, k *kind[T], where string, args ...any) ([]practice.Kept[T], error) {
	rows, err := listed(ctx, t, k, where, args...)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	out := make([]practice.Kept[T], len(rows))
	for i, r := range rows {
		out[i] = r.Kept
	}
	return out, nil
}

// listed is list with how each row is kept.
func listed[T any](ctx context.Context, t *tx, k *kind[T], where string, args ...any) ([]kept[T], error) {
	query := k.selects() + " WHERE studio = $1 " + where + " ORDER BY " + k.order
	rows, err := t.QueryContext(ctx, query, append([]any{t.who.Studio}, args...)...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []kept[T]
	for rows.Next() {
		one, err := k.scan(t.s, t.who.Studio, rows)
		if err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return out, rows.Err()
}

// get is find in a transaction of its own.
func get[T any](ctx context.Context, s *Store, who practice.Who, k *kind[T], id string) (out practice.Kept[T], err error) {
	err = s.view(ctx, who, func(t *tx) error {
		one, err := find(ctx, t, k, id)
		out = one.Kept
		return err
	})
	return out, err
}

// all is list in a transaction of its own.
func all[T any](ctx context.Context, s *Store, who practice.Who, k *kind[T], where string, args ...any) (out []practice.Kept[T], err error) {
	err = s.view(ctx, who, func(t *tx) (err error) {
		out, err = list(ctx, t, k, where, args...)
		return err
	})
	return out, err
}

// save is put in a transaction of its own.
func save[T any](ctx context.Context, s *Store, who practice.Who, k *kind[T], v T, base int64) (rev int64, err error) {
	err = s.change(ctx, who, func(t *tx) (err error) {
		rev, err = put(ctx, t, k, v, base)
		return err
	})
	return rev, err
}

// put keeps the value: a new one where base is 0, else in the place of the
// revision base.
func put[T any](ctx context.Context, t *tx, k *kind[T], v T, base int64) (int64, error) {
	id := k.id(v)
	was, err := find(ctx, t, k, id)
	found := err == nil
	switch {
	case err != nil && !practice.HasCode(err, practice.NotFound):
		return 0, err
	case base == 0 && found, found && k.owner(was.Value) != k.owner(v):
		return 0, existsAlready(k.noun, id)
	case base != 0 && !found:
		return 0, err
	case found && was.Rev != base:
		return 0, changedSince(k.noun, id)
	}
	is, err := k.part(t, v, was)
	if err != nil {
		return 0, err
	}
	is.Rev = base + 1
	if !found {
		return is.Rev, k.add(ctx, t, v, is)
	}
	return is.Rev, k.replace(ctx, t, v, is, was)
}

func (k *kind[T]) add(ctx context.Context, t *tx, v T, is kept[T]) error {
	next := "(SELECT COALESCE(MAX(n), 0) + 1 FROM " + k.table + " WHERE studio = $1)"
	query := k.inserts(next) + " ON CONFLICT (studio, id) DO NOTHING"
	n, err := rowsOf(t.ExecContext(ctx, query, k.row(t.who.Studio, v, is)...))
	if err == nil && n == 0 {
		err = existsAlready(k.noun, k.id(v))
	}
	if err != nil {
		return err
	}
	after, err := is.sides()
	if err != nil {
		return err
	}
	return t.record(ctx, practice.Change{Act: practice.Added, Noun: k.noun, Student: k.owner(v), Key: k.id(v)}, side{}, after)
}

func (k *kind[T]) replace(ctx context.Context, t *tx, v T, is, was kept[T]) error {
	set := make([]string, 0, len(k.columns)+3)
	for i, column := range k.all() {
		set = append(set, column+" = $"+strconv.Itoa(i+3))
	}
	args := append(k.row(t.who.Studio, v, is), was.Rev)
	query := "UPDATE " + k.table + " SET " + strings.Join(set, ", ") + " WHERE studio = $1 AND id = $2 AND rev = $" + strconv.Itoa(len(args))
	n, err := rowsOf(t.ExecContext(ctx, query, args...))
	if err == nil && n == 0 {
		err = changedSince(k.noun, k.id(v))
	}
	if err != nil {
		return err
	}
	before, err := was.sides()
	if err != nil {
		return err
	}
	after, err := is.sides()
	if err != nil {
		return err
	}
	return t.record(ctx, practice.Change{Act: practice.Changed, Noun: k.noun, Student: k.owner(v), Key: k.id(v)}, before, after)
}

// remove takes one object out.
func remove[T any](ctx context.Context, t *tx, k *kind[T], id, student string) error {
	was, err := find(ctx, t, k, id)
	if err != nil {
		return err
	}
	if student != k.owner(was.Value) {
		return notFound(k.noun, id)
	}
	n, err := rowsOf(t.ExecContext(ctx, "DELETE FROM "+k.table+" WHERE studio = $1 AND id = $2 AND rev = $3", t.who.Studio, id, was.Rev))
	if err == nil && n == 0 {
		err = changedSince(k.noun, id)
	}
	if err != nil {
		return err
	}
	before, err := was.sides()
	if err != nil {
		return err
	}
	return t.record(ctx, practice.Change{Act: practice.Removed, Noun: k.noun, Student: student, Key: id}, before, side{})
}

func (k *kind[T]) owner(v T) string {
	if k.student == nil {
		return ""
	}
	return k.student(v)
}

// part is the row of a value: its private part sealed, or, where the key is not
// here, left as was has it.
func (k *kind[T]) part(t *tx, v T, was kept[T]) (is kept[T], err error) {
	is.Value = v
	var rest []byte
	open := v
	if k.private != nil {
		if open, rest, err = k.private.split(v); err != nil {
			return is, err
		}
	}
	if was.shut {
		if rest != nil || !k.private.stays(was.Value, v) {
			return is, noKey()
		}
		is.sealed, is.shut = was.sealed, true
	} else if is.sealed, err = t.sealed(k.noun, k.id(v), rest); err != nil {
		return is, err
	}
	doc, err := marshal(open)
	is.doc = string(doc)
	return is, err
}

// all is every column after studio, id and n, in the order of row.
func (k *kind[T]) all() []string {
	columns := append([]string{"doc", "rev"}, k.columns...)
	if k.private != nil {
		columns = append(columns, "sealed")
	}
	return columns
}

func (k *kind[T]) inserts(n string) string {
	columns := k.all()
	marks := make([]string, len(columns))
	for i := range columns {
		marks[i] = "$" + strconv.Itoa(i+3)
	}
	return "INSERT INTO " + k.table + " (studio, id, n, " + strings.Join(columns, ", ") + ") VALUES ($1, $2, " + n + ", " + strings.Join(marks, ", ") + ")"
}

// row is the values of studio, id and all.
func (k *kind[T]) row(studio string, v T, is kept[T]) []any {
	args := []any{studio, k.id(v), is.doc, is.Rev}
	if k.values != nil {
		args = append(args, k.values(v)...)
	}
	if k.private != nil {
		args = append(args, is.sealed)
	}
	return args
}
