package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// notesOf is the last lesson, what else was written of a student, that about
// health apart, and the form for another note.
type notesOf struct {
	Lesson         *lessonLine // the last one
	Plain, Private []written
	Health         bool // health notes are among what this person may see
	NoKey          bool // they are sealed, and the key is not here
	New            []control
}

// written is one note.
type written struct{ Day, By, Kind, Text string }

// notesOf reads the notes, the newest first.
func (v *visit) notesOf(student string) (n notesOf, err error) {
	notes, err := v.Roster.Notes(v.ctx(), v.who(), student)
	if err != nil {
		return n, err
	}
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return n, err
	}
	n.Health = v.Roster.May(v.ctx(), v.who(), practice.SeeHealth, student) == nil
	for _, k := range slices.Backward(notes) {
		if k.Value.Kind == practice.LessonNote && !k.Value.Private() {
			if n.Lesson == nil {
				last := v.lessonLine(k.Value, names)
				n.Lesson = &last
			}
			continue // lessons have a page of their own
		}
		w := v.writtenNote(k.Value, names)
		switch {
		case !k.Value.Private():
			n.Plain = append(n.Plain, w)
			continue
		case k.Value.Text == "":
			n.NoKey, w.Text = true, v.say("note.sealed")
		}
		n.Private = append(n.Private, w)
	}
	n.New = v.noteFields(n.Health, sent{})
	return n, nil
}

func (v *visit) writtenNote(n practice.Note, names map[string]string) written {
	w := written{Day: telling.LongDate(v.Words, n.At.Date()), By: names[n.By], Kind: v.say("note." + string(n.Kind)), Text: n.Text}
	if w.By == "" {
		w.By = n.By
	}
	if n.Minutes > 0 {
		w.Kind = v.say("note.minutes", "kind", w.Kind, "minutes", n.Minutes)
	}
	return w
}

// noteFields are the fields of a new note, filled with what was sent.
func (v *visit) noteFields(health bool, from sent) []control {
	out := []control{{field{Name: "text", Label: v.say("note.write"), Kind: "text-area", Value: from.typed.Get("text"), Fault: from.faults["text"]}, "note-text", true}}
	if health {
		out = append(out, control{field{Name: "health", Label: v.say("note.about"), Kind: "ticks", Fault: from.faults["consent"],
			Options: []option{{"yes", v.say("note.health"), from.typed.Get("health") != ""}}}, "note-health", true})
	}
	return out
}

// writeNote keeps a note about a student.
func writeNote(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	n := practice.Note{Student: id, Kind: practice.PlainNote, Health: v.typed("health") != "", Text: strings.TrimSpace(v.typed("text"))}
	_, err := v.Roster.Write(v.ctx(), v.who(), n)
	if err == nil {
		return v.see("/students/" + id + "#notes")
	}
	faults, err := v.noteFaults(err)
	if err != nil {
		return err
	}
	p, err := v.studentPage(id)
	if err != nil {
		return err
	}
	p.Notes.New = v.noteFields(p.Notes.Health, sent{typed: v.r.PostForm, faults: faults})
	return v.render(http.StatusUnprocessableEntity, "student", p)
}

// noteFaults are the faults of a note by field; an error that is about something
// else comes back. Consent and the key are about the mark of health.
func (v *visit) noteFaults(err error) (map[string]string, error) {
	if at, ok := v.faulty(err); ok {
		return at, nil
	}
	var f practice.Fault
	if errors.As(err, &f) && (f.Code == practice.NoConsent || f.Code == practice.NoKey) {
		f.Field = ""
		return map[string]string{"consent": v.Words.Fault(f)}, nil
	}
	return nil, err
}
