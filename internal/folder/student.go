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
		r.known.students = readNamed(file, l, checkStudent, func(s practice.Student, _ *record) {
			r.studio.Students = append(r.studio.Students, s)
			r.studio.Logs[s.ID] = &practice.Log{}
			r.known.groups.add(s.Group)
		})
		r.known.groups.open = len(l.faults) > 0 // a student with a fault may be of any group
	})
}

func checkStudent(s *practice.Student, rec *record) []practice.Fault {
	fs := s.Check()
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
