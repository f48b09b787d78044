package week

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// maxFile is the most bytes a problem may have: a thousand drills take under
// a third of a megabyte.
const maxFile = 8 << 20

// Decode reads and validates one problem in JSON. Every field must be one the
// program knows, given once, and of the right type; lists of locks, bans and
// short sessions, the name, a drill's bonus and last_week may be left out. A
// byte-order mark is skipped. What is wrong with the content comes as a
// [Fault] or as [Faults], with the line; an error of r comes as it is.
func Decode(r io.Reader) (Problem, error) {
	src, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return Problem{}, fmt.Errorf("reading a week's problem: %w", err)
	}
	if len(src) > maxFile {
		return Problem{}, Fault{Problem: "larger than 8 MB", Remedy: "give one problem a file"}
	}
	src = bytes.TrimPrefix(src, []byte("\ufeff"))
	d := decoder{src: src, json: json.NewDecoder(bytes.NewReader(src)), lines: map[string]int{}}
	d.json.UseNumber()
	if !utf8.Valid(src) {
		return Problem{}, Fault{Line: d.line(invalidAt(src)), Problem: "not UTF-8 text", Remedy: "save the file as UTF-8"}
	}
	var p Problem
	if err := d.problem(&p); err != nil {
		return Problem{}, err
	}
	if err := p.Validate(); err != nil {
		return Problem{}, d.locate(err)
	}
	return p, nil
}

func invalidAt(src []byte) int64 {
	for i := 0; i < len(src); {
		r, n := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && n == 1 {
			return int64(i)
		}
		i += n
	}
	return int64(len(src))
}

// A decoder walks the tokens of a problem and remembers on which line each
// field stands.
type decoder struct {
	src    []byte
	json   *json.Decoder
	lines  map[string]int
	offset int64 // where breaks were counted to
	breaks int
}

// line is the line of an offset, counted on from the last one asked for.
func (d *decoder) line(offset int64) int {
	offset = min(offset, int64(len(d.src)))
	if offset < d.offset {
		d.offset, d.breaks = 0, 0
	}
	d.breaks += bytes.Count(d.src[d.offset:offset], []byte("\n"))
	d.offset = offset
	return 1 + d.breaks
}

// fault makes a fault at the present place.
func (d *decoder) fault(field, problem, remedy string) error {
	return Fault{Line: d.line(d.json.InputOffset()), Field: field, Problem: problem, Remedy: remedy}
}

// syntax turns an error of the JSON reader into a fault.
func (d *decoder) syntax(field string, err error) error {
	var bad *json.SyntaxError
	switch {
	case errors.As(err, &bad):
		f := Fault{Line: d.line(bad.Offset), Field: field, Problem: "not JSON: " + bad.Error(), Remedy: "correct the text there"}
		return f
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return d.fault(field, "the file ends too early", "give the whole file")
	}
	return d.fault(field, err.Error(), "correct the text there")
}

// locate gives the faults of Validate their lines.
func (d *decoder) locate(err error) error {
	var faults Faults
	if !errors.As(err, &faults) {
		return err
	}
	for i := range faults {
		faults[i].Line = d.lines[faults[i].Field]
	}
	return faults
}

// A member is one known field of an object and how to read it.
type member struct {
	name     string
	optional bool
	read     func(field string) error
}

// into reads a plain value of the type named by what.
func into[T any](d *decoder, v *T, what string) func(string) error {
	return func(field string) error {
		var raw json.RawMessage
		if err := d.json.Decode(&raw); err != nil {
			return d.syntax(field, err)
		}
		err := json.Unmarshal(raw, v)
		if half, ok := any(v).(*HalfMinutes); ok && err != nil {
			return d.fault(field, half.UnmarshalJSON(raw).Error(), "give minutes in halves, as 2.5")
		}
		if err != nil || string(raw) == "null" {
			return d.fault(field, fmt.Sprintf("%s is not %s", shorten(string(raw)), what), "write "+what)
		}
		return nil
	}
}

const (
	text    = "a text in quotes"
	whole   = "a whole number"
	real    = "a number"
	minutes = "a number of minutes"
	yesNo   = "true or false"
)

// object reads an object with the given members.
func (d *decoder) object(field string, members []member) error {
	token, err := d.json.Token()
	if err != nil {
		return d.syntax(field, err)
	}
	if token != json.Delim('{') {
		return d.fault(field, "not an object in braces", "write an object in braces")
	}
	d.lines[field] = d.line(d.json.InputOffset())
	dot := field
	if dot != "" {
		dot += "."
	}
	seen := map[string]bool{}
	for d.json.More() {
		token, err := d.json.Token()
		if err != nil {
			return d.syntax(field, err)
		}
		name := token.(string)
		if seen[name] {
			return d.fault(dot+name, "given twice", "keep one")
		}
		seen[name] = true
		if err := d.member(dot, name, members); err != nil {
			return err
		}
	}
	if _, err := d.json.Token(); err != nil {
		return d.syntax(field, err)
	}
	for _, m := range members {
		if !m.optional && !seen[m.name] {
			return d.fault(dot+m.name, "missing", "add the field")
		}
	}
	return nil
}

func (d *decoder) member(dot, name string, members []member) error {
	known := make([]string, len(members))
	for i, m := range members {
		if m.name == name {
			d.lines[dot+name] = d.line(d.json.InputOffset())
			return m.read(dot + name)
		}
		known[i] = m.name
	}
	return d.fault(dot+shorten(name), "unknown field", didYouMean(name, known))
}

// listOf reads a list, each element by itself. null is an empty list, as Go
// writes a nil slice.
func listOf[T any](d *decoder, list *[]T, read func(field string, v *T) error) func(string) error {
	return func(field string) error {
		token, err := d.json.Token()
		if err != nil {
			return d.syntax(field, err)
		}
		d.lines[field] = d.line(d.json.InputOffset())
		if token == nil {
			return nil
		}
		if token != json.Delim('[') {
			return d.fault(field, "not a list in brackets", "write a list in brackets")
		}
		for d.json.More() {
			var v T
			if err := read(fmt.Sprintf("%s[%d]", field, len(*list)), &v); err != nil {
				return err
			}
			*list = append(*list, v)
		}
		if _, err := d.json.Token(); err != nil {
			return d.syntax(field, err)
		}
		return nil
	}
}
