package folder

import (
	"cmp"
	"io"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// MaxOwnDrills is how many drills of its own a studio may have.
const MaxOwnDrills = 2000

// readDrills reads drills.json, the studio's own drills, and lays them over the
// library.
func (r *reader) readDrills() {
	r.file("drills.json", false, func(file io.Reader, l *list) {
		own := readDrills(file, l, r.known)
		for _, d := range own {
			give(r, l, Sink.Drill, d)
		}
		r.known.library = library.Merge(r.known.library, own)
	})
}

// readDrills returns the sound drills and adds every id to the known ones.
func readDrills(file io.Reader, l *list, k *known) (own []practice.Drill) {
	records := map[string]*record{}
	none := func(*practice.Drill, *record) []practice.Fault { return nil }
	ids := readNamed(file, l, none, func(d practice.Drill, rec *record) {
		own = append(own, d)
		records[d.ID] = rec
	})
	for id := range ids.ids {
		k.drills.add(id)
	}
	k.drills.open = ids.open
	if len(own) > MaxOwnDrills {
		l.add(1, practice.Fault{Code: practice.OutOfRange, Value: strconv.Itoa(len(own)) + " drills",
			Want: "at most " + strconv.Itoa(MaxOwnDrills)})
		return nil
	}
	for _, f := range library.CheckOwn(k.library, own) {
		if f.Code == practice.UnknownID && k.drills.has(f.Value) {
			continue // a drill that has its own fault
		}
		if rec, field := owner(records, f.Field); rec != nil {
			f.Field = field
			rec.check([]practice.Fault{f})
		} else {
			l.add(1, f) // a drill of the base, spoilt by the studio's own
		}
	}
	if !l.full() {
		slices.SortStableFunc(l.faults, func(a, b practice.Fault) int { return cmp.Compare(a.Line, b.Line) })
	}
	return own
}

// owner is the record a fault of the library belongs to, and the field in it:
// drills[id].field.
func owner(records map[string]*record, path string) (*record, string) {
	id, field, _ := strings.Cut(strings.TrimPrefix(path, "drills["), "].")
	return records[id], field
}
