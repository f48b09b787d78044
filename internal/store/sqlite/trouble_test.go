package sqlite

import (
	"bytes"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	lib "modernc.org/sqlite/lib"

	"aplomb/internal/practice"
	"aplomb/internal/store"
	"aplomb/internal/store/storetest"
)

// No byte of a long, rare name is left in any of the files.
func TestErasedBytes(t *testing.T) {
	path := filepath.Join(t.TempDir(), "studio.db")
	s := at(t, path)(storetest.TheKey)
	must(t, s.Load(t.Context(), someone, func(l *store.Loader) error {
		return errors.Join(l.Studio(practice.Studio{ID: "millgate", Name: "Millgate Hall"}),
			l.Student(practice.Student{ID: "mira", Name: storetest.RareName}), l.Student(practice.Student{ID: "oda", Name: "Oda"}))
	}))
	for rev := int64(1); rev < 40; rev++ { // pages fill, split and are freed
		_, err := s.PutStudent(t.Context(), someone, practice.Student{ID: "mira", Name: storetest.RareName, Goal: strings.Repeat("x", int(rev)*50)}, rev)
		must(t, err)
		id := fmt.Sprint("n", rev)
		must(t, s.AddLog(t.Context(), someone, "mira", practice.Log{Attempts: []practice.Attempt{{ID: id, Student: "mira", Note: storetest.RareName}}}))
		_, err = s.PutNote(t.Context(), someone, practice.Note{ID: id, Student: "mira", Kind: practice.PlainNote, Text: "of " + storetest.RareName}, 0)
		must(t, err)
	}
	if n := found(t, path); n == 0 {
		t.Fatal("the name is not in the files before: the test looks in the wrong place")
	}
	_, err := s.Erase(t.Context(), someone, "mira")
	must(t, err)
	if n := found(t, path); n > 0 {
		t.Errorf("the name is still there %d times", n)
	}
	if all, err := s.Students(t.Context(), someone); err != nil || len(all) != 1 {
		t.Errorf("%v, %v", all, err)
	}
}

// found counts the rare name in the database, its log and its index.
func found(t *testing.T, path string) (n int) {
	t.Helper()
	files, err := filepath.Glob(path + "*")
	must(t, err)
	for _, f := range files {
		b, err := os.ReadFile(f)
		must(t, err)
		n += bytes.Count(b, []byte(storetest.RareName))
	}
	return n
}

// While somebody reads an older state its bytes must stay: the erasure says so,
// and the next one sees to it.
func TestErasedWhileRead(t *testing.T) {
	if testing.Short() {
		t.Skip("waits ten seconds for a lock")
	}
	t.Parallel()
	path := filepath.Join(t.TempDir(), "studio.db")
	s := at(t, path)(storetest.TheKey)
	must(t, s.Load(t.Context(), someone, func(l *store.Loader) error {
		return errors.Join(l.Studio(practice.Studio{ID: "millgate", Name: "Millgate Hall"}),
			l.Student(practice.Student{ID: "mira", Name: storetest.RareName}), l.Student(practice.Student{ID: "oda", Name: "Oda"}))
	}))
	must(t, s.Snapshot(t.Context(), someone, func(v *store.Snapshot) error {
		if _, err := v.Students(); err != nil {
			return err
		}
		key, err := s.Erase(t.Context(), someone, "mira")
		refused(t, err, practice.StoreLocked)
		if key == "" {
			t.Error("the key of what was erased is not told")
		}
		return nil
	}))
	_, err := s.Erase(t.Context(), someone, "oda")
	must(t, err)
	if n := found(t, path); n > 0 {
		t.Errorf("the name is still there %d times", n)
	}
}

// No room left: a clear code, nothing half kept, and it goes on when there is
// room again.
func TestFull(t *testing.T) {
	d, err := open(t.Context(), filepath.Join(t.TempDir(), "studio.db"))
	must(t, err)
	defer d.Close()
	s := store.New(d, nil, storetest.Now, storetest.NewID)
	_, err = s.PutStudio(t.Context(), someone, practice.Studio{ID: "millgate", Name: "Millgate Hall"}, 0)
	must(t, err)
	var pages int
	must(t, d.writer.QueryRow("PRAGMA page_count").Scan(&pages))
	limit := func(pages int) {
		if _, err := d.writer.Exec(fmt.Sprintf("PRAGMA max_page_count = %d", pages)); err != nil {
			t.Fatal(err)
		}
	}
	limit(pages + 3)
	long := practice.Student{ID: "mira", Name: "Mira", Background: strings.Repeat("x", 100_000)}
	_, err = s.PutStudent(t.Context(), someone, long, 0)
	refused(t, err, practice.StoreFull)
	if all, err := s.Students(t.Context(), someone); err != nil || len(all) != 0 {
		t.Errorf("%v, %v", all, err)
	}
	limit(pages + 1000)
	_, err = s.PutStudent(t.Context(), someone, long, 0)
	must(t, err)
}

// Another program that holds the file: a clear code after ten seconds.
func TestLocked(t *testing.T) {
	if testing.Short() {
		t.Skip("waits ten seconds for a lock")
	}
	t.Parallel()
	path := filepath.Join(t.TempDir(), "studio.db")
	other, err := sql.Open("sqlite", "file:"+path+"?_pragma=locking_mode(EXCLUSIVE)&_txlock=exclusive")
	must(t, err)
	defer other.Close()
	tx, err := other.Begin()
	must(t, err)
	defer tx.Rollback()
	_, err = openAt(path)
	refused(t, err, practice.StoreLocked)
}

// A page overwritten with something else is found when it is read.
func TestDamaged(t *testing.T) {
	path := older(t, 2, oneStudio, oneStudent)
	b, err := os.ReadFile(path)
	must(t, err)
	for i := 4096; i < len(b); i++ {
		b[i] ^= 0x5a
	}
	must(t, os.WriteFile(path, b, 0o600))
	s, err := openAt(path)
	if err == nil {
		defer s.Close()
		_, err = s.Students(t.Context(), someone)
	}
	refused(t, err, practice.StoreBroken)
}

func TestFileIsOfItsOwnerAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a folder #1?%20", "studio.db") // what an address would read otherwise
	must(t, os.Mkdir(filepath.Dir(path), 0o700))
	s := at(t, path)(nil)
	_, err := s.PutStudio(t.Context(), someone, practice.Studio{ID: "millgate"}, 0)
	must(t, err)
	files, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*"))
	must(t, err)
	if len(files) != 3 {
		t.Errorf("files %v, want the database, its log and its index", files)
	}
	for _, f := range files {
		if info, err := os.Stat(f); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", f, info.Mode(), err)
		}
	}
}

// Codes the driver gives on troubles that are hard to stage.
func TestCodes(t *testing.T) {
	for _, c := range []struct {
		driver int
		want   practice.Code
	}{
		{lib.SQLITE_BUSY_SNAPSHOT, practice.StoreLocked},
		{lib.SQLITE_READONLY_DIRECTORY, practice.StoreReadOnly},
		{lib.SQLITE_IOERR_FSYNC, practice.StoreAway},
		{lib.SQLITE_IOERR_SHMSIZE, practice.StoreFull},
		{lib.SQLITE_CORRUPT_INDEX, practice.StoreBroken},
		{lib.SQLITE_CONSTRAINT_PRIMARYKEY, practice.ExistsAlready},
		{lib.SQLITE_TOOBIG, ""},
	} {
		if got := codeOf(c.driver); got != c.want {
			t.Errorf("%d: %q, want %q", c.driver, got, c.want)
		}
	}
}
