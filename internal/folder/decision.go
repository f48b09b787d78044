package folder

import "aplomb/internal/practice"

// One decision stands for a kind of notice of a student. Who decided is not
// looked up: people leave.
var decisions = lines[practice.Decision]{
	file: "decisions.jsonl", limit: MaxRecord, field: "kind",
	key:   func(d *practice.Decision) string { return d.Student + " " + d.Kind },
	check: func(d *practice.Decision) []practice.Fault { return d.Check() },
	refer: func(d *practice.Decision, k *known) []practice.Fault {
		return k.lookUp(reference{"student", d.Student, &k.students})
	},
	to: Sink.Decision,
}
