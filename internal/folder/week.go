package folder

import (
	"fmt"
	"io"

	"aplomb/internal/practice"
)

var weeks = lines[practice.Week]{
	file: "weeks.jsonl", limit: MaxRecord, field: "iso_week",
	key:   version,
	check: func(w *practice.Week) []practice.Fault { return w.Check() },
	// Its drills are not looked up: a week handed over keeps their texts, and
	// outlives them.
	refer: func(w *practice.Week, k *known) []practice.Fault {
		fs := k.lookUp(reference{"student", w.Student, &k.students})
		if w.Status == practice.Draft {
			fs = append(fs, practice.Fault{Code: practice.Contradiction, Field: "status", Value: string(w.Status),
				Want: "handed-over or done: a draft is worked out anew, and not kept"})
		}
		return fs
	},
	to: Sink.Week,
}

// version is what tells a week apart from every other.
func version(w *practice.Week) string {
	return fmt.Sprintf("%s, version %d", weekKey(w.Student, w.ISOWeek.String()), w.Version)
}

// readWeeks reads weeks.jsonl, and learns which weeks sessions may name. Where
// it has none they may name any: the weeks are kept elsewhere.
func (r *reader) readWeeks() {
	r.known.weeks.open = true
	r.file(weeks.file, false, func(file io.Reader, l *list) {
		whole := weeks.read(file, r.known, l, func(w practice.Week) {
			r.known.weeks.add(weekKey(w.Student, w.ISOWeek.String()))
			give(r, l, weeks.to, w)
		})
		r.known.weeks.open = !whole || len(l.faults) > 0 || len(r.known.weeks.ids) == 0
	})
}
