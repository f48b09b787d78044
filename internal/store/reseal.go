package store

import (
	"context"

	"aplomb/internal/practice"
)

// sealing are the tables with something sealed, and the noun of their places.
var sealing = []struct {
	name string
	noun practice.Noun
}{{"students", practice.StudentNoun}, {"notes", practice.NoteNoun}, {"sessions", practice.SessionNoun}, {"changes", changeNoun}}

// changeNoun is what a line of the audit trail is called where it is kept.
const changeNoun practice.Noun = "change"

// resealRows is how many values one transaction of Reseal holds, so that nobody
// waits long to write.
const resealRows = 200

// Reseal gives every sealed text of every studio to fn and keeps what it
// returns: a key is being changed. It goes in small transactions; cut off, it is
// simply begun again.
func (s *Store) Reseal(ctx context.Context, fn func(of, sealed string) (string, error)) error {
	for _, table := range sealing {
		for last := (sealedRow{}); ; {
			var err error
			if last, err = s.resealSome(ctx, table.name, table.noun, last, fn); err != nil {
				return err
			}
			if last.id == "" {
				break
			}
		}
	}
	return nil
}

type sealedRow struct{ studio, id, text string }

// resealSome does the rows after last; the last of them has no id where none
// are left.
func (s *Store) resealSome(ctx context.Context, table string, noun practice.Noun, last sealedRow, fn func(of, sealed string) (string, error)) (sealedRow, error) {
	err := s.change(ctx, practice.Who{}, func(t *tx) error {
		rows, err := t.sealedAfter(ctx, table, last)
		if err != nil {
			return err
		}
		last = sealedRow{}
		for _, r := range rows {
			text, err := fn(place(r.studio, noun, r.id), r.text)
			if err != nil {
				return err
			}
			query := "UPDATE " + table + " SET sealed = $3 WHERE studio = $1 AND id = $2 AND sealed = $4"
			if _, err := t.ExecContext(ctx, query, r.studio, r.id, text, r.text); err != nil {
				return err
			}
			last = r
		}
		return nil
	})
	return last, err
}

func (t *tx) sealedAfter(ctx context.Context, table string, last sealedRow) (out []sealedRow, err error) {
	query := "SELECT studio, id, sealed FROM " + table + " WHERE sealed <> '' AND (studio, id) > ($1, $2) ORDER BY studio, id LIMIT $3"
	rows, err := t.QueryContext(ctx, query, last.studio, last.id, resealRows)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var r sealedRow
		if err := rows.Scan(&r.studio, &r.id, &r.text); err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, rows.Err()
}
