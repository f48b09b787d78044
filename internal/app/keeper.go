package app

import (
	"archive/zip"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"aplomb/internal/folder"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/vault"
	"aplomb/internal/web"
	"aplomb/internal/words"
)

// BackupsDir is the folder of the backups made on the pages, in the data folder.
const BackupsDir = "backups"

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
	return k.config.keepErasures(ctx, k.store)
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
	err = k.store.Load(ctx, atDesk(""), func(l *store.Loader) error {
		sink := &counting{Loader: l, step: func() {}}
		faults, err := folder.Scan(dir, library.Builtin(), sink)
		studio = sink.studio
		if len(faults) > 0 {
			return faults
		}
		return err
	})
	return studio, err
}

// unpacked is the studio folder in a zip: at its root, or in its only folder.
func unpacked(file io.ReaderAt, size int64) (fs.FS, error) {
	bad := func(want string, err error) error {
		return practice.Faults{{Code: practice.NotRead, Field: "folder", Want: want, Err: err}}
	}
	z, err := zip.NewReader(file, size)
	if err != nil {
		return nil, bad("a zip of a studio folder", err)
	}
	total := uint64(0)
	for _, f := range z.File {
		total += f.UncompressedSize64
	}
	if total > maxUnpacked || len(z.File) > maxFiles {
		return nil, bad("a zip of at most 100 files and 2 GB unpacked", nil)
	}
	dir := fs.FS(&bounded{FS: z, left: maxUnpacked})
	entries, err := fs.ReadDir(z, ".")
	if err != nil {
		return nil, bad("a zip of a studio folder", err)
	}
	entries = slices.DeleteFunc(entries, func(e fs.DirEntry) bool { return e.Name() == "__MACOSX" })
	if len(entries) == 1 && entries[0].IsDir() {
		return fs.Sub(dir, entries[0].Name())
	}
	return dir, nil
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
	if dir, ok := f.(fs.ReadDirFile); ok {
		return dir, nil
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

// Backups implements [web.Records].
func (k *keeper) Backups() (out []web.Backup, err error) {
	dir, err := k.backups()
	if err != nil {
		return nil, err
	}
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, practice.Fault{Code: practice.NotRead, File: dir, Err: err}
	}
	for _, e := range slices.Backward(entries) {
		made, ok := vault.BackupMade(e.Name())
		if !ok {
			continue
		}
		info, err := e.Info()
		if errors.Is(err, fs.ErrNotExist) { // let go meanwhile
			continue
		}
		if err != nil {
			return nil, practice.Fault{Code: practice.NotRead, File: e.Name(), Err: err}
		}
		out = append(out, web.Backup{Name: e.Name(), Made: made, Bytes: info.Size()})
	}
	return out, nil
}

func (k *keeper) backups() (string, error) {
	dir, err := k.config.data()
	return filepath.Join(dir, BackupsDir), err
}

// BackUp implements [web.Records].
func (k *keeper) BackUp(ctx context.Context) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	dir, err := k.backups()
	if err != nil {
		return err
	}
	_, _, _, err = k.config.Backup(ctx, dir)
	return err
}

// OpenBackup implements [web.Records].
func (k *keeper) OpenBackup(name string) (io.ReadCloser, error) {
	path, err := k.backupPath(name)
	if err != nil {
		return nil, err
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, notThere(path, err)
	}
	return f, nil
}

// VerifyBackup implements [web.Records].
func (k *keeper) VerifyBackup(name string) error {
	path, err := k.backupPath(name)
	if err != nil {
		return err
	}
	_, _, err = k.config.Verify(path, nil)
	return err
}

// backupPath is where a backup lies; a name that is none is not found.
func (k *keeper) backupPath(name string) (string, error) {
	if _, ok := vault.BackupMade(name); !ok {
		return "", practice.Fault{Code: practice.NotFound, Field: "backup", Value: practice.Short(name)}
	}
	dir, err := k.backups()
	return filepath.Join(dir, name), err
}
