package folder

import (
	"bufio"
	"encoding/csv"
	"errors"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"aplomb/internal/practice"
)

// rowReader reads the rows of a CSV file one by one and notes what is wrong
// with the file itself: encoding, separators, quotes, length.
type rowReader struct {
	src    *input
	csv    *csv.Reader
	before int // lines before the first that csv counts
	header []string
	list   *list
}

// newRowReader reads the header; nil where there is none to go by.
func newRowReader(file io.Reader, l *list) *rowReader {
	src, err := newInput(file)
	if err != nil {
		l.add(1, readFault(err))
		return nil
	}
	r := &rowReader{src: src, list: l}
	r.restart()
	header, ok := r.next()
	switch {
	case len(l.faults) > 0: // the row after is no header
		return nil
	case !ok:
		l.add(1, practice.Fault{Code: practice.NoHeader})
		return nil
	}
	r.header = append(r.header, header...)
	return r
}

func (r *rowReader) restart() {
	r.before = r.src.lines
	r.csv = csv.NewReader(bufio.NewReaderSize(r.src, bufferSize))
	r.csv.ReuseRecord = true
	r.csv.FieldsPerRecord = -1
}

// next is the cells of the next row that can be read; they are good until the
// next call. Empty lines, and rows of nothing but empty cells, are passed over.
func (r *rowReader) next() (cells []string, ok bool) {
	for !r.list.full() {
		r.src.limit = r.csv.InputOffset() + MaxRecord
		cells, err := r.csv.Read()
		switch {
		case err == nil:
			if r.sound(cells) {
				return cells, true
			}
		case err == io.EOF:
			return nil, false
		default:
			if !r.unread(err) {
				return nil, false
			}
		}
	}
	return nil, false
}

// line is the line in the file on which the cell of the last row begins.
func (r *rowReader) line(cell int) int {
	line, _ := r.csv.FieldPos(cell)
	return r.before + line
}

// sound says whether the cells are worth reading: text, and as many as the
// header has.
func (r *rowReader) sound(cells []string) bool {
	for i, cell := range cells {
		if !utf8.ValidString(cell) {
			r.notUTF8(i, cell)
			return false
		}
	}
	if r.header == nil || len(cells) == len(r.header) {
		return true
	}
	if strings.Join(cells, "") != "" {
		r.list.add(r.line(0), practice.Fault{Code: practice.FieldCount, Value: strconv.Itoa(len(cells)),
			Want: strconv.Itoa(len(r.header))})
	}
	return false
}

// notUTF8 notes the first cell that is not UTF-8; the remedy mends the others.
func (r *rowReader) notUTF8(i int, cell string) {
	if r.list.has(practice.NotUTF8) {
		return
	}
	f := practice.Fault{Code: practice.NotUTF8, Value: practice.Short(strings.ToValidUTF8(cell, "?"))}
	if i < len(r.header) {
		f.Field = practice.Short(r.header[i])
	}
	r.list.add(r.line(i), f)
}

// unread notes why a row could not be read and says whether to go on.
func (r *rowReader) unread(err error) bool {
	var parse *csv.ParseError
	switch {
	case errors.As(err, &parse):
		f := practice.Fault{Code: practice.BadCSV, Err: err}
		if parse.Line != parse.StartLine {
			f.Near = "line " + strconv.Itoa(r.before+parse.Line)
		}
		r.list.add(r.before+parse.StartLine, f)
		return true
	case errors.Is(err, errTooLong):
		return r.tooLong()
	}
	r.list.add(r.src.lines+1, readFault(err))
	return false
}

// tooLong notes a row over the limit, or the open quote that made it so, and
// goes on with the line after.
func (r *rowReader) tooLong() bool {
	start, here := r.line(0), r.src.lines+1
	f := tooLong(MaxRecord)
	if start != here {
		f = practice.Fault{Code: practice.BadCSV, Near: "line " + strconv.Itoa(here)}
	}
	r.list.add(start, f)
	if err := r.src.skipLine(); err != nil {
		if err != io.EOF {
			r.list.add(here, readFault(err))
		}
		return false
	}
	r.restart()
	return true
}
