package sqlite

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/pressly/goose/v3"

	"aplomb/internal/practice"
	"aplomb/internal/store"
	"aplomb/internal/store/storetest"
)

// older is a database of an older schema, as an older program left it.
func older(t *testing.T, version int64, statements ...string) string {
	t.Helper()
	d := &database{path: filepath.Join(t.TempDir(), "studio.db")}
	must(t, touch(d.path))
	must(t, d.settle(t.Context()))
	must(t, d.connect())
	must(t, d.schema.To(t.Context(), version))
	for _, s := range statements {
		if _, err := d.writer.ExecContext(t.Context(), s); err != nil {
			t.Fatal(err)
		}
	}
	must(t, d.Close())
	return d.path
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func refused(t *testing.T, err error, code practice.Code) {
	t.Helper()
	if !practice.HasCode(err, code) {
		t.Errorf("got %v, want %s", err, code)
	}
}

func openAt(path string) (*store.Store, error) {
	return Open(context.Background(), path, storetest.TheKey, storetest.Now, storetest.NewID)
}

var someone = practice.Who{Studio: "millgate", ID: "ines"}

const (
	oneStudio  = `INSERT INTO studios (studio, id, n, doc, rev) VALUES ('millgate', 'millgate', 1, '{"id":"millgate","name":"Millgate Hall"}', 1)`
	oneStudent = `INSERT INTO students (studio, id, n, doc, rev, erase_key) VALUES ('millgate', 'mira', 1, '{"id":"mira","name":"Mira"}', 4, 'k')`
	oneDoor    = `INSERT INTO doors (studio, hash, opens, of_id, made_ns, made_off, made_by) VALUES ('millgate', 'old', 'student', 'mira', 1, 0, 'ines')`
)

// A database of any schema before, with data in it, is brought up to date and
// nothing in it is lost.
func TestOlderSchema(t *testing.T) {
	for version := range int64(3) {
		at := at(t, older(t, version, map[int64][]string{1: {oneStudio, oneStudent}, 2: {oneStudio, oneStudent, oneDoor}}[version]...))
		s := at(nil)
		if version > 0 {
			kept, err := s.Student(t.Context(), someone, "mira")
			if err != nil || kept.Value.Name != "Mira" || kept.Rev != 4 {
				t.Errorf("from %d: %+v, %v", version, kept, err)
			}
			must(t, s.PutDoor(t.Context(), someone, practice.Door{Hash: "new", For: practice.StudentDoor, Of: "mira"}))
			must(t, s.PutLook(t.Context(), someone, practice.Look{Student: "mira"}))
		}
		if doors, err := s.Doors(t.Context(), someone); err != nil || len(doors) != int(version) {
			t.Errorf("from %d: %v, %v", version, doors, err)
		}
	}
}

func TestOlderDump(t *testing.T) { storetest.OlderDump(t, fresh) }

func TestNewerSchema(t *testing.T) {
	path := older(t, 2, oneStudio, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, 1)")
	_, err := openAt(path)
	refused(t, err, practice.StoreNewer)
	_, err = openAt(path)
	refused(t, err, practice.StoreNewer)
}

// A step that fails half-way leaves the schema and the data as they were.
func TestFailedMigration(t *testing.T) {
	path := older(t, 1, oneStudio)
	d := &database{path: path}
	must(t, d.connect())
	first, err := schema.ReadFile("schema/00001_studio.sql")
	must(t, err)
	files := fstest.MapFS{
		"00001_studio.sql": {Data: first},
		"00002_half.sql":   {Data: []byte("-- +goose Up\nCREATE TABLE half (a TEXT);\nDELETE FROM studios;\nINSERT INTO nowhere VALUES (1);\n-- +goose Down\n")},
	}
	broken, err := store.NewSchema(goose.DialectSQLite3, d.writer, files, d.Fault)
	must(t, err)
	refused(t, broken.Up(t.Context()), practice.StoreBroken)
	var n int
	must(t, d.writer.QueryRow("SELECT (SELECT COUNT(*) FROM studios) + 10 * (SELECT COUNT(*) FROM sqlite_schema WHERE name = 'half')").Scan(&n))
	must(t, d.Close())
	if n != 1 {
		t.Errorf("after a failed step: %d, want the studio and no new table", n)
	}
	if s, err := at(t, path)(nil).Studios(t.Context()); err != nil || len(s) != 1 {
		t.Errorf("%v, %v", s, err)
	}
}

// Another program runs on the older schema: it is not changed under its feet.
func TestOlderInUse(t *testing.T) {
	if testing.Short() {
		t.Skip("waits ten seconds for a lock")
	}
	t.Parallel()
	path := older(t, 1, oneStudio)
	d := &database{path: path}
	must(t, d.connect())
	must(t, d.reader.Ping())
	_, err := openAt(path)
	refused(t, err, practice.StoreLocked)
	must(t, d.Close())
	if s, err := at(t, path)(nil).Studios(t.Context()); err != nil || len(s) != 1 {
		t.Errorf("%v, %v", s, err)
	}
}

// Many open a new database at once.
func TestOpenedTogether(t *testing.T) {
	path := filepath.Join(t.TempDir(), "studio.db")
	errs := make(chan error)
	const programs = 6
	for range programs {
		go func() {
			s, err := openAt(path)
			if err == nil {
				err = s.Close()
			}
			errs <- err
		}()
	}
	for range programs {
		if err := <-errs; err != nil {
			t.Error(err)
		}
	}
}

func TestNoDatabase(t *testing.T) {
	for name, contents := range map[string]string{
		"text":      strings.Repeat("once upon a time ", 100),
		"cut":       "SQLite format 3\x00" + strings.Repeat("x", 3000),
		"a picture": "\x89PNG\r\n" + strings.Repeat("\x00", 5000),
	} {
		path := filepath.Join(t.TempDir(), "studio.db")
		must(t, os.WriteFile(path, []byte(contents), 0o600))
		_, err := openAt(path)
		refused(t, err, practice.StoreBroken)
		if back, err := os.ReadFile(path); err != nil || string(back) != contents {
			t.Errorf("%s: the file was changed", name)
		}
	}
}

// A database another program made is left as it is, to the byte.
func TestForeignDatabase(t *testing.T) {
	for _, theirs := range []string{"PRAGMA application_id = 1", "CREATE TABLE theirs (a TEXT)"} {
		path := filepath.Join(t.TempDir(), "studio.db")
		db, err := sql.Open("sqlite", path)
		must(t, err)
		_, err = db.Exec(theirs)
		must(t, err)
		must(t, db.Close())
		before, err := os.ReadFile(path)
		must(t, err)
		_, err = openAt(path)
		refused(t, err, practice.StoreBroken)
		if after, err := os.ReadFile(path); err != nil || !bytes.Equal(before, after) {
			t.Errorf("%s: the file was changed, %v", theirs, err)
		}
	}
}

func TestNoFolder(t *testing.T) {
	_, err := openAt(filepath.Join(t.TempDir(), "none", "studio.db"))
	refused(t, err, practice.NotThere)
	_, err = openAt(t.TempDir())
	if err == nil {
		t.Error("a folder was opened as a database")
	}
	var f practice.Fault
	if !errors.As(err, &f) {
		t.Errorf("%v has no code", err)
	}
}
