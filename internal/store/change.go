package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"aplomb/internal/practice"
)

var changeColumns = []string{"studio", "id", "at_ns", "at_off", "by_id", "role", "act", "noun", "student", "thing", "row_count", "was",
	"became", "sealed"}

var insertChange = insertRows("changes", changeColumns, 1)

// record writes one line of the audit trail.
func (t *tx) record(ctx context.Context, c practice.Change, before, after side) error {
	c.ID, c.At, c.By, c.Role = t.s.newID(), t.at, t.who.ID, t.who.Role
	return t.write(ctx, c, before, after)
}

func (t *tx) write(ctx context.Context, c practice.Change, before, after side) error {
	values, err := t.line(c, before, after)
	if err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, insertChange, values...)
	return err
}

// line is the values of changeColumns.
func (t *tx) line(c practice.Change, before, after side) ([]any, error) {
	rest, err := seals(before, after)
	if err != nil {
		return nil, err
	}
	sealed, err := t.sealed(changeNoun, c.ID, rest)
	return []any{t.who.Studio, c.ID, c.At.UnixNano, c.At.Offset, c.By, string(c.Role), string(c.Act), string(c.Noun), c.Student, c.Key, c.Rows,
		string(before.open), string(after.open), sealed}, err
}

const selectChange = `SELECT id, at_ns, at_off, by_id, role, act, noun, student, thing, row_count, was, became, sealed FROM changes WHERE studio = $1 `

// Changes is the audit trail of a student, in the order it was written. Where
// the key is not here what is private is left out of both sides, which say so
// by a field "sealed".
func (s *Store) Changes(ctx context.Context, who practice.Who, student string) (out []practice.Change, err error) {
	err = s.view(ctx, who, func(t *tx) error {
		return t.changes(ctx, func(c practice.Change) error { out = append(out, c); return nil }, "AND student = $2", student)
	})
	return out, err
}

// Latest is up to most lines of the audit trail, the newest first: of one
// student, or with none named of the whole studio; older than the line called
// before, where one is named. Without private, what is private of them is left
// out, as it is without the key.
func (s *Store) Latest(ctx context.Context, who practice.Who, student, before string, most int, private bool) (out []practice.Change, err error) {
	of, args := "", []any{who.Studio, before, most}
	if student != "" {
		of, args = "AND student = $4 ", append(args, student)
	}
	err = s.view(ctx, who, func(t *tx) error {
		rows, err := t.QueryContext(ctx, selectChange+of+`AND ($2 = '' OR seq < (SELECT seq FROM changes WHERE studio = $1 AND id = $2))
			ORDER BY seq DESC LIMIT $3`, args...)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			c, err := t.scanChange(rows, private)
			if err != nil {
				return err
			}
			out = append(out, c)
		}
		return rows.Err()
	})
	return out, err
}

// Trail hands the audit trail of the whole studio to fn, in the order it was
// written. An error of fn ends it and is returned.
func (s *Store) Trail(ctx context.Context, who practice.Who, fn func(practice.Change) error) error {
	return s.view(ctx, who, func(t *tx) error { return t.changes(ctx, fn, "") })
}

func (t *tx) changes(ctx context.Context, fn func(practice.Change) error, where string, args ...any) error {
	rows, err := t.QueryContext(ctx, selectChange+where+" ORDER BY seq", append([]any{t.who.Studio}, args...)...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		c, err := t.scanChange(rows, true)
		if err == nil {
			err = fn(c)
		}
		if err != nil {
			return err
		}
	}
	return rows.Err()
}

func (t *tx) scanChange(rows *sql.Rows, private bool) (c practice.Change, err error) {
	var was, became, sealed string
	if err := rows.Scan(&c.ID, &c.At.UnixNano, &c.At.Offset, &c.By, &c.Role, &c.Act, &c.Noun, &c.Student, &c.Key, &c.Rows,
		&was, &became, &sealed); err != nil {
		return c, err
	}
	c.Before, c.After = raw(was), raw(became)
	if sealed == "" || t.s.seal == nil || !private {
		return c, nil
	}
	whole, err := t.s.seal.Open(place(t.who.Studio, changeNoun, c.ID), sealed)
	if err != nil {
		return c, err
	}
	var b both
	if err := json.Unmarshal(whole, &b); err != nil {
		return c, broken(err)
	}
	c.Before, c.After = b.Before, b.After
	return c, nil
}

func raw(s string) json.RawMessage {
	if s == "" {
		return nil
	}
	return json.RawMessage(s)
}
