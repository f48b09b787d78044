package store

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"

	"aplomb/internal/practice"
)

// Restore fills an empty database from a dump, in one transaction. A dump of an
// older schema goes into that schema, which is then brought up to date; one of
// a newer program is a store-newer fault. A database that has a studio is an
// exists-already fault, a dump that is cut off or no dump a store-broken one,
// and then the database is as empty as before.
func (s *Store) Restore(ctx context.Context, r io.Reader) error {
	dec := json.NewDecoder(r)
	dec.UseNumber()
	head, err := readHead(dec)
	if err != nil {
		return err
	}
	newest, err := s.empty(ctx)
	if err != nil {
		return err
	}
	if head.Schema > newest {
		return newer(head.Schema, newest)
	}
	if err := s.db.Migrate(ctx, head.Schema); err != nil {
		return s.fault(err)
	}
	err = s.change(ctx, practice.Who{}, func(t *tx) error { return t.restore(ctx, dec, head) })
	return errors.Join(err, s.fault(s.db.Migrate(ctx, newest)))
}

// empty is the present schema of a database without a studio.
func (s *Store) empty(ctx context.Context) (schema int64, err error) {
	err = s.view(ctx, practice.Who{}, func(t *tx) (err error) {
		var n int
		if err := t.QueryRowContext(ctx, "SELECT COUNT(*) FROM studios").Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			return practice.Fault{Code: practice.ExistsAlready, Field: string(practice.StudioNoun), Want: "an empty database"}
		}
		schema, err = t.schema(ctx)
		return err
	})
	return schema, err
}

// name is what a table or a column may be called: it becomes part of a statement.
var name = regexp.MustCompile(`^[a-z_]{1,40}$`)

func readHead(dec *json.Decoder) (head dumpHead, err error) {
	if err := dec.Decode(&head); err != nil {
		return head, broken(err)
	}
	if head.Dump != dumpFormat {
		return head, practice.Fault{Code: practice.WrongFormat, Field: "dump", Value: strconv.Itoa(head.Dump), Want: strconv.Itoa(dumpFormat)}
	}
	for _, t := range head.Tables {
		if i := slices.IndexFunc(append([]string{t.Name}, t.Columns...), func(s string) bool { return !name.MatchString(s) }); i >= 0 {
			return head, broken(fmt.Errorf("store: a dump with the table %q", t.Name))
		}
	}
	return head, nil
}

func (t *tx) restore(ctx context.Context, dec *json.Decoder, head dumpHead) error {
	b := newBulk(ctx, t)
	counts := make([]int64, len(head.Tables))
	for {
		var line json.RawMessage
		if err := dec.Decode(&line); err != nil {
			return broken(err)
		}
		if line[0] == '{' {
			if err := ends(dec, line, counts); err != nil {
				return err
			}
			break
		}
		no, values, err := readRow(line, head.Tables)
		if err != nil {
			return err
		}
		if err := b.row(head.Tables[no].Name, head.Tables[no].Columns, values); err != nil {
			return err
		}
		counts[no]++
	}
	if err := b.flush(); err != nil {
		return err
	}
	return t.s.db.Counted(ctx, t.Tx)
}

// ends checks the last line: as many rows as were written, and nothing after.
func ends(dec *json.Decoder, line []byte, counts []int64) error {
	var end dumpEnd
	if err := json.Unmarshal(line, &end); err != nil {
		return broken(err)
	}
	if !slices.Equal(end.Rows, counts) {
		return broken(fmt.Errorf("store: a dump with the rows %v, which says %v", counts, end.Rows))
	}
	if _, err := dec.Token(); err != io.EOF {
		return broken(fmt.Errorf("store: a dump that goes on after its end: %w", err))
	}
	return nil
}

func readRow(line []byte, tables []dumpTable) (no int64, values []any, err error) {
	if values, err = numbers(line); err != nil {
		return 0, nil, broken(err)
	}
	no, ok := values[0].(int64)
	if !ok || no < 0 || int(no) >= len(tables) || len(values) != len(tables[no].Columns)+1 {
		return 0, nil, broken(errors.New("store: a dump with a row that fits no table"))
	}
	return no, values[1:], nil
}

// numbers reads an array of text, numbers and nulls; a whole number is an
// int64, another a float64.
func numbers(line []byte) ([]any, error) {
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.UseNumber()
	var values []any
	if err := dec.Decode(&values); err != nil || len(values) == 0 {
		return nil, cmp.Or(err, errors.New("store: a dump with an empty row"))
	}
	for i, v := range values {
		switch v := v.(type) {
		case nil, string:
		case json.Number:
			if whole, err := v.Int64(); err == nil {
				values[i] = whole
			} else if values[i], err = v.Float64(); err != nil {
				return nil, err
			}
		default:
			return nil, fmt.Errorf("store: a dump with a value %T", v)
		}
	}
	return values, nil
}
