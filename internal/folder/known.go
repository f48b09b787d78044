package folder

import (
	"maps"
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// known is what the rows of a studio may name.
type known struct {
	library  *practice.Library
	people   names
	students names
	groups   names
	drills   names
	tests    names
	weeks    names // by weekKey
	emails   firstLines
}

// names is a set of ids. Where some could not be read it is open, and takes
// every id: one fault in a file must not make a thousand in another.
type names struct {
	ids  map[string]bool
	open bool
}

func (n *names) add(id string) {
	if n.ids == nil {
		n.ids = map[string]bool{}
	}
	n.ids[id] = true
}

func (n *names) has(id string) bool { return n.open || n.ids[id] }

// nearest is the id most like this one, empty where looking for it would take
// long.
func (n *names) nearest(id string) string {
	if len(n.ids) > 10_000 {
		return ""
	}
	return practice.Nearest(id, slices.Sorted(maps.Keys(n.ids)))
}

func newKnown(library *practice.Library) *known {
	k := &known{library: library, emails: firstLines{}}
	for _, d := range library.Drills {
		k.drills.add(d.ID)
	}
	for _, p := range library.Probes {
		k.tests.add(p.ID)
	}
	return k
}

// weekKey names the weeks handed over to one student for one ISO week.
func weekKey(student, week string) string { return student + " " + week }

// reference is a field that names something by its id.
type reference struct {
	field, id string
	among     *names
}

// lookUp lists the references that lead nowhere. An id that cannot be one has
// its fault already.
func (k *known) lookUp(references ...reference) (fs []practice.Fault) {
	for _, r := range references {
		if practice.ValidID(r.id) && !r.among.has(r.id) {
			fs = append(fs, practice.Fault{Code: practice.UnknownID, Field: r.field, Value: r.id, Near: r.among.nearest(r.id)})
		}
	}
	return fs
}

// component is the fault of a component the library does not have, or nil.
func (k *known) component(c practice.Component) *practice.Fault {
	var known []string
	for _, info := range k.library.Components {
		if c == info.Name {
			return nil
		}
		known = append(known, string(info.Name))
	}
	if c == "" {
		return nil
	}
	return &practice.Fault{Code: practice.UnknownWord, Field: "component", Value: practice.Short(string(c)),
		Near: practice.Nearest(string(c), known), Want: strings.Join(known, ", ")}
}
