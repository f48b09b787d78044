package roster

import (
	"context"

	"aplomb/internal/practice"
)

// Lessons are the one-to-one lessons of a student, in order of time. One that is
// private is read with the health notes.
func (r *Roster) Lessons(ctx context.Context, who practice.Who, student string) (out []practice.Kept[practice.Note], err error) {
	notes, err := r.Notes(ctx, who, student)
	for _, k := range notes {
		if k.Value.Kind == practice.LessonNote && !k.Value.Private() {
			out = append(out, k)
		}
	}
	return out, err
}

// Lesson keeps a lesson that was given on a day: a new one at base 0, else what
// became of the one with its id. Who wrote it first stays, and so does the time
// where the day does.
func (r *Roster) Lesson(ctx context.Context, who practice.Who, n practice.Note, day practice.Date, base int64) error {
	kept, a, err := r.open(ctx, who, practice.CoachStudent, n.Student)
	if err != nil {
		return err
	}
	at, zone, fs := a.on(kept.Value, day)
	n.Kind, n.At, n.By = practice.LessonNote, at, who.ID
	if base == 0 {
		n.ID = r.newID()
	} else {
		before, err := r.lesson(ctx, who, n.Student, n.ID)
		if err != nil {
			return err
		}
		if n.By = before.By; zone.Date(before.At) == day {
			n.At = before.At
		}
	}
	if fs = append(fs, n.Check()...); len(fs) > 0 {
		return practice.Faults(fs)
	}
	_, err = r.store.PutNote(ctx, who, n, base)
	return err
}

// StrikeLesson takes a lesson away.
func (r *Roster) StrikeLesson(ctx context.Context, who practice.Who, student, id string) error {
	if _, _, err := r.open(ctx, who, practice.CoachStudent, student); err != nil {
		return err
	}
	if _, err := r.lesson(ctx, who, student, id); err != nil {
		return err
	}
	return r.store.RemoveNote(ctx, who, student, id)
}

// lesson finds a lesson of a student.
func (r *Roster) lesson(ctx context.Context, who practice.Who, student, id string) (practice.Note, error) {
	lessons, err := r.Lessons(ctx, who, student)
	if err != nil {
		return practice.Note{}, err
	}
	for _, k := range lessons {
		if k.Value.ID == id {
			return k.Value, nil
		}
	}
	return practice.Note{}, practice.Fault{Code: practice.NotFound, Field: "lesson", Value: practice.Short(id)}
}
