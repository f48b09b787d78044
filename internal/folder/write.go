package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"aplomb/internal/practice"
)

// LeftOutFile is the file that says that a folder is without its health notes.
const LeftOutFile = "HEALTH-NOTES-LEFT-OUT.txt"

// Write writes a studio into the folder dir, which it makes if need be, in the
// format [Format]. It holds one student at a time. Every file is first written
// whole beside its place, and only when all are written are they put there:
// when writing fails the old files stand as they were, and at any time each
// file is the old one or the new one, whole. The files can be read by their
// owner only. In notes of the log, the line end CR LF becomes LF.
func Write(dir string, src Source) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("folder: %w", err)
	}
	w := &writer{dir: dir}
	leftOut, err := w.studio(src)
	if err == nil {
		err = w.close()
	}
	if err = errors.Join(err, w.place(err)); err != nil {
		return fmt.Errorf("folder: %w", err)
	}
	if leftOut {
		return nil
	}
	if err := os.Remove(filepath.Join(dir, LeftOutFile)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("folder: %w", err)
	}
	return nil
}

// studio writes every file beside its place, and says whether one of them tells
// of health notes left out.
func (w *writer) studio(src Source) (leftOut bool, err error) {
	head, err := src.Head()
	if err != nil {
		return false, err
	}
	if err := w.head(head); err != nil {
		return false, err
	}
	if err := w.records(src); err != nil {
		return false, err
	}
	trail := newLines(w, changes.file)
	for change, err := range src.Trail() {
		if err == nil {
			err = trail.Encode(change)
		}
		if err != nil {
			return false, err
		}
	}
	return head.LeftOut != "", nil
}

func (w *writer) head(h Head) error {
	if h.LeftOut != "" {
		w.create(LeftOutFile).WriteString(h.LeftOut + "\n") // put in its place before what it speaks of
	}
	h.Studio.Format, w.guarded = Format, h.Guarded
	return errors.Join(
		w.object("studio.json", h.Studio),
		newList[practice.Drill](w, "drills.json").add(h.Own...),
		newList[practice.Person](w, "people.json").add(h.People...),
		newList[practice.Guardian](w, "guardians.json").add(h.Guardians...),
		newList[practice.Cover](w, "covers.json").add(h.Covers...),
		newList[practice.Wish](w, "locks.json").add(h.Wishes...))
}

// records writes the files of the students side by side, one student at a time.
func (w *writer) records(src Source) error {
	students := newList[practice.Student](w, "students.json")
	handed, noted := newLines(w, weeks.file), newLines(w, notes.file)
	agreed, decided := newLines(w, consents.file), newLines(w, decisions.file)
	tries, counts := newRows(w, &attempts), newRows(w, &tallies)
	said, tests, marked := newRows(w, &sessions), newRows(w, &probes), newRows(w, &marks)
	told, detoured, received := newRows(w, &setWords), newRows(w, &detours), newRows(w, &receipts)
	for r, err := range src.Records() {
		if err == nil {
			err = errors.Join(students.add(r.Student),
				addLines(handed, r.Log.Weeks),
				tries.add(r.Log.Attempts), counts.add(r.Log.Tallies), said.add(r.Log.Sessions),
				tests.add(r.Log.Probes), marked.add(r.Log.Marks),
				told.add(r.Log.Words), detoured.add(r.Log.Detours), received.add(r.Receipts),
				addLines(noted, r.Notes), addLines(agreed, r.Consents), addLines(decided, r.Decisions))
		}
		if err != nil {
			return err
		}
	}
	return nil
}
