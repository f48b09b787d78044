package web

import "net/url"

// control is a field of a long form, or of one form among several: its id need
// not be its name, and it may be left empty. Besides the kinds of an input it may
// be ticks, a choice, a select, a text-area or a number.
type control struct {
	field
	ID       string
	Optional bool
}

// sent is a form that was sent and could not be kept: which one of the page,
// what stood in it, and what is wrong, by field.
type sent struct {
	do, at string
	typed  url.Values
	faults map[string]string
}
