package folder

import (
	"io"

	"aplomb/internal/practice"
)

// lines is one file of JSON objects, one a line: what tells an object apart
// from the others, and what makes one impossible.
type lines[T any] struct {
	file  string
	limit int    // the most bytes of a line
	field string // shown where a key comes twice
	key   func(*T) string
	check func(*T) []practice.Fault
	// refer lists what the object names that the studio does not have.
	refer func(*T, *known) []practice.Fault
	to    func(Sink, T) error
}

// read gives the sound objects to keep and notes the faults of the others. It
// says whether all lines were read.
func (ls *lines[T]) read(file io.Reader, k *known, l *list, keep func(T)) (whole bool) {
	seen := firstLines{}
	return readLines(file, ls.limit, l, func(v T, rec *record) {
		if rec.sound {
			rec.check(append(ls.check(&v), ls.refer(&v, k)...))
		}
		if rec.sound {
			rec.check(seen.repeated(ls.field, ls.key(&v), rec.lineOf(ls.field)))
		}
		if rec.sound {
			keep(v)
		}
	})
}
