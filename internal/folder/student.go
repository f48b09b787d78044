package folder

import (
	"io"

	"aplomb/internal/practice"
)

// readStudents reads students.json, and learns whom and which groups the other
// files may name.
func (r *reader) readStudents() {
	r.known.students.open, r.known.groups.open = true, true
	r.file("students.json", true, func(file io.Reader, l *list) {
		r.known.students = readNamed(file, l, r.known.checkStudent, func(s practice.Student, _ *record) {
			r.known.groups.add(s.Group)
			give(r, l, Sink.Student, s)
		})
		r.known.groups.open = len(l.faults) > 0 // a student with a fault may be of any group
	})
}

func (k *known) checkStudent(s *practice.Student, rec *record) []practice.Fault {
	fs := append(s.Check(), k.lookUp(reference{"coach", s.Coach, &k.people})...)
	for _, f := range []struct {
		name  string
		value float64
	}{{"height_m", s.HeightM}, {"mass_kg", s.MassKg}} {
		if _, given := rec.lines[f.name]; given && f.value == 0 {
			fs = append(fs, practice.Fault{Code: practice.OutOfRange, Field: f.name, Value: "0",
				Want: "what was measured, or leave the field out where it is not known"})
		}
	}
	return fs
}
