package folder

import (
	"fmt"
	"io"

	"aplomb/internal/practice"
)

// readWishes reads locks.json.
func (r *reader) readWishes() {
	r.file("locks.json", false, func(file io.Reader, l *list) {
		readWishes(file, l, r.known, func(w practice.Wish) { give(r, l, Sink.Wish, w) })
	})
}

func readWishes(file io.Reader, l *list, k *known, keep func(practice.Wish)) {
	readList(file, l, func(w practice.Wish, rec *record) {
		if rec.sound {
			rec.check(append(w.Check(), k.wish(w)...))
		}
		if rec.sound {
			keep(w)
		}
	})
}

// wish lists what a wish names that the studio does not have.
func (k *known) wish(w practice.Wish) []practice.Fault {
	refs := []reference{{"student", w.Student, &k.students}, {"group", w.Group, &k.groups}}
	for i, lock := range w.Locks {
		refs = append(refs, reference{fmt.Sprintf("locks[%d].drill", i), lock.Drill, &k.drills})
	}
	for i, ban := range w.Bans {
		refs = append(refs, reference{fmt.Sprintf("bans[%d]", i), ban, &k.drills})
	}
	for i, cue := range w.Cues {
		refs = append(refs, reference{fmt.Sprintf("cues[%d].drill", i), cue.Drill, &k.drills})
	}
	return append(badIDs(refs), k.lookUp(refs...)...)
}

// badIDs lists the references that are no ids at all; an empty one names
// nothing and is left to the rules of its own field.
func badIDs(refs []reference) (fs []practice.Fault) {
	for _, r := range refs {
		required := r.field != "student" && r.field != "group"
		if !practice.ValidID(r.id) && (required || r.id != "") {
			fs = append(fs, practice.Fault{Code: practice.BadID, Field: r.field, Value: practice.Short(r.id)})
		}
	}
	return fs
}
