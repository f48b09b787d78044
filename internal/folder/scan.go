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

// Sink takes the values of a folder one by one: the studio, its own drills,
// people, students, guardians, covers, wishes, weeks, then the rows of the
// log file by file, the receipts of phones, notes, consents, decisions and the audit trail, each file
// in the order it has. What a value names was given before it, but for a guardian or
// student who wrote something and the things the audit trail speaks of.
//
// An error ends the scan. Where the scan has faults the sink was given a part,
// which must be thrown away.
type Sink interface {
	Studio(practice.Studio) error
	Drill(practice.Drill) error // of the studio's own
	Person(practice.Person) error
	Student(practice.Student) error
	Guardian(practice.Guardian) error
	Cover(practice.Cover) error
	Wish(practice.Wish) error
	Week(practice.Week) error // handed over or done
	Attempt(practice.Attempt) error
	Tally(practice.Tally) error
	Session(practice.Session) error
	Probe(practice.ProbeResult) error
	Mark(practice.DrillMark) error
	Words(practice.SetWords) error
	Detour(practice.Detour) error
	Receipt(practice.Receipt) error // of an entry of a phone
	Note(practice.Note) error
	Consent(practice.Consent) error
	Decision(practice.Decision) error // about a notice
	Change(practice.Change) error
}

// files are the files of a studio folder, in the order they are read.
var files = []string{"studio.json", "drills.json", "people.json", "students.json", "guardians.json", "covers.json",
	"locks.json", weeks.file, attempts.file, tallies.file, sessions.file, probes.file, marks.file, setWords.file, detours.file, receipts.file,
	notes.file, consents.file, decisions.file, changes.file}

// inFormat2 are the files that came with format 2.
var inFormat2 = []string{"people.json", "guardians.json", "covers.json", notes.file, consents.file, decisions.file, changes.file}

// inFormat3 are the files that came with format 3.
var inFormat3 = []string{setWords.file, detours.file, receipts.file}

// Scan reads a studio folder on top of a base library and gives what it has to
// the sink, one value at a time, keeping no more than the ids. All faults are
// listed, at most [MaxFaults] of a file. The error is the sink's, as it is, or
// that of a folder that cannot be listed.
func Scan(fsys fs.FS, base *practice.Library, sink Sink) (practice.Faults, error) {
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return nil, fmt.Errorf("folder: %w", err)
	}
	r := &reader{fsys: fsys, sink: sink, known: newKnown(base)}
	r.unknownFiles(entries)
	if !r.readStudio(entries) {
		return r.faults, nil
	}
	r.readDrills()
	r.readPeople()
	r.readStudents()
	readObjects(r, "guardians.json", r.known.checkGuardian, Sink.Guardian)
	readObjects(r, "covers.json", r.known.checkCover, Sink.Cover)
	r.readWishes()
	r.readWeeks()
	scanRows(r, &attempts)
	scanRows(r, &tallies)
	scanRows(r, &sessions)
	scanRows(r, &probes)
	scanRows(r, &marks)
	scanRows(r, &setWords)
	scanRows(r, &detours)
	scanRows(r, &receipts)
	scanLines(r, &notes)
	scanLines(r, &consents)
	scanLines(r, &decisions)
	scanLines(r, &changes)
	if r.err != nil {
		return nil, r.err
	}
	return r.faults, nil
}

// reader is the state of one Scan.
type reader struct {
	fsys   fs.FS
	sink   Sink
	known  *known
	faults practice.Faults
	err    error // the sink's; it ends the reading
}

// give hands a value to the sink, as long as there is no fault: what is only a
// part is of no use to it.
func give[T any](r *reader, l *list, to func(Sink, T) error, v T) {
	if len(r.faults)+len(l.faults) > 0 || r.err != nil {
		return
	}
	if r.err = to(r.sink, v); r.err != nil {
		l.stopped = true
	}
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
	if r.err != nil {
		return false
	}
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

// readObjects reads a list of objects that no other file names.
func readObjects[T any](r *reader, file string, check func(*T, *record) []practice.Fault, to func(Sink, T) error) {
	r.file(file, false, func(f io.Reader, l *list) {
		readNamed(f, l, check, func(v T, _ *record) { give(r, l, to, v) })
	})
}

// scanRows reads a CSV file.
func scanRows[T any](r *reader, t *table[T]) {
	r.file(t.file, false, func(f io.Reader, l *list) {
		for row := range t.rows(f, r.known, l) {
			give(r, l, t.to, row)
		}
	})
}

// scanLines reads a file of one object a line.
func scanLines[T any](r *reader, ls *lines[T]) {
	r.file(ls.file, false, func(f io.Reader, l *list) {
		ls.read(f, r.known, l, func(v T) { give(r, l, ls.to, v) })
	})
}
