package sqlite

import (
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"aplomb/internal/practice"
)

// asNobody runs do with the rights on files of somebody who has none, where the
// test is run by root.
func asNobody(t *testing.T, do func()) {
	t.Helper()
	if os.Getuid() != 0 {
		do()
		return
	}
	runtime.LockOSThread() // the rights are those of the thread
	defer runtime.UnlockOSThread()
	must(t, syscall.Setfsuid(65534))
	defer syscall.Setfsuid(0)
	do()
}

// A folder nothing can be written in: a clear code, for a new file and for one
// that is there.
func TestReadOnly(t *testing.T) {
	path := older(t, 2, oneStudio)
	folder := filepath.Dir(path)
	for dir := folder; dir != os.TempDir() && dir != "/"; dir = filepath.Dir(dir) {
		must(t, os.Chmod(dir, 0o555))
	}
	defer os.Chmod(folder, 0o700)
	asNobody(t, func() {
		_, err := openAt(filepath.Join(folder, "new.db"))
		refused(t, err, practice.StoreReadOnly)
		_, err = openAt(path)
		refused(t, err, practice.StoreReadOnly)
	})
	must(t, os.Chmod(path, 0o666))
	asNobody(t, func() { // the file can be written, its log cannot be made
		_, err := openAt(path)
		refused(t, err, practice.StoreReadOnly)
	})
}
