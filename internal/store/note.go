package store

import (
	"context"

	"aplomb/internal/practice"
)

var notes = &kind[practice.Note]{
	noun: practice.NoteNoun, table: "notes", order: "at_ns, id",
	id:      func(v practice.Note) string { return v.ID },
	student: func(v practice.Note) string { return v.Student },
	columns: []string{"student", "at_ns"},
	values:  func(v practice.Note) []any { return []any{v.Student, v.At.UnixNano} },
	private: &private[practice.Note]{
		split: func(v practice.Note) (practice.Note, []byte, error) {
			if !v.Private() || v.Text == "" {
				return v, nil, nil
			}
			rest := []byte(v.Text)
			v.Text = ""
			return v, rest, nil
		},
		join:  func(v *practice.Note, rest []byte) error { v.Text = string(rest); return nil },
		stays: func(was, is practice.Note) bool { return is.Private() && is.Text == "" },
	},
}

// Notes is every note of a student in order of time. Where the key is not here,
// a health note has no text.
func (s *Store) Notes(ctx context.Context, who practice.Who, student string) ([]practice.Kept[practice.Note], error) {
	return all(ctx, s, who, notes, "AND student = $2", student)
}

// PutNote keeps a note.
func (s *Store) PutNote(ctx context.Context, who practice.Who, v practice.Note, base int64) (int64, error) {
	return save(ctx, s, who, notes, v, base)
}

// RemoveNote takes a note of a student out.
func (s *Store) RemoveNote(ctx context.Context, who practice.Who, student, id string) error {
	return s.change(ctx, who, func(t *tx) error { return remove(ctx, t, notes, id, student) })
}
