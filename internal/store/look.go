package store

import (
	"context"
	"database/sql"
	"errors"

	"aplomb/internal/practice"
)

const lookColumns = "student, as_of, seen, brief, doc"

func scanLook(scan func(...any) error) (l practice.Look, err error) {
	err = scan(&l.Student, &l.AsOf, &l.Seen, &l.Brief, &l.Doc)
	return l, err
}

// Looks is what was worked out of the students of the studio, as it stands, in
// brief: without the whole.
func (s *Store) Looks(ctx context.Context, who practice.Who) ([]practice.Look, error) {
	return several(ctx, s, who, func(scan func(...any) error) (l practice.Look, err error) {
		err = scan(&l.Student, &l.AsOf, &l.Seen, &l.Brief)
		return l, err
	}, "SELECT student, as_of, seen, brief FROM looks WHERE studio = $1 ORDER BY student", who.Studio)
}

// Look is what was worked out of one student; a not-found fault where nothing
// was yet.
func (s *Store) Look(ctx context.Context, who practice.Who, student string) (practice.Look, error) {
	return single(ctx, s, who, "look", scanLook, "SELECT "+lookColumns+" FROM looks WHERE studio = $1 AND student = $2", who.Studio, student)
}

// PutLook keeps it in the place of the one before. It is no change of anybody's
// record.
func (s *Store) PutLook(ctx context.Context, who practice.Who, l practice.Look) error {
	return s.exec(ctx, who, `INSERT INTO looks (studio, student, as_of, seen, brief, doc) VALUES ($1, $2, $3, $4, $5, $6)
		ON CONFLICT (studio, student) DO UPDATE SET as_of = excluded.as_of, seen = excluded.seen, brief = excluded.brief, doc = excluded.doc`,
		who.Studio, l.Student, int64(l.AsOf), l.Seen, string(l.Brief), string(l.Doc))
}

// Seen is the last line of the audit trail that bears on where the student
// stands: their own, or of the studio's drills and settings. What a coach wishes
// of a week does not. A look that knows of it is fresh.
func (s *Store) Seen(ctx context.Context, who practice.Who, student string) (seq int64, err error) {
	err = s.view(ctx, who, func(t *tx) error {
		row := t.QueryRowContext(ctx, `SELECT MAX(seq) FROM changes WHERE studio = $1
			AND (student = $2 AND noun <> 'wish' OR student = '' AND noun IN ('drill', 'studio'))`, who.Studio, student)
		var last sql.Null[int64]
		err := row.Scan(&last)
		seq = last.V
		if errors.Is(err, sql.ErrNoRows) {
			err = nil
		}
		return err
	})
	return seq, err
}

// Stale is up to most students whose look is missing, of an earlier day, or
// older than what was changed of them since; those with the oldest first.
func (s *Store) Stale(ctx context.Context, who practice.Who, day practice.Date, most int) ([]string, error) {
	return several(ctx, s, who, func(scan func(...any) error) (id string, err error) {
		err = scan(&id)
		return id, err
	}, `SELECT s.id FROM students s LEFT JOIN looks l ON l.studio = s.studio AND l.student = s.id
		WHERE s.studio = $1 AND (l.as_of IS NULL OR l.as_of < $2
			OR l.seen < (SELECT COALESCE(MAX(c.seq), 0) FROM changes c WHERE c.studio = s.studio AND c.student = s.id AND c.noun <> 'wish')
			OR l.seen < (SELECT COALESCE(MAX(c.seq), 0) FROM changes c WHERE c.studio = s.studio AND c.student = '' AND c.noun IN ('drill', 'studio')))
		ORDER BY COALESCE(l.as_of, 0), s.id LIMIT $3`, who.Studio, int64(day), most)
}
