package folder

import "aplomb/internal/practice"

// Who wrote a note, or gave a consent, is not looked up: it may be a student
// or a guardian, and people leave.
var notes = lines[practice.Note]{
	file: "notes.jsonl", limit: MaxRecord, field: "id",
	key:   func(n *practice.Note) string { return n.ID },
	check: func(n *practice.Note) []practice.Fault { return n.Check() },
	refer: func(n *practice.Note, k *known) []practice.Fault {
		return k.lookUp(reference{"student", n.Student, &k.students})
	},
	to: Sink.Note,
}

var consents = lines[practice.Consent]{
	file: "consents.jsonl", limit: MaxRecord, field: "id",
	key:   func(c *practice.Consent) string { return c.ID },
	check: func(c *practice.Consent) []practice.Fault { return c.Check() },
	refer: func(c *practice.Consent, k *known) []practice.Fault {
		return k.lookUp(reference{"student", c.Student, &k.students})
	},
	to: Sink.Consent,
}
