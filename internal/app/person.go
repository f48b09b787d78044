package app

import (
	"archive/zip"
	"context"
	"errors"
	"io"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"time"

	"aplomb/internal/folder"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/vault"
)

// Archive writes everything kept of one student as one zip: a studio folder
// with that student alone, cells that a spreadsheet would run guarded, and the
// readme, text for the student. Nothing of anybody else is in it but the names
// of their coach. Without the key health notes are left out, which leftOut says.
func Archive(ctx context.Context, s *store.Store, who practice.Who, student string, opens bool, made time.Time, readme, leftOut string, w io.Writer) error {
	dir, err := os.MkdirTemp("", "aplomb-person-")
	if err != nil {
		return practice.Fault{Code: practice.NotWritten, File: os.TempDir(), Err: err}
	}
	defer os.RemoveAll(dir)
	err = s.Snapshot(ctx, who, func(v *store.Snapshot) error {
		return folder.Write(dir, &person{source: source{Snapshot: v, opens: opens, leftOut: leftOut}, id: student})
	})
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	readmeFile, err := z.CreateHeader(&zip.FileHeader{Name: "README.txt", Method: zip.Deflate, Modified: made})
	if err == nil {
		_, err = io.WriteString(readmeFile, readme)
	}
	if err != nil {
		return err
	}
	if err := z.AddFS(os.DirFS(dir)); err != nil {
		return err
	}
	return z.Close()
}

// person is one student of a source, and what others' rows have to do with
// them.
type person struct {
	source
	id string
}

// Head implements folder.Source.
func (p *person) Head() (folder.Head, error) {
	h, err := p.source.Head()
	if err != nil {
		return h, err
	}
	h.Guarded = true
	r, err := p.Record(p.id)
	if err != nil {
		return h, err
	}
	h.Covers = nil
	h.People = slices.DeleteFunc(h.People, func(x practice.Person) bool { return x.ID != r.Student.Value.Coach })
	for i := range h.People {
		h.People[i].Email = ""
	}
	h.Guardians = slices.DeleteFunc(h.Guardians, func(g practice.Guardian) bool { return !slices.Contains(g.Students, p.id) })
	for i := range h.Guardians {
		h.Guardians[i].Students = []string{p.id}
	}
	h.Wishes = slices.DeleteFunc(h.Wishes, func(w practice.Wish) bool { return w.Student != p.id })
	return h, nil
}

// Records implements folder.Source.
func (p *person) Records() iter.Seq2[folder.Record, error] {
	return func(yield func(folder.Record, error) bool) {
		r, err := p.Record(p.id)
		yield(p.record(r), err)
	}
}

// Trail implements folder.Source.
func (p *person) Trail() iter.Seq2[practice.Change, error] {
	return func(yield func(practice.Change, error) bool) {
		for c, err := range p.source.Trail() {
			if (err != nil || c.Student == p.id) && !yield(c, err) {
				return
			}
		}
	}
}

// ExportPerson writes a student's archive into a new file; the rights are those
// of a command on this machine.
func (c Config) ExportPerson(ctx context.Context, asked, student, path, readme, leftOut string) (without bool, err error) {
	s, opens, err := c.openThere(ctx)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	who, _, err := c.student(ctx, s, asked, student, practice.ExportPerson)
	if err != nil {
		return false, err
	}
	err = vault.WriteNew(path, func(w io.Writer) error {
		return Archive(ctx, s, who, student, opens, c.Now(), readme, leftOut, w)
	})
	return !opens, err
}

// student finds one for a command on this machine that may do this.
func (c Config) student(ctx context.Context, s *store.Store, asked, id string, do practice.Right) (practice.Who, practice.Student, error) {
	studio, err := only(ctx, s, asked)
	if err != nil {
		return practice.Who{}, practice.Student{}, err
	}
	who := atDesk(studio.ID)
	if err := roster.New(s, c.Now, NewID).May(ctx, who, do, id); err != nil {
		return who, practice.Student{}, err
	}
	kept, err := s.Student(ctx, who, id)
	return who, kept.Value, err
}

// ErasePerson forgets a student for good, once the name given is theirs:
// restored backups forget them too.
func (c Config) ErasePerson(ctx context.Context, asked, id, name string) (student practice.Student, err error) {
	s, _, err := c.openThere(ctx)
	if err != nil {
		return student, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	who, student, err := c.student(ctx, s, asked, id, practice.ErasePerson)
	if err != nil {
		return student, err
	}
	if name != student.Name {
		return student, ErrNotNamed
	}
	_, err = roster.New(s, c.Now, NewID).Erase(ctx, who, id)
	return student, errors.Join(err, c.keptErasures(ctx, s))
}

// ErrNotNamed keeps a student from being erased by a slip of the pen.
var ErrNotNamed = errors.New("app: not erased without the student's name")

// NewKey makes the key of the health notes in its file, and gives the secret of
// the recovery key, which is kept nowhere.
func (c Config) NewKey() (path, recovery string, err error) {
	if path, err = c.keyFile(); err != nil {
		return "", "", err
	}
	key, recovery, err := vault.New()
	if err != nil {
		return "", "", err
	}
	if err := c.writeKey(path, key.Create); err != nil {
		return "", "", err
	}
	return path, recovery, nil
}

func (c Config) writeKey(path string, write func(path string) error) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return practice.Fault{Code: practice.NotWritten, File: path, Err: err}
	}
	return write(path)
}

func (c Config) keyFile() (string, error) {
	if c.Key != "" {
		return c.Key, nil
	}
	dir, err := c.data()
	return filepath.Join(dir, KeyFile), err
}

// RotateKey makes a new key in place of the one in its file and seals
// everything anew. Cut off at any point, everything still opens, and rotating
// again goes on from there. The file keeps the old key beside the new one, for
// the backups that were made with it. Where the file is lost the recovery key
// takes its place; nil: it is not.
func (c Config) RotateKey(ctx context.Context, lost *vault.Key) (path, recovery string, err error) {
	if path, err = c.keyFile(); err != nil {
		return "", "", err
	}
	old := lost
	if old == nil {
		if old, err = vault.ReadKey(path); err != nil {
			return "", "", err
		}
	}
	next, recovery, err := old.Rotate()
	if err != nil {
		return "", "", err
	}
	write := next.Replace
	if lost != nil {
		write = next.Create
	}
	s, err := c.open(ctx, next)
	if err != nil {
		return "", "", err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := c.writeKey(path, write); err != nil {
		return "", "", err
	}
	return path, recovery, s.Reseal(ctx, next.Reseal)
}
