package folder

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// writer writes files beside their places, several at once.
type writer struct {
	dir     string
	waiting []*waiting
	err     error // of making a file; found by close
	guarded bool  // see [Head.Guarded]
}

// waiting is a file that is not yet in its place. What its buffer could not
// write the buffer says when it is flushed.
type waiting struct {
	*bufio.Writer
	name string
	file *os.File
	end  func() // what has to stand at the end
}

// create begins one file beside its place.
func (w *writer) create(name string) *waiting {
	out := &waiting{name: name, end: func() {}}
	f, err := os.CreateTemp(w.dir, "."+name+"-*")
	if err != nil {
		w.err = errors.Join(w.err, err)
		out.Writer = bufio.NewWriter(io.Discard)
		return out
	}
	out.file, out.Writer = f, bufio.NewWriterSize(f, bufferSize)
	w.waiting = append(w.waiting, out)
	return out
}

// close ends every file and brings it to the disk.
func (w *writer) close() error {
	err := w.err
	for _, file := range w.waiting {
		if err == nil {
			file.end()
			err = errors.Join(file.Flush(), file.file.Sync())
		}
	}
	return err
}

// place puts every file in its place, or, where the writing failed, takes all
// of them away again.
func (w *writer) place(failed error) (err error) {
	for _, file := range w.waiting {
		err = errors.Join(err, file.file.Close())
	}
	for _, file := range w.waiting {
		if failed == nil && err == nil {
			err = os.Rename(file.file.Name(), filepath.Join(w.dir, file.name))
		}
		if failed != nil || err != nil {
			err = errors.Join(err, os.Remove(file.file.Name()))
		}
	}
	return err
}

// newLines begins a file of one JSON object a line.
func newLines(w *writer, name string) *json.Encoder {
	e := json.NewEncoder(w.create(name))
	e.SetEscapeHTML(false)
	return e
}

func addLines[T any](to *json.Encoder, items []T) error {
	for _, v := range items {
		if err := to.Encode(v); err != nil {
			return err
		}
	}
	return nil
}

// object writes a file of one JSON object.
func (w *writer) object(name string, v any) error {
	e := newLines(w, name)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// listFile is a file of one JSON list, written object by object.
type listFile[T any] struct {
	out    *waiting
	item   bytes.Buffer
	encode *json.Encoder
	before string
}

func newList[T any](w *writer, name string) *listFile[T] {
	l := &listFile[T]{out: w.create(name), before: "[\n  "}
	l.encode = json.NewEncoder(&l.item)
	l.encode.SetEscapeHTML(false)
	l.encode.SetIndent("  ", "  ")
	l.out.end = func() {
		if l.before == "[\n  " {
			l.out.WriteString("[]\n")
		} else {
			l.out.WriteString("\n]\n")
		}
	}
	return l
}

func (l *listFile[T]) add(items ...T) error {
	for _, v := range items {
		l.item.Reset()
		if err := l.encode.Encode(v); err != nil {
			return err
		}
		l.out.WriteString(l.before)
		l.out.Write(bytes.TrimSpace(l.item.Bytes()))
		l.before = ",\n  "
	}
	return nil
}

// rowFile is a CSV file, written row by row.
type rowFile[T any] struct {
	table *table[T]
	csv   *csv.Writer
	cells []string

	guarded bool
}

func newRows[T any](w *writer, t *table[T]) *rowFile[T] {
	out := w.create(t.file)
	f := &rowFile[T]{t, csv.NewWriter(out.Writer), t.names(), w.guarded}
	f.csv.Write(f.cells)
	out.end = f.csv.Flush // an error is kept by the buffer below
	return f
}

func (f *rowFile[T]) add(rows []T) error {
	for _, row := range rows {
		for i := range f.table.columns {
			f.cells[i] = f.table.columns[i].write(&row)
			if f.guarded && f.cells[i] != "" && strings.IndexByte("=+-@\t\r", f.cells[i][0]) >= 0 {
				f.cells[i] = "'" + f.cells[i]
			}
		}
		if err := f.csv.Write(f.cells); err != nil {
			return err
		}
	}
	return nil
}
