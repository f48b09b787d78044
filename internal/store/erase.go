package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"slices"

	"aplomb/internal/practice"
)

// Erase forgets a student: the record, the log, notes, links and sign-ins, a
// guardian of nobody else, and what the audit trail holds of them. One line
// stays, which says that a student was erased, by whom and when, under a key
// that means nothing else; the key is to be kept outside the backups, for
// EraseByKey. The files are then rid of the bytes; an error of that comes with
// the key of what is erased nonetheless.
func (s *Store) Erase(ctx context.Context, who practice.Who, student string) (eraseKey string, err error) {
	err = s.change(ctx, who, func(t *tx) (err error) {
		eraseKey, err = t.erase(ctx, student)
		return err
	})
	if err != nil {
		return "", err
	}
	return eraseKey, s.db.Scrub(ctx)
}

// EraseByKey forgets the students with these keys, of all studios, after a
// backup that still had them was restored. A key nobody has is passed over. It
// says how many there were.
func (s *Store) EraseByKey(ctx context.Context, keys []string) (erased int, err error) {
	err = s.change(ctx, practice.Who{}, func(t *tx) error {
		for _, key := range keys {
			var studio, student string
			row := t.QueryRowContext(ctx, "SELECT studio, id FROM students WHERE erase_key = $1", key)
			if err := row.Scan(&studio, &student); errors.Is(err, sql.ErrNoRows) {
				continue
			} else if err != nil {
				return err
			}
			t.who = practice.Who{Studio: studio, ID: string(practice.AtTheDesk), Role: practice.AtTheDesk}
			if _, err := t.erase(ctx, student); err != nil {
				return err
			}
			erased++
		}
		return nil
	})
	if err != nil || erased == 0 {
		return 0, err
	}
	return erased, s.db.Scrub(ctx)
}

func (t *tx) erase(ctx context.Context, student string) (key string, err error) {
	row := t.QueryRowContext(ctx, "SELECT erase_key FROM students WHERE studio = $1 AND id = $2", t.who.Studio, student)
	if err := row.Scan(&key); errors.Is(err, sql.ErrNoRows) {
		return "", notFound(practice.StudentNoun, student)
	} else if err != nil {
		return "", err
	}
	for _, forget := range []func(context.Context, string) error{t.eraseGuardians, t.eraseCovers, t.eraseMentions, t.eraseStudent} {
		if err := forget(ctx, student); err != nil {
			return "", err
		}
	}
	return key, t.record(ctx, practice.Change{Act: practice.Erased, Noun: practice.StudentNoun, Key: key}, side{}, side{})
}

// eraseStudent removes the student with all that hangs on it, by the cascade of
// the schema, and what hangs on the id alone.
func (t *tx) eraseStudent(ctx context.Context, student string) error {
	return t.each(ctx, student,
		"DELETE FROM students WHERE studio = $1 AND id = $2",
		"DELETE FROM doors WHERE studio = $1 AND of_id = $2 AND opens = 'student'",
		"DELETE FROM sign_ins WHERE studio = $1 AND who = $2 AND role = 'student'",
		"DELETE FROM changes WHERE studio = $1 AND (student = $2 OR by_id = $2 AND role = 'student')")
}

// eraseGuardians takes the student from its guardians; one who answers for
// nobody else goes.
func (t *tx) eraseGuardians(ctx context.Context, student string) error {
	kept, err := list(ctx, t, guardians, "")
	if err != nil {
		return err
	}
	for _, g := range kept {
		others := slices.DeleteFunc(slices.Clone(g.Value.Students), func(id string) bool { return id == student })
		if len(others) == len(g.Value.Students) {
			continue
		}
		if err := t.withoutStudent(ctx, g, others); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) withoutStudent(ctx context.Context, g practice.Kept[practice.Guardian], others []string) error {
	if len(others) == 0 {
		return t.each(ctx, g.Value.ID,
			"DELETE FROM guardians WHERE studio = $1 AND id = $2",
			"DELETE FROM doors WHERE studio = $1 AND of_id = $2 AND opens = 'guardian'",
			"DELETE FROM sign_ins WHERE studio = $1 AND who = $2 AND role = 'guardian'",
			"DELETE FROM changes WHERE studio = $1 AND noun = 'guardian' AND thing = $2")
	}
	g.Value.Students = others
	doc, err := marshal(g.Value)
	if err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, "UPDATE guardians SET doc = $3, rev = rev + 1 WHERE studio = $1 AND id = $2", t.who.Studio, g.Value.ID, string(doc))
	return err
}

// eraseCovers removes the covers for the student alone.
func (t *tx) eraseCovers(ctx context.Context, student string) error {
	kept, err := list(ctx, t, covers, "")
	if err != nil {
		return err
	}
	for _, c := range kept {
		if c.Value.Student != student {
			continue
		}
		if err := t.each(ctx, c.Value.ID, "DELETE FROM covers WHERE studio = $1 AND id = $2",
			"DELETE FROM changes WHERE studio = $1 AND noun = 'cover' AND thing = $2"); err != nil {
			return err
		}
	}
	return nil
}

// eraseMentions empties the lines of the audit trail about guardians and covers
// that name the student; that something was changed, and by whom, stays.
func (t *tx) eraseMentions(ctx context.Context, student string) error {
	var lines []string
	err := t.changes(ctx, func(c practice.Change) error {
		name := []byte(`"` + student + `"`)
		if bytes.Contains(c.Before, name) || bytes.Contains(c.After, name) {
			lines = append(lines, c.ID)
		}
		return nil
	}, "AND noun IN ('cover', 'guardian')")
	if err != nil {
		return err
	}
	for _, id := range lines {
		if err := t.each(ctx, id, "UPDATE changes SET was = '', became = '' WHERE studio = $1 AND id = $2"); err != nil {
			return err
		}
	}
	return nil
}

// each runs statements about the studio and an id.
func (t *tx) each(ctx context.Context, id string, statements ...string) error {
	for _, s := range statements {
		if _, err := t.ExecContext(ctx, s, t.who.Studio, id); err != nil {
			return err
		}
	}
	return nil
}
