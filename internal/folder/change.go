package folder

import "aplomb/internal/practice"

// maxChange is the most bytes a line of the audit trail may take: a record as
// it was before, and after.
const maxChange = 3 * MaxRecord

// What the audit trail speaks of is not looked up: it may be gone.
var changes = lines[practice.Change]{
	file: "changes.jsonl", limit: maxChange, field: "id",
	key:   func(c *practice.Change) string { return c.ID },
	check: func(c *practice.Change) []practice.Fault { return c.Check() },
	refer: func(*practice.Change, *known) []practice.Fault { return nil },
	to:    Sink.Change,
}
