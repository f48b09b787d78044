package roster

import (
	"context"
	"slices"

	"aplomb/internal/practice"
)

// Notes are what the person may read of what was written of the student.
func (r *Roster) Notes(ctx context.Context, who practice.Who, student string) ([]practice.Kept[practice.Note], error) {
	kept, a, err := r.open(ctx, who, practice.SeeStudent, student)
	if err != nil {
		return nil, err
	}
	notes, err := r.store.Notes(ctx, who, student)
	if err != nil || a.may(practice.SeeHealth, kept.Value) {
		return notes, err
	}
	return slices.DeleteFunc(notes, func(n practice.Kept[practice.Note]) bool { return n.Value.Private() }), nil
}

// Write keeps a new note; its id, time and writer are set here. A health note
// needs a consent that holds.
func (r *Roster) Write(ctx context.Context, who practice.Who, n practice.Note) (practice.Kept[practice.Note], error) {
	none := practice.Kept[practice.Note]{}
	_, a, err := r.open(ctx, who, writing(n), n.Student)
	if err != nil {
		return none, err
	}
	n.ID, n.At, n.By = r.newID(), a.at, who.ID
	if fs := n.Check(); len(fs) > 0 {
		return none, practice.Faults(fs)
	}
	if err := r.agreed(ctx, who, n); err != nil {
		return none, err
	}
	rev, err := r.store.PutNote(ctx, who, n, 0)
	return practice.Kept[practice.Note]{Value: n, Rev: rev}, err
}

// Rewrite keeps another text or mark of a note.
func (r *Roster) Rewrite(ctx context.Context, who practice.Who, n practice.Note, base int64) (int64, error) {
	before, err := r.note(ctx, who, n.Student, n.ID)
	if err != nil {
		return 0, err
	}
	n.At, n.By = before.At, before.By
	for _, either := range []practice.Note{before, n} {
		if _, _, err := r.open(ctx, who, writing(either), n.Student); err != nil {
			return 0, err
		}
	}
	if fs := n.Check(); len(fs) > 0 {
		return 0, practice.Faults(fs)
	}
	if err := r.agreed(ctx, who, n); err != nil {
		return 0, err
	}
	return r.store.PutNote(ctx, who, n, base)
}

// Strike takes a note away.
func (r *Roster) Strike(ctx context.Context, who practice.Who, student, id string) error {
	n, err := r.note(ctx, who, student, id)
	if err != nil {
		return err
	}
	if _, _, err := r.open(ctx, who, writing(n), student); err != nil {
		return err
	}
	return r.store.RemoveNote(ctx, who, student, id)
}

// note finds a note among those the person may read.
func (r *Roster) note(ctx context.Context, who practice.Who, student, id string) (practice.Note, error) {
	notes, err := r.Notes(ctx, who, student)
	if err != nil {
		return practice.Note{}, err
	}
	i := slices.IndexFunc(notes, func(n practice.Kept[practice.Note]) bool { return n.Value.ID == id })
	if i < 0 {
		return practice.Note{}, practice.Fault{Code: practice.NotFound, Field: "note", Value: practice.Short(id)}
	}
	return notes[i].Value, nil
}

// writing is the right that writing this note takes.
func writing(n practice.Note) practice.Right {
	if n.Private() {
		return practice.WriteHealth
	}
	return practice.CoachStudent
}

// agreed refuses a health note of a student nobody has consented for.
func (r *Roster) agreed(ctx context.Context, who practice.Who, n practice.Note) error {
	if !n.Private() {
		return nil
	}
	consents, err := r.store.Consents(ctx, who, n.Student)
	if err != nil {
		return err
	}
	for _, c := range consents {
		if c.Value.For == practice.ForHealth && c.Value.Holds() {
			return nil
		}
	}
	return practice.Fault{Code: practice.NoConsent, Field: "consent"}
}
