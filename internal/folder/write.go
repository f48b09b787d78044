package folder

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"aplomb/internal/practice"
)

// Write writes the studio into the folder dir, which it makes if need be. Every
// file is first written whole beside its place, and only when all are written
// are they put there: when writing fails the old files stand as they were, and
// at any time each file is the old one or the new one, whole. The files can be
// read by their owner only. In notes, the line end CR LF becomes LF.
func Write(dir string, s *Studio) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("folder: %w", err)
	}
	w := &writer{dir: dir}
	w.object("studio.json", s.Studio)
	writeList(w, "drills.json", s.Own)
	writeList(w, "students.json", s.Students)
	writeList(w, "locks.json", s.Wishes)
	w.put("weeks.jsonl", func(out io.Writer) error { return writeWeeks(out, s) })
	writeTable(w, s, &attempts, func(l *practice.Log) []attempt { return l.Attempts })
	writeTable(w, s, &tallies, func(l *practice.Log) []tally { return l.Tallies })
	writeTable(w, s, &sessions, func(l *practice.Log) []session { return l.Sessions })
	writeTable(w, s, &probes, func(l *practice.Log) []probe { return l.Probes })
	writeTable(w, s, &marks, func(l *practice.Log) []mark { return l.Marks })
	return w.finish()
}

// writer writes files beside their places. The first error ends it.
type writer struct {
	dir     string
	waiting []waiting
	err     error
}

// waiting is a file that is written but not yet in its place.
type waiting struct{ temp, name string }

// put writes one file beside its place.
func (w *writer) put(name string, write func(io.Writer) error) {
	if w.err != nil {
		return
	}
	f, err := os.CreateTemp(w.dir, "."+name+"-*")
	if err != nil {
		w.err = err
		return
	}
	w.waiting = append(w.waiting, waiting{f.Name(), name})
	out := bufio.NewWriterSize(f, bufferSize)
	if err = write(out); err == nil {
		err = out.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	w.err = errors.Join(err, f.Close())
}

// finish puts every file in its place, or takes all of them away again.
func (w *writer) finish() error {
	for i, file := range w.waiting {
		if w.err == nil {
			w.err = os.Rename(file.temp, filepath.Join(w.dir, file.name))
		}
		if w.err != nil {
			for _, left := range w.waiting[i:] {
				w.err = errors.Join(w.err, os.Remove(left.temp))
			}
			return fmt.Errorf("folder: %w", w.err)
		}
	}
	return nil
}

func (w *writer) object(name string, v any) {
	w.put(name, func(out io.Writer) error {
		e := json.NewEncoder(out)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		return e.Encode(v)
	})
}

// writeList writes a JSON list, one object after the other.
func writeList[T any](w *writer, name string, items []T) {
	w.put(name, func(out io.Writer) error {
		var item bytes.Buffer
		e := json.NewEncoder(&item)
		e.SetEscapeHTML(false)
		e.SetIndent("  ", "  ")
		before := "[\n  "
		for _, v := range items {
			item.Reset()
			if err := e.Encode(v); err != nil {
				return err
			}
			fmt.Fprint(out, before)
			out.Write(bytes.TrimSpace(item.Bytes())) // the buffered writer keeps an error for Flush
			before = ",\n  "
		}
		if len(items) == 0 {
			_, err := io.WriteString(out, "[]\n")
			return err
		}
		_, err := io.WriteString(out, "\n]\n")
		return err
	})
}

func writeWeeks(out io.Writer, s *Studio) error {
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	for _, log := range s.logs() {
		for _, week := range log.Weeks {
			if err := e.Encode(week); err != nil {
				return err
			}
		}
	}
	return nil
}

func writeTable[T any](w *writer, s *Studio, t *table[T], rows func(*practice.Log) []T) {
	w.put(t.file, func(out io.Writer) error {
		c := csv.NewWriter(out)
		cells := t.names()
		if err := c.Write(cells); err != nil {
			return err
		}
		for _, log := range s.logs() {
			for _, row := range rows(log) {
				for i := range t.columns {
					cells[i] = t.columns[i].write(&row)
				}
				if err := c.Write(cells); err != nil {
					return err
				}
			}
		}
		c.Flush()
		return c.Error()
	})
}

// logs are the logs that are there, in the order of the students.
func (s *Studio) logs() (logs []*practice.Log) {
	for _, student := range s.Students {
		if log := s.Logs[student.ID]; log != nil {
			logs = append(logs, log)
		}
	}
	return logs
}
