package app

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"aplomb/internal/folder"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// atDesk is who a command on this machine is, in a studio.
func atDesk(studio string) practice.Who {
	return practice.Who{Studio: studio, ID: string(practice.AtTheDesk), Role: practice.AtTheDesk}
}

// Counts is how much of a studio was read or written.
type Counts struct {
	Students, Rows, Notes int // rows of the log; notes of all kinds
}

// Import keeps the studio of a folder. Where the folder has faults they are the
// error, all of them, and nothing is kept.
func (c Config) Import(ctx context.Context, dir fs.FS, step func()) (studio practice.Studio, n Counts, err error) {
	s, _, err := c.OpenStore(ctx)
	if err != nil {
		return studio, n, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	err = s.Load(ctx, atDesk(""), func(l *store.Loader) error {
		sink := &counting{Loader: l, step: step}
		faults, err := folder.Scan(dir, library.Builtin(), sink)
		studio, n = sink.studio, sink.n
		if len(faults) > 0 {
			return faults
		}
		return err
	})
	return studio, n, err
}

// counting is a loader that knows how much went in.
type counting struct {
	*store.Loader
	studio practice.Studio
	n      Counts
	step   func()
}

func (c *counting) Studio(s practice.Studio) error { c.studio = s; return c.Loader.Studio(s) }

func (c *counting) Student(s practice.Student) error { c.n.Students++; return c.Loader.Student(s) }

func (c *counting) Attempt(a practice.Attempt) error { c.row(); return c.Loader.Attempt(a) }

func (c *counting) Tally(t practice.Tally) error { c.row(); return c.Loader.Tally(t) }

func (c *counting) Session(s practice.Session) error { c.row(); return c.Loader.Session(s) }

func (c *counting) Probe(p practice.ProbeResult) error { c.row(); return c.Loader.Probe(p) }

func (c *counting) Mark(m practice.DrillMark) error { c.row(); return c.Loader.Mark(m) }

func (c *counting) Note(n practice.Note) error { c.n.Notes++; return c.Loader.Note(n) }

func (c *counting) row() { c.n.Rows++; c.step() }

// only is the studio asked for, or the one there is.
func only(ctx context.Context, s *store.Store, asked string) (practice.Studio, error) {
	all, err := s.Studios(ctx)
	if err != nil {
		return practice.Studio{}, err
	}
	var ids []string
	for _, studio := range all {
		if studio.ID == asked || asked == "" && len(all) == 1 {
			return studio, nil
		}
		ids = append(ids, studio.ID)
	}
	f := practice.Fault{Code: practice.NotFound, Field: "--studio", Value: practice.Short(asked), Near: practice.Nearest(asked, ids)}
	switch {
	case len(ids) == 0:
		f = practice.Fault{Code: practice.NotFound, Want: "no studio yet: import one"}
	case asked == "":
		f.Near, f.Want = "", "more than one studio: name one of "+strings.Join(ids, ", ")
	}
	return practice.Studio{}, f
}

// openThere opens a store that is there already: what only reads makes none.
func (c Config) openThere(ctx context.Context) (*store.Store, bool, error) {
	dir, err := c.data()
	if err != nil {
		return nil, false, err
	}
	if c.DB == "" {
		path := filepath.Join(dir, StoreFile)
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			return nil, false, practice.Fault{Code: practice.NoSuchPath, File: path, Err: err}
		}
	}
	return c.OpenStore(ctx)
}

// Export writes a studio into a folder that is new or empty. Without the key
// what is private is left out, which leftOut, a sentence for people, then says
// in the folder; without tells whether that was so. begin is told how many
// students there are and gives what is called after each.
func (c Config) Export(ctx context.Context, dir, asked, leftOut string, begin func(students int) (step func())) (studio practice.Studio, n Counts, without bool, err error) {
	if err := emptyFolder(dir); err != nil {
		return studio, n, false, err
	}
	s, opens, err := c.openThere(ctx)
	if err != nil {
		return studio, n, false, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if studio, err = only(ctx, s, asked); err != nil {
		return studio, n, false, err
	}
	err = s.Snapshot(ctx, atDesk(studio.ID), func(v *store.Snapshot) error {
		src := &source{Snapshot: v, opens: opens, leftOut: leftOut, begin: begin}
		err := folder.Write(dir, src)
		n, without = src.n, src.without
		return err
	})
	return studio, n, without, err
}

// emptyFolder refuses a folder with something in it: an export never mixes with
// what was there.
func emptyFolder(dir string) error {
	f, err := os.Open(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return practice.Fault{Code: practice.NotRead, File: dir, Err: err}
	}
	defer f.Close()
	switch _, err := f.Readdirnames(1); {
	case err == io.EOF:
		return nil
	case err != nil:
		return practice.Fault{Code: practice.NotRead, File: dir, Err: err}
	}
	return practice.Fault{Code: practice.ExistsAlready, File: dir, Want: "Name a folder that is new or empty"}
}

// source is one state of a studio as folder writes it.
type source struct {
	*store.Snapshot
	opens   bool // the key is here
	leftOut string
	without bool
	n       Counts
	begin   func(students int) (step func()) // nil: nobody watches
}

// Head implements folder.Source.
func (s *source) Head() (h folder.Head, err error) {
	var errs [6]error
	h.Studio, errs[0] = s.Snapshot.Studio()
	h.People, errs[1] = s.People()
	h.Guardians, errs[2] = s.Guardians()
	h.Covers, errs[3] = s.Covers()
	h.Own, errs[4] = s.Drills()
	h.Wishes, errs[5] = s.Wishes()
	if err := errors.Join(errs[:]...); err != nil {
		return h, err
	}
	sealed, err := s.Sealed()
	if err == nil && sealed > 0 && !s.opens {
		h.LeftOut, s.without = s.leftOut, true
	}
	return h, err
}

// Records implements folder.Source.
func (s *source) Records() iter.Seq2[folder.Record, error] {
	return func(yield func(folder.Record, error) bool) {
		students, err := s.Students()
		if err != nil {
			yield(folder.Record{}, err)
			return
		}
		step := func() {}
		if s.begin != nil {
			step = s.begin(len(students))
		}
		for _, student := range students {
			r, err := s.Record(student.ID)
			s.n.Students++
			s.n.Notes += len(r.Notes)
			s.n.Rows += len(r.Log.Attempts) + len(r.Log.Tallies) + len(r.Log.Sessions) + len(r.Log.Probes) + len(r.Log.Marks)
			step()
			if !yield(s.record(r), err) || err != nil {
				return
			}
		}
	}
}

// record is what a folder holds of a student; without the key a health note is
// left out.
func (s *source) record(r store.Record) folder.Record {
	out := folder.Record{Student: r.Student.Value, Log: r.Log, Notes: r.Notes, Consents: r.Consents, Decisions: r.Decisions, Receipts: r.Receipts}
	if !s.opens {
		out.Notes = slices.DeleteFunc(out.Notes, practice.Note.Private)
	}
	return out
}

// Trail implements folder.Source.
func (s *source) Trail() iter.Seq2[practice.Change, error] {
	return func(yield func(practice.Change, error) bool) {
		stopped := errors.New("app: nobody reads on")
		err := s.Snapshot.Trail(func(c practice.Change) error {
			if !yield(c, nil) {
				return stopped
			}
			return nil
		})
		if err != nil && !errors.Is(err, stopped) {
			yield(practice.Change{}, err)
		}
	}
}
