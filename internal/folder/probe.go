package folder

import "aplomb/internal/practice"

type probe = practice.ProbeResult

var probes = table[probe]{
	file: "probes.csv",
	columns: []column[probe]{
		text("id", func(p *probe) *string { return &p.ID }).required(),
		shared("student", func(p *probe) *string { return &p.Student }).required(),
		instant("at", func(p *probe) *practice.Instant { return &p.At }).required(),
		shared("component", func(p *probe) *practice.Component { return &p.Component }),
		shared("test", func(p *probe) *string { return &p.Test }).required(),
		number("value", func(p *probe) *float64 { return &p.Value }).required(),
		shared("unit", func(p *probe) *string { return &p.Unit }).required(),
		shared("by", func(p *probe) *string { return &p.By }),
	},
	id:      func(p *probe) string { return p.ID },
	student: func(p *probe) string { return p.Student },
	to:      Sink.Probe,
	check:   func(p *probe) []practice.Fault { return p.Check() },
	refer: func(p *probe, k *known) []practice.Fault {
		fs := k.lookUp(reference{"student", p.Student, &k.students}, reference{"test", p.Test, &k.tests})
		if f := k.component(p.Component); f != nil {
			return append(fs, *f)
		}
		if test, ok := k.library.Probe(p.Test); ok {
			fs = append(fs, test.CheckResult(*p)...)
			p.Component = test.Component
		}
		return fs
	},
}
