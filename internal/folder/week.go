package folder

import (
	"fmt"
	"io"

	"aplomb/internal/practice"
)

// readWeeks reads weeks.jsonl, and learns which weeks sessions may name. Where
// it has none they may name any: the weeks are kept elsewhere.
func (r *reader) readWeeks() {
	r.known.weeks.open = true
	r.file("weeks.jsonl", false, func(file io.Reader, l *list) {
		whole := readWeeks(file, l, r.known, func(w practice.Week) {
			r.known.weeks.add(weekKey(w.Student, w.ISOWeek.String()))
			if log := r.studio.Logs[w.Student]; log != nil {
				log.Weeks = append(log.Weeks, w)
			}
		})
		r.known.weeks.open = !whole || len(l.faults) > 0 || len(r.known.weeks.ids) == 0
	})
}

func readWeeks(file io.Reader, l *list, k *known, keep func(practice.Week)) bool {
	seen := firstLines{}
	return readLines(file, l, func(w practice.Week, rec *record) {
		if rec.sound {
			rec.check(append(w.Check(), k.week(w)...))
		}
		if rec.sound {
			key := fmt.Sprintf("%s, version %d", weekKey(w.Student, w.ISOWeek.String()), w.Version)
			rec.check(seen.repeated("iso_week", key, rec.lineOf("iso_week")))
		}
		if rec.sound {
			keep(w)
		}
	})
}

// week lists what makes a week none that was handed over to a student of the
// studio. Its drills are not looked up: it keeps their texts, and outlives
// them.
func (k *known) week(w practice.Week) []practice.Fault {
	fs := k.lookUp(reference{"student", w.Student, &k.students})
	if w.Status == practice.Draft {
		fs = append(fs, practice.Fault{Code: practice.Contradiction, Field: "status", Value: string(w.Status),
			Want: "handed-over or done: this file has no drafts"})
	}
	return fs
}
