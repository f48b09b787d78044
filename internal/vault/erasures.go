package vault

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"aplomb/internal/practice"
)

// Erasure is that somebody was erased: an opaque key the store gave, and the
// day. It is kept outside the backups, so that a restored one forgets again.
type Erasure struct {
	Key string // a valid id
	Day practice.Date
}

// Erasures reads the list: a line each, the day and the key. A file that is not
// there is NotThere: nobody was erased yet, or the list was lost; who restores
// has to say so. A line that is none is a fault with its number.
func Erasures(path string) ([]Erasure, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, practice.Fault{Code: practice.NotThere, File: path, Err: err}
	}
	if err != nil {
		return nil, practice.Fault{Code: practice.NotRead, File: path, Err: err}
	}
	defer f.Close()
	return readErasures(path, f)
}

func readErasures(path string, r io.Reader) (all []Erasure, err error) {
	lines := bufio.NewScanner(r)
	for n := 1; lines.Scan(); n++ {
		e, f := parseErasure(lines.Text())
		if f != nil {
			f.File, f.Line = path, n
			return nil, *f
		}
		all = append(all, e)
	}
	if err := lines.Err(); err != nil {
		return nil, practice.Fault{Code: practice.NotRead, File: path, Err: err}
	}
	return all, nil
}

func parseErasure(line string) (Erasure, *practice.Fault) {
	day, key, _ := strings.Cut(line, " ")
	date, err := practice.ParseDate(day)
	if err != nil {
		return Erasure{}, &practice.Fault{Code: practice.BadDate, Field: "day", Value: practice.Short(day), Err: err}
	}
	if !practice.ValidID(key) {
		return Erasure{}, &practice.Fault{Code: practice.BadID, Field: "key", Value: practice.Short(key)}
	}
	return Erasure{key, date}, nil
}

// AddErasure adds to the list, and returns when it is on the disk. Several
// programs may add at once. Panics on a key that is no id.
func AddErasure(path string, e Erasure) error {
	if !practice.ValidID(e.Key) {
		panic("vault: the key of an erasure is an id")
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o600)
	if err != nil {
		return notWritten(path, err)
	}
	line := fmt.Sprintf("%s %s\n", e.Day, e.Key)
	if cut, err := cutOff(f); err != nil {
		return notWritten(path, errors.Join(err, f.Close()))
	} else if cut {
		line = "\n" + line // the rest of a line the power failed in stays alone
	}
	_, err = f.WriteString(line)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return notWritten(path, err)
	}
	return notWritten(path, syncFolder(filepath.Dir(path)))
}

// cutOff says whether the last line of the file has no end.
func cutOff(f *os.File) (bool, error) {
	info, err := f.Stat()
	if err != nil || info.Size() == 0 {
		return false, err
	}
	var last [1]byte
	_, err = f.ReadAt(last[:], info.Size()-1)
	return last[0] != '\n', err
}
