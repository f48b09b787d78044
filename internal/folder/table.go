package folder

import (
	"io"
	"iter"
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// table is one CSV file of a studio: its columns, and what makes a row
// impossible.
type table[T any] struct {
	file    string
	columns []column[T]
	id      func(*T) string
	student func(*T) string
	to      func(Sink, T) error
	check   func(*T) []practice.Fault
	// refer lists what the row names that the studio does not have.
	refer func(*T, *known) []practice.Fault
}

func (t *table[T]) names() []string {
	names := make([]string, len(t.columns))
	for i, c := range t.columns {
		names[i] = c.name
	}
	return names
}

// rows yields the sound rows of a file and notes the faults of the others.
// Where k is nil nothing is looked up.
func (t *table[T]) rows(file io.Reader, k *known, l *list) iter.Seq[T] {
	return func(yield func(T) bool) {
		r := newRowReader(file, l)
		if r == nil {
			return
		}
		d := &decoder[T]{table: t, rowReader: r, known: k, pool: pool{}, seen: firstLines{}}
		if !d.columns() {
			return
		}
		for cells, ok := r.next(); ok; cells, ok = r.next() {
			if d.decode(cells) && !yield(d.row) {
				return
			}
		}
	}
}

// decoder turns the cells of one file into rows.
type decoder[T any] struct {
	*table[T]
	*rowReader
	known *known
	pool  pool
	seen  firstLines
	of    []int // the table's column for each of the file's, -1 none
	row   T
	wrong []string // fields of the row that have a fault
	// incomplete: a column that must be there is not, and so no row is sound.
	incomplete bool
}

// columns finds the table's columns in the header. It is false where going on
// would say nothing new.
func (d *decoder[T]) columns() bool {
	names := d.names()
	if !slices.ContainsFunc(d.header, func(h string) bool { return slices.Contains(names, h) }) {
		d.noHeader(names)
		return false
	}
	for i, h := range d.header {
		if d.list.full() {
			return false
		}
		at := slices.Index(names, h)
		switch {
		case at < 0:
			d.list.add(d.line(i), practice.Fault{Code: practice.UnknownColumn, Value: practice.Short(h),
				Near: practice.Nearest(h, names), Want: strings.Join(names, ", ")})
		case slices.Contains(d.of, at):
			d.list.add(d.line(i), practice.Fault{Code: practice.RepeatedColumn, Value: h})
			at = -1
		}
		d.of = append(d.of, at)
	}
	for i, c := range d.table.columns {
		if c.must && !slices.Contains(d.of, i) {
			d.list.add(d.line(0), practice.Fault{Code: practice.MissingColumn, Value: c.name})
			d.incomplete = true
		}
	}
	return true
}

// noHeader tells another separator from no header at all.
func (d *decoder[T]) noHeader(names []string) {
	for _, separator := range []struct{ sign, called string }{{";", "semicolons"}, {"\t", "tabs"}} {
		for h := range strings.SplitSeq(strings.Join(d.header, ","), separator.sign) {
			if slices.Contains(names, strings.Trim(h, `" `)) {
				d.list.add(d.line(0), practice.Fault{Code: practice.WrongSeparator, Value: separator.called})
				return
			}
		}
	}
	d.list.add(d.line(0), practice.Fault{Code: practice.NoHeader, Want: strings.Join(names, ",")})
}

// decode fills the row from the cells and says whether it is sound.
func (d *decoder[T]) decode(cells []string) bool {
	var none T
	d.row, d.wrong = none, d.wrong[:0]
	for i, cell := range cells {
		if d.of[i] < 0 {
			continue
		}
		c := &d.table.columns[d.of[i]]
		if cell == "" {
			if c.must && !d.empty(i, c.name, cells) {
				return false
			}
			continue
		}
		if f := c.read(&d.row, cell, d.pool); f != nil {
			d.fault(i, *f)
		}
	}
	d.checks(d.check(&d.row))
	if d.known != nil {
		d.checks(d.refer(&d.row, d.known))
	}
	return d.unique() && len(d.wrong) == 0 && !d.incomplete
}

// empty notes an empty cell that must not be, and is false where the whole row
// is empty: such a row says nothing.
func (d *decoder[T]) empty(i int, name string, cells []string) bool {
	if strings.Join(cells, "") == "" {
		return false
	}
	d.fault(i, practice.Fault{Code: practice.MissingField, Field: name})
	return true
}

func (d *decoder[T]) fault(cell int, f practice.Fault) {
	d.list.add(d.line(cell), f)
	d.wrong = append(d.wrong, f.Field)
}

// checks notes the faults of whole rows, but none for a field that has one
// already, nor for a column that is missing.
func (d *decoder[T]) checks(fs []practice.Fault) {
	for _, f := range fs {
		cell := slices.Index(d.header, f.Field)
		switch {
		case slices.Contains(d.wrong, f.Field):
		case cell < 0 && d.must(f.Field):
			d.wrong = append(d.wrong, f.Field)
		default:
			d.fault(max(cell, 0), f)
		}
	}
}

func (d *decoder[T]) must(name string) bool {
	return slices.ContainsFunc(d.table.columns, func(c column[T]) bool { return c.must && c.name == name })
}

// unique notes an id that an earlier row has.
func (d *decoder[T]) unique() bool {
	id := d.id(&d.row)
	if id == "" || slices.Contains(d.wrong, "id") {
		return true
	}
	for _, f := range d.seen.repeated("id", id, d.line(0)) {
		d.fault(slices.Index(d.header, "id"), f)
		return false
	}
	return true
}
