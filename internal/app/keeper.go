package app

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"sync"

	"aplomb/internal/folder"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/words"
)

// Most a studio folder that is brought in may unpack to, and of how many files.
const (
	maxUnpacked = 2 << 30
	maxFiles    = 100
)

// keeper is the records of the running program for its pages.
type keeper struct {
	config Config
	store  *store.Store
	opens  bool // the key is here
	roster *roster.Roster
	book   *words.Book
	mu     sync.Mutex // one backup at a time
}

// Here implements [web.Records].
func (k *keeper) Here() bool { return k.config.DB == "" }

// Person implements [web.Records].
func (k *keeper) Person(ctx context.Context, who practice.Who, student string, w io.Writer) error {
	if err := k.roster.May(ctx, who, practice.ExportPerson, student); err != nil {
		return err
	}
	day := practice.Zone{}.At(k.config.Now()).Date()
	return Archive(ctx, k.store, who, student, k.opens, k.config.Now(), k.book.Say("person.readme", "date", day.String()), k.book.Say("export.leftout"), w)
}

// Forget implements [web.Records].
func (k *keeper) Forget(ctx context.Context, who practice.Who, student string) error {
	if _, err := k.roster.Erase(ctx, who, student); err != nil {
		return err
	}
	return k.config.keptErasures(ctx, k.store)
}

// Folder implements [web.Records].
func (k *keeper) Folder(ctx context.Context, who practice.Who, w io.Writer) error {
	dir, err := os.MkdirTemp("", "aplomb-studio-")
	if err != nil {
		return practice.Fault{Code: practice.NotWritten, File: os.TempDir(), Err: err}
	}
	defer os.RemoveAll(dir)
	err = k.store.Snapshot(ctx, who, func(v *store.Snapshot) error {
		return folder.Write(dir, &source{Snapshot: v, opens: k.opens, leftOut: k.book.Say("export.leftout")})
	})
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	if err := z.AddFS(os.DirFS(dir)); err != nil {
		return err
	}
	return z.Close()
}

// Bring implements [web.Records].
func (k *keeper) Bring(ctx context.Context, file io.ReaderAt, size int64) (studio practice.Studio, err error) {
	dir, err := unpacked(file, size)
	if err != nil {
		return studio, err
	}
	return k.take(ctx, dir)
}

func (k *keeper) take(ctx context.Context, dir fs.FS) (studio practice.Studio, err error) {
	err = k.store.Load(ctx, atDesk(""), func(l *store.Loader) error {
		sink := &counting{Loader: l, step: func() {}}
		faults, err := folder.Scan(dir, library.Builtin(), sink)
		studio = sink.studio
		if slices.ContainsFunc(faults, func(f practice.Fault) bool { return errors.Is(f.Err, errTooMuch) }) || errors.Is(err, errTooMuch) {
			return noFolder(practice.OutOfRange, errTooMuch)
		}
		if len(faults) > 0 {
			return faults
		}
		return err
	})
	return studio, err
}

// noFolder is what is wrong with a zip as a whole.
func noFolder(code practice.Code, err error) error {
	return practice.Faults{{Code: code, Field: "folder", Err: err}}
}

// unpacked is the studio folder in a zip: at its root, or in its only folder.
// Nothing of it is written anywhere.
func unpacked(file io.ReaderAt, size int64) (fs.FS, error) {
	z, err := zip.NewReader(file, size)
	if err != nil {
		return nil, noFolder(practice.NotRead, err)
	}
	if err := plainly(z.File); err != nil {
		return nil, err
	}
	dir := fs.FS(&bounded{FS: z, left: maxUnpacked})
	entries, err := fs.ReadDir(z, ".")
	if err != nil {
		return nil, noFolder(practice.NotRead, err)
	}
	entries = slices.DeleteFunc(entries, func(e fs.DirEntry) bool { return e.Name() == "__MACOSX" })
	if len(entries) == 1 && entries[0].IsDir() {
		return fs.Sub(dir, entries[0].Name())
	}
	return dir, nil
}

// plainly refuses a zip that is too large, or holds anything but plain files
// and folders by names that stay inside, each once.
func plainly(files []*zip.File) error {
	if len(files) > maxFiles {
		return noFolder(practice.OutOfRange, errTooMuch)
	}
	total, names := uint64(0), map[string]bool{}
	for _, f := range files {
		name := strings.TrimSuffix(f.Name, "/")
		if !fs.ValidPath(name) || strings.ContainsAny(name, `\:`) || names[strings.ToLower(name)] || !f.Mode().IsRegular() && !f.Mode().IsDir() {
			return noFolder(practice.UnknownFile, fmt.Errorf("app: the zip has an entry %q", f.Name))
		}
		names[strings.ToLower(name)] = true
		if total += min(f.UncompressedSize64, maxUnpacked+1); total > maxUnpacked {
			return noFolder(practice.OutOfRange, errTooMuch)
		}
	}
	return nil
}

// bounded reads no more than so many bytes in all, whatever a zip says of its
// sizes.
type bounded struct {
	fs.FS
	left int64
}

func (b *bounded) Open(name string) (fs.File, error) {
	f, err := b.FS.Open(name)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	if info.IsDir() {
		return f, nil
	}
	return &boundedFile{f, b}, nil
}

type boundedFile struct {
	fs.File
	of *bounded
}

var errTooMuch = errors.New("app: more than a studio folder may hold")

func (f *boundedFile) Read(p []byte) (int, error) {
	n, err := f.File.Read(p)
	if f.of.left -= int64(n); f.of.left < 0 {
		return 0, errTooMuch
	}
	return n, err
}
