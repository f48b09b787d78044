package app

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"aplomb/internal/practice"
	"aplomb/internal/vault"
	"aplomb/internal/web"
)

// BackupsDir is the folder of the backups made on the pages, in the data folder.
const BackupsDir = "backups"

// checksFile says, in that folder, when which backup was read whole, and
// whether it was sound.
const checksFile = "checked.json"

func (k *keeper) backups() (string, error) {
	dir, err := k.config.data()
	return filepath.Join(dir, BackupsDir), err
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
	checked := k.checks(dir)
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
		out = append(out, web.Backup{Name: e.Name(), Made: made, Bytes: info.Size(), Check: checked[e.Name()]})
	}
	return out, nil
}

// checks are the last check of each backup, by name. A list that cannot be read
// is told to the log: its backups count as not checked.
func (k *keeper) checks(dir string) map[string]web.BackupCheck {
	all := map[string]web.BackupCheck{}
	raw, err := os.ReadFile(filepath.Join(dir, checksFile))
	if err == nil {
		err = json.Unmarshal(raw, &all)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		k.config.Log.Error("the list of checked backups", "cause", err.Error())
		return map[string]web.BackupCheck{}
	}
	return all
}

// BackUp implements [web.Records].
func (k *keeper) BackUp(ctx context.Context) (string, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	dir, err := k.backups()
	if err != nil {
		return "", err
	}
	path, _, _, err := k.config.Backup(ctx, dir)
	if err != nil {
		return "", err
	}
	name := filepath.Base(path)
	return name, k.check(dir, name)
}

// VerifyBackup implements [web.Records].
func (k *keeper) VerifyBackup(name string) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	path, err := k.backupPath(name)
	if err != nil {
		return err
	}
	return k.check(filepath.Dir(path), name)
}

// check reads a backup whole, and writes down when and what came of it. Those
// that are no longer there go from the list.
func (k *keeper) check(dir, name string) error {
	_, _, broken := k.config.Verify(filepath.Join(dir, name), nil)
	if broken != nil && !practice.HasCode(broken, practice.BackupBroken) {
		return broken
	}
	all := k.checks(dir)
	for other := range all {
		if _, err := os.Stat(filepath.Join(dir, other)); errors.Is(err, fs.ErrNotExist) {
			delete(all, other)
		}
	}
	all[name] = web.BackupCheck{At: k.config.Now().UTC().Truncate(time.Second), Whole: broken == nil}
	err := vault.WriteOver(filepath.Join(dir, checksFile), func(w io.Writer) error { return json.NewEncoder(w).Encode(all) })
	return errors.Join(broken, err)
}

// OpenBackup implements [web.Records].
func (k *keeper) OpenBackup(name string) (io.ReadCloser, error) {
	path, err := k.backupPath(name)
	if err != nil {
		return nil, err
	}
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, noBackup(name)
	}
	if err != nil {
		return nil, practice.Fault{Code: practice.NotRead, File: path, Err: err}
	}
	return f, nil
}

// backupPath is where a backup lies; a name that is none is not found.
func (k *keeper) backupPath(name string) (string, error) {
	dir, err := k.backups()
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, name)
	if _, ok := vault.BackupMade(name); !ok {
		return "", noBackup(name)
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return "", noBackup(name)
	}
	return path, nil
}

func noBackup(name string) error {
	return practice.Fault{Code: practice.NotFound, Field: "backup", Value: practice.Short(name)}
}

// CheckBackup implements [web.Records].
func (k *keeper) CheckBackup(r io.Reader) (made time.Time, rows int64, err error) {
	key, err := k.config.mustKey()
	if err != nil {
		return time.Time{}, 0, err
	}
	head, sum, err := key.Verify(r)
	return head.Made, sum.Lines, err
}

// Restore implements [web.Records].
func (k *keeper) Restore(name string) ([]string, error) {
	backups, err := k.backups()
	if err != nil {
		return nil, err
	}
	data := filepath.Dir(backups)
	path := filepath.Join(backups, name)
	if _, kept := vault.BackupMade(name); !kept {
		path = name
	}
	place := " --data " + quoted(data+"-restored")
	switch {
	case k.config.Key != "":
		place += " --key " + quoted(k.config.Key)
	case k.config.KeyText == "":
		place += " --key " + quoted(filepath.Join(data, KeyFile))
	}
	return []string{"aplomb restore " + quoted(path) + place, "aplomb serve" + place}, nil
}

// quoted is a path as a shell takes it in one piece.
func quoted(path string) string {
	if strings.Trim(path, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:\\") == "" {
		return path
	}
	return `"` + path + `"`
}
