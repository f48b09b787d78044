package vault

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"aplomb/internal/practice"
)

// unfinished is the name of a file while it is written.
const unfinished = ".aplomb-*.part"

// WriteNew writes a file that only its owner can read: after it returns the
// file is on the disk, and while it runs, or if it fails or is killed, there is
// none by that name. A file that is there already stays, and is ExistsAlready.
func WriteNew(path string, write func(io.Writer) error) error {
	if _, err := os.Lstat(path); err == nil {
		return existsAlready(path)
	}
	return written(path, write, func(from string) error {
		err := os.Link(from, path) // unlike a rename, never over another's
		if errors.Is(err, fs.ErrExist) {
			return existsAlready(path)
		}
		if err != nil { // a disk without links, as many sticks are
			return os.Rename(from, path)
		}
		return os.Remove(from)
	})
}

// WriteOver writes a file in place of another: whenever it stops, by itself or
// not, there is the old one or the new one, whole.
func WriteOver(path string, write func(io.Writer) error) error {
	return written(path, write, func(from string) error { return os.Rename(from, path) })
}

// written writes beside the path, brings it to the disk, and places it.
func written(path string, write func(io.Writer) error, place func(from string) error) error {
	f, err := os.CreateTemp(filepath.Dir(path), unfinished) // mode 0600
	if err != nil {
		return notWritten(path, err)
	}
	err = write(f)
	if err == nil {
		err = f.Sync()
	}
	err = errors.Join(err, f.Close())
	if err == nil {
		err = place(f.Name())
	}
	if err != nil {
		os.Remove(f.Name())
		return notWritten(path, err)
	}
	return notWritten(path, syncFolder(filepath.Dir(path)))
}

// syncFolder brings the names in a folder to the disk. Windows has no such call.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// ClearUnfinished removes what writing left in the folder when it was killed,
// if it was last written to before the time given.
func ClearUnfinished(dir string, before time.Time) error {
	all, err := os.ReadDir(dir)
	if err != nil {
		return notWritten(dir, err)
	}
	for _, entry := range all {
		if ours, _ := filepath.Match(unfinished, entry.Name()); !ours {
			continue
		}
		info, err := entry.Info()
		if err == nil && info.ModTime().Before(before) {
			err = os.Remove(filepath.Join(dir, entry.Name()))
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return notWritten(filepath.Join(dir, entry.Name()), err)
		}
	}
	return nil
}

func existsAlready(path string) practice.Fault {
	return practice.Fault{Code: practice.ExistsAlready, File: path, Value: practice.Short(filepath.Base(path)),
		Want: "Nothing was written over it: take another name, or move it away"}
}

// notWritten is err as a fault, or nil.
func notWritten(path string, err error) error {
	var f practice.Fault
	if err == nil || errors.As(err, &f) {
		return inFile(path, err)
	}
	return practice.Fault{Code: practice.NotWritten, File: path, Err: err}
}
