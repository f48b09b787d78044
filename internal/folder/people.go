package folder

import (
	"fmt"
	"io"
	"strings"

	"aplomb/internal/practice"
)

// readPeople reads people.json, and learns whom the other files may name.
func (r *reader) readPeople() {
	r.known.people.open = true
	there := r.file("people.json", false, func(file io.Reader, l *list) {
		r.known.people = readNamed(file, l, r.known.checkPerson, func(p practice.Person, _ *record) {
			give(r, l, Sink.Person, p)
		})
	})
	if !there {
		r.known.people.open = false
	}
}

// checkPerson also notes an email that somebody else has, in whatever case.
func (k *known) checkPerson(p *practice.Person, rec *record) []practice.Fault {
	fs := p.Check()
	if p.Email == "" {
		return fs
	}
	for _, f := range k.emails.repeated("email", strings.ToLower(p.Email), rec.lineOf("email")) {
		f.Value = practice.Short(p.Email)
		fs = append(fs, f)
	}
	return fs
}

func (k *known) checkGuardian(g *practice.Guardian, _ *record) []practice.Fault {
	fs := g.Check()
	for i, id := range g.Students {
		fs = append(fs, k.lookUp(reference{fmt.Sprintf("students[%d]", i), id, &k.students})...)
	}
	return fs
}

func (k *known) checkCover(c *practice.Cover, _ *record) []practice.Fault {
	return append(c.Check(), k.lookUp(reference{"for", c.For, &k.people}, reference{"by", c.By, &k.people},
		reference{"student", c.Student, &k.students})...)
}
