// Package folder reads and writes a studio as a folder of CSV and JSON files,
// format 1, and says of every fault where it is and what would be right.
//
// The files and their fields are described in doc/schema.
package folder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// Format is the format number this package reads and writes.
const Format = 1

// Studio is a studio folder as read.
type Studio struct {
	practice.Studio
	Library  *practice.Library        // the built-in one with the studio's own drills
	Own      []practice.Drill         // the studio's own drills, as in drills.json
	Students []practice.Student       // as in students.json
	Logs     map[string]*practice.Log // by student; one for every student
	Wishes   []practice.Wish
}

// files are the files of a studio folder, in the order they are read.
var files = []string{"studio.json", "drills.json", "students.json", "locks.json", "weeks.jsonl",
	attempts.file, tallies.file, sessions.file, probes.file, marks.file}

// Read reads a studio folder on top of a base library. Where there are faults
// the studio is nil: half a log is no ground to plan on. At most [MaxFaults] of
// a file are listed. The error is that of a folder that cannot be listed.
func Read(fsys fs.FS, base *practice.Library) (*Studio, practice.Faults, error) {
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return nil, nil, fmt.Errorf("folder: %w", err)
	}
	r := &reader{fsys: fsys, studio: &Studio{Library: base, Logs: map[string]*practice.Log{}}, known: newKnown(base)}
	r.unknownFiles(entries)
	if !r.readStudio() {
		return nil, r.faults, nil
	}
	r.readDrills()
	r.readStudents()
	r.readWishes()
	r.readWeeks()
	readRows(r, &attempts, func(a attempt, log *practice.Log) { log.Attempts = append(log.Attempts, a) })
	readRows(r, &tallies, func(t tally, log *practice.Log) { log.Tallies = append(log.Tallies, t) })
	readRows(r, &sessions, func(s session, log *practice.Log) { log.Sessions = append(log.Sessions, s) })
	readRows(r, &probes, func(p probe, log *practice.Log) { log.Probes = append(log.Probes, p) })
	readRows(r, &marks, func(m mark, log *practice.Log) { log.Marks = append(log.Marks, m) })
	if len(r.faults) > 0 {
		return nil, r.faults, nil
	}
	for _, log := range r.studio.Logs {
		log.Sort()
	}
	return r.studio, nil, nil
}

// reader is the state of one Read.
type reader struct {
	fsys   fs.FS
	studio *Studio
	known  *known
	faults practice.Faults
}

// unknownFiles notes files that look like a studio's but have no known name.
func (r *reader) unknownFiles(entries []fs.DirEntry) {
	for _, e := range entries {
		data := slices.Contains([]string{".csv", ".json", ".jsonl"}, strings.ToLower(path.Ext(e.Name())))
		if data && !e.IsDir() && !strings.HasPrefix(e.Name(), ".") && !slices.Contains(files, e.Name()) {
			r.faults = append(r.faults, practice.Fault{Code: practice.UnknownFile, File: practice.Short(e.Name()),
				Near: practice.Nearest(e.Name(), files), Want: strings.Join(files, ", ")})
		}
	}
}

// file gives the named file to read, and takes its faults. It says whether the
// file is there.
func (r *reader) file(name string, required bool, read func(io.Reader, *list)) bool {
	l := &list{file: name}
	defer func() { r.faults = append(r.faults, l.faults...) }()
	f, err := r.fsys.Open(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if required {
			l.add(0, practice.Fault{Code: practice.NotThere, Err: err})
		}
		return false
	case err != nil:
		l.add(0, practice.Fault{Code: practice.NotRead, Err: err})
		return true
	}
	defer f.Close()
	read(f, l)
	return true
}

// readRows reads a CSV file into the logs.
func readRows[T any](r *reader, t *table[T], keep func(T, *practice.Log)) {
	r.file(t.file, false, func(f io.Reader, l *list) {
		for row := range t.rows(f, r.known, l) {
			if log := r.studio.Logs[t.student(&row)]; log != nil {
				keep(row, log)
			}
		}
	})
}
