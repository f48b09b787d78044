package words

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"aplomb/internal/practice"
)

// Fault is what a person reads of a fault: where it is, what is wrong, and what
// would be right. A code the book has no sentence for is a mistake of the
// program: it panics.
func (b *Book) Fault(f practice.Fault) string {
	what, fix := b.faultIDs(f)
	pairs := []any{"value", f.Value, "want", f.Want, "near", f.Near}
	sentence := b.Say(what, pairs...) + " " + b.Say(fix, pairs...)
	if place := b.place(f); place != "" {
		return place + ": " + sentence
	}
	first, size := utf8.DecodeRuneInString(sentence)
	return string(unicode.ToUpper(first)) + sentence[size:]
}

// faultIDs picks the sentences that fit what is known of the fault.
func (b *Book) faultIDs(f practice.Fault) (what, fix string) {
	what = "fault." + string(f.Code)
	fix = what + ".fix"
	if f.Value == "" && b.Has(what+".empty") {
		what += ".empty"
	}
	switch {
	case f.Near != "" && b.Has(fix+".near"):
		fix += ".near"
	case f.Want != "" && b.Has(fix+".want"):
		fix += ".want"
	}
	return what, fix
}

func (b *Book) place(f practice.Fault) string {
	var parts []string
	if f.File != "" {
		parts = append(parts, f.File)
	}
	if f.Line > 0 {
		parts = append(parts, b.Say("fault.line", "line", f.Line))
	}
	if f.Field != "" {
		parts = append(parts, f.Field)
	}
	return strings.Join(parts, ", ")
}
