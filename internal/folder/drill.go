package folder

import (
	"fmt"
	"io"
	"slices"

	"aplomb/internal/practice"
)

// readDrills reads drills.json, the studio's own drills, and lays them over the
// library.
func (r *reader) readDrills() {
	r.file("drills.json", false, func(file io.Reader, l *list) {
		r.studio.Own = readDrills(file, l, r.known)
	})
	r.studio.Library = overlay(r.known.library, r.studio.Own)
	r.known.library = r.studio.Library
}

// readDrills returns the sound drills and adds every id to the known ones.
func readDrills(file io.Reader, l *list, k *known) (own []practice.Drill) {
	var recs []*record
	ids := readNamed(file, l,
		func(d *practice.Drill, rec *record) []practice.Fault { return checkDrill(d, k) },
		func(d practice.Drill, rec *record) { own, recs = append(own, d), append(recs, rec) })
	for id := range ids.ids {
		k.drills.add(id)
	}
	k.drills.open = ids.open
	for i, d := range own { // a drill may need one that stands further down
		recs[i].check(k.needs(d))
	}
	return own
}

func checkDrill(d *practice.Drill, k *known) []practice.Fault {
	fs := d.Check()
	if f := k.component(d.Component); f != nil {
		fs = append(fs, *f)
	}
	return fs
}

// needs lists the drills and floor tests a drill needs that there are not.
func (k *known) needs(d practice.Drill) []practice.Fault {
	var refs []reference
	for i, need := range d.Needs {
		for j, shown := range need.Any {
			at := fmt.Sprintf("needs[%d].any[%d].", i, j)
			if shown.Drill != "" {
				refs = append(refs, reference{at + "drill", shown.Drill, &k.drills})
			}
			if shown.Test != "" {
				refs = append(refs, reference{at + "test", shown.Test, &k.tests})
			}
		}
	}
	return append(badIDs(refs), k.lookUp(refs...)...)
}

// overlay is the library with the studio's own drills in place of those of the
// same id, and the others after them.
func overlay(base *practice.Library, own []practice.Drill) *practice.Library {
	merged := *base
	merged.Drills = slices.Clone(base.Drills)
	for _, d := range own {
		same := func(b practice.Drill) bool { return b.ID == d.ID }
		if i := slices.IndexFunc(merged.Drills, same); i >= 0 {
			merged.Drills[i] = d
		} else {
			merged.Drills = append(merged.Drills, d)
		}
	}
	return &merged
}
