package folder

import "aplomb/internal/practice"

type detour = practice.Detour

// The week and the drills of a detour are not looked up: a phone may tell of a
// week that was taken back meanwhile.
var detours = table[detour]{
	file: "detours.csv",
	columns: []column[detour]{
		text("id", func(d *detour) *string { return &d.ID }).required(),
		shared("student", func(d *detour) *string { return &d.Student }).required(),
		instant("at", func(d *detour) *practice.Instant { return &d.At }).required(),
		isoWeek("week", func(d *detour) *string { return &d.Week }).required(),
		count("version", func(d *detour) *int { return &d.Version }),
		weekday("day", func(d *detour) *practice.Weekday { return &d.Day }).required(),
		whole("session", func(d *detour) *int { return &d.Session }),
		word("what", practice.DetourKinds, func(d *detour) *practice.DetourKind { return &d.What }).required(),
		maybeWeekday("to", func(d *detour) *practice.Maybe[practice.Weekday] { return &d.To }),
		shared("drill", func(d *detour) *string { return &d.Drill }),
		shared("for", func(d *detour) *string { return &d.For }),
		text("reason", func(d *detour) *string { return &d.Reason }),
	},
	id:      func(d *detour) string { return d.ID },
	student: func(d *detour) string { return d.Student },
	to:      Sink.Detour,
	check:   func(d *detour) []practice.Fault { return d.Check() },
	refer: func(d *detour, k *known) []practice.Fault {
		return k.lookUp(reference{"student", d.Student, &k.students})
	},
}
