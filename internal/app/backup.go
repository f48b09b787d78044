package app

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"time"

	"aplomb/internal/practice"
	"aplomb/internal/store"
	"aplomb/internal/vault"
)

// ErasedFile lists who was erased, by keys that mean nothing else. It lies
// beside the store and in no backup.
const ErasedFile = "erased"

// mustKey is the key of the health notes, which a backup is encrypted to.
func (c Config) mustKey() (*vault.Key, error) {
	key, err := c.OpenKey()
	if err == nil && key == nil {
		err = practice.Fault{Code: practice.NoKey}
	}
	return key, err
}

// Backup writes an encrypted backup of everything into a folder, from one state
// of the store, whatever is written meanwhile; then it removes the older ones
// that the rule lets go (vault.Keep). The list of who was erased lies beside
// them, so that whoever has the folder alone restores nobody who was.
func (c Config) Backup(ctx context.Context, dir string) (path string, sum vault.Sum, removed []string, err error) {
	key, err := c.mustKey()
	if err != nil {
		return "", sum, nil, err
	}
	s, _, err := c.openThere(ctx)
	if err != nil {
		return "", sum, nil, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", sum, nil, practice.Fault{Code: practice.NotWritten, File: dir, Err: err}
	}
	if err := c.keepErasures(ctx, s, dir); err != nil {
		return "", sum, nil, err
	}
	now := c.Now().UTC()
	if err := vault.ClearUnfinished(dir, now.Add(-24*time.Hour)); err != nil { // of a backup that was killed
		return "", sum, nil, err
	}
	path = filepath.Join(dir, vault.BackupName(now))
	err = vault.WriteNew(path, func(w io.Writer) (err error) {
		b, err := key.Backup(w, vault.Head{Made: now, What: "everything of every studio"})
		if err != nil {
			return err
		}
		if err := s.Dump(ctx, b); err != nil {
			return err
		}
		sum, err = b.Finish()
		return err
	})
	if err != nil {
		return "", sum, nil, err
	}
	removed, err = vault.Prune(dir, now)
	return path, sum, removed, err
}

// Restore fills an empty place from a backup; the recovery key opens it as
// well. Who was erased since is forgotten again, by the list of the place and
// the one beside the backup: erased says how many, listed whether there is one.
func (c Config) Restore(ctx context.Context, path string, recovery *vault.Key) (head vault.Head, erased int, listed bool, err error) {
	key := recovery
	if key == nil {
		if key, err = c.mustKey(); err != nil {
			return head, 0, false, err
		}
	}
	f, err := os.Open(path)
	if err != nil {
		return head, 0, false, notThere(path, err)
	}
	defer f.Close()
	b, err := key.OpenBackup(f)
	if err != nil {
		return head, 0, false, inFile(path, err)
	}
	keys, listed, err := c.erasures(filepath.Dir(path))
	if err != nil {
		return b.Head, 0, listed, err
	}
	s, _, err := c.OpenStore(ctx)
	if err != nil {
		return b.Head, 0, listed, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := s.Restore(ctx, b); err != nil {
		// A backup that was altered says so where it is read on.
		if _, broken := b.Read(make([]byte, 1)); practice.HasCode(broken, practice.BackupBroken) {
			err = broken
		}
		return b.Head, 0, listed, inFile(path, err)
	}
	if erased, err = s.EraseByKey(ctx, keys); err != nil {
		return b.Head, 0, listed, err
	}
	return b.Head, erased, listed, nil
}

// Verify reads a backup whole. Any byte that is not as it was written is an
// error.
func (c Config) Verify(path string, recovery *vault.Key) (vault.Head, vault.Sum, error) {
	key := recovery
	if key == nil {
		var err error
		if key, err = c.mustKey(); err != nil {
			return vault.Head{}, vault.Sum{}, err
		}
	}
	f, err := os.Open(path)
	if err != nil {
		return vault.Head{}, vault.Sum{}, notThere(path, err)
	}
	defer f.Close()
	head, sum, err := key.Verify(f)
	return head, sum, inFile(path, err)
}

// VerifyStore looks through the whole store: that the database is sound, and
// that everything sealed opens with the key, where that is here.
func (c Config) VerifyStore(ctx context.Context) (opened bool, err error) {
	s, opens, err := c.openThere(ctx)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return opens, s.Verify(ctx)
}

// Move copies everything of a place into another, empty one. Keys stay where
// they are: what is sealed opens with the old key.
func Move(ctx context.Context, from, to Config) (err error) {
	a, _, err := from.openThere(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, a.Close()) }()
	b, _, err := to.OpenStore(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.Close()) }()
	r, w := io.Pipe()
	go func() { w.CloseWithError(a.Dump(ctx, w)) }()
	err = b.Restore(ctx, r)
	r.CloseWithError(errors.New("app: nobody reads on"))
	return err
}

// erasures are the keys of who was erased, by the list in the data folder and
// that in the folder of a backup; listed says whether there is one.
func (c Config) erasures(beside string) (keys []string, listed bool, err error) {
	dir, err := c.data()
	if err != nil {
		return nil, false, err
	}
	for _, in := range []string{dir, beside} {
		all, err := vault.Erasures(filepath.Join(in, ErasedFile))
		if practice.HasCode(err, practice.NotThere) {
			continue
		}
		if err != nil {
			return nil, false, err
		}
		listed = true
		for _, e := range all {
			keys = append(keys, e.Key)
		}
	}
	return keys, listed, nil
}

// keepErasures adds to the lists, in the data folder and wherever backups lie,
// whoever the store says was erased and the list does not: a program that was
// killed between the two leaves that behind.
func (c Config) keepErasures(ctx context.Context, s *store.Store, backups string) error {
	dir, err := c.data()
	if err != nil {
		return err
	}
	erased, err := s.Erased(ctx, "")
	if err != nil {
		return err
	}
	for _, in := range []string{dir, backups} {
		if err := addErasures(filepath.Join(in, ErasedFile), erased); err != nil {
			return err
		}
	}
	return nil
}

// keptErasures is keepErasures with the folder of the backups that the pages
// make, where there is one.
func (c Config) keptErasures(ctx context.Context, s *store.Store) error {
	dir, err := c.data()
	if err != nil {
		return err
	}
	backups := filepath.Join(dir, BackupsDir)
	if _, err := os.Stat(backups); err != nil {
		backups = dir
	}
	return c.keepErasures(ctx, s, backups)
}

func addErasures(list string, erased []practice.Change) error {
	all, err := vault.Erasures(list)
	if err != nil && !practice.HasCode(err, practice.NotThere) {
		return err
	}
	have := map[string]bool{}
	for _, e := range all {
		have[e.Key] = true
	}
	for _, e := range erased {
		if have[e.Key] || !practice.ValidID(e.Key) { // an imported trail may hold any text
			continue
		}
		if err := vault.AddErasure(list, vault.Erasure{Key: e.Key, Day: e.At.Date()}); err != nil {
			return err
		}
	}
	return nil
}

func notThere(path string, err error) error {
	code := practice.NotRead
	if errors.Is(err, os.ErrNotExist) {
		code = practice.NoSuchPath
	}
	return practice.Fault{Code: code, File: path, Err: err}
}

// inFile says in which file a fault is.
func inFile(path string, err error) error {
	var f practice.Fault
	if errors.As(err, &f) && f.File == "" {
		f.File = path
		return f
	}
	return err
}
