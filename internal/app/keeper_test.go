package app

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"aplomb/internal/practice"
)

// kept is the records of the example studio, with a clock that can be set.
func kept(t *testing.T, clock *time.Time) *keeper {
	t.Helper()
	c := Config{Data: filepath.Join(t.TempDir(), "my records"), Listen: "localhost:0", Log: quiet(), Now: func() time.Time { return *clock }}
	if _, _, err := c.NewKey(); err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.Import(t.Context(), os.DirFS("../../doc/example/millgate"), func() {}); err != nil {
		t.Fatal(err)
	}
	a, err := New(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := a.Close(); err != nil {
			t.Error(err)
		}
	})
	return a.records
}

var owner = practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}

func march(day int) time.Time { return time.Date(2026, 3, day, 20, 0, 0, 0, time.UTC) }

// zipOf is a zip with these entries, as they describe themselves.
func zipOf(t *testing.T, entries ...*zip.FileHeader) *bytes.Reader {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, e := range entries {
		if _, err := z.CreateRaw(e); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return bytes.NewReader(b.Bytes())
}

// codeOf is the code of the first of several faults.
func codeOf(err error) practice.Code {
	var faults practice.Faults
	if !errors.As(err, &faults) {
		return ""
	}
	return faults[0].Code
}

// A zip with names that lead out, links, names twice or too much in it is
// refused as a whole, and nothing of it is kept.
func TestTricksOfZips(t *testing.T) {
	clock := march(29)
	k := kept(t, &clock)
	link := &zip.FileHeader{Name: "studio.json"}
	link.SetMode(fs.ModeSymlink | 0o777)
	for name, c := range map[string]struct {
		entries []*zip.FileHeader
		code    practice.Code
	}{
		"up":          {[]*zip.FileHeader{{Name: "../studio.json"}}, practice.UnknownFile},
		"from inside": {[]*zip.FileHeader{{Name: "a/../../studio.json"}}, practice.UnknownFile},
		"root":        {[]*zip.FileHeader{{Name: "/etc/studio.json"}}, practice.UnknownFile},
		"a drive":     {[]*zip.FileHeader{{Name: `C:\studio.json`}}, practice.UnknownFile},
		"a link":      {[]*zip.FileHeader{link}, practice.UnknownFile},
		"twice":       {[]*zip.FileHeader{{Name: "studio.json"}, {Name: "Studio.json"}}, practice.UnknownFile},
		"too much":    {[]*zip.FileHeader{{Name: "studio.json", UncompressedSize64: maxUnpacked/2 + 1}, {Name: "tallies.csv", UncompressedSize64: maxUnpacked / 2}}, practice.OutOfRange},
		"overflowing": {[]*zip.FileHeader{{Name: "studio.json", UncompressedSize64: 1<<64 - 1}, {Name: "tallies.csv", UncompressedSize64: 1}}, practice.OutOfRange},
		"nothing":     {nil, practice.NotThere},
	} {
		r := zipOf(t, c.entries...)
		if _, err := k.Bring(t.Context(), r, r.Size()); codeOf(err) != c.code {
			t.Errorf("%s: %v", name, err)
		}
	}
	r := bytes.NewReader([]byte("no zip"))
	if _, err := k.Bring(t.Context(), r, r.Size()); codeOf(err) != practice.NotRead {
		t.Errorf("no zip: %v", err)
	}
	studios, err := k.store.Studios(t.Context())
	if err != nil || len(studios) != 1 {
		t.Errorf("%d studios, %v", len(studios), err)
	}
}

// A zip that lies about its sizes is read no further than a studio folder may
// be large.
func TestZipThatSwells(t *testing.T) {
	clock := march(29)
	k := kept(t, &clock)
	second := t.TempDir()
	if err := os.CopyFS(second, os.DirFS("../../doc/example/millgate")); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(filepath.Join(second, "studio.json"))
	if err == nil {
		err = os.WriteFile(filepath.Join(second, "studio.json"), bytes.ReplaceAll(raw, []byte(`"millgate"`), []byte(`"second"`)), 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	dir := &bounded{FS: os.DirFS(second), left: int64(len(raw)) + 1000}
	if _, err := k.take(t.Context(), dir); codeOf(err) != practice.OutOfRange || dir.left > 0 || dir.left < -1<<20 {
		t.Errorf("%d left: %v", dir.left, err)
	}
}

// By the command the page says, and the two folders as they then lie, a backup
// is restored: with what it has, without whoever was forgotten since.
func TestRestoredAsThePageSays(t *testing.T) {
	clock := march(29)
	k := kept(t, &clock)
	name, err := k.BackUp(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	data := k.config.Data
	says, err := k.Restore(name)
	place := ` --data "` + data + `-restored" --key "` + data + `/health.key"`
	want := []string{`aplomb restore "` + data + "/backups/" + name + `"` + place, "aplomb serve" + place}
	if err != nil || !slices.Equal(says, want) {
		t.Fatalf("%q, %v, want %q", says, err, want)
	}
	if err := k.Forget(t.Context(), owner, "orla"); err != nil {
		t.Fatal(err)
	}
	restored := Config{Data: data + "-restored", Key: filepath.Join(data, KeyFile), Now: k.config.Now, Log: quiet()}
	_, erased, listed, err := restored.Restore(t.Context(), filepath.Join(data, BackupsDir, name), nil)
	if err != nil || erased != 1 || !listed {
		t.Fatalf("%d forgotten again, listed %t, %v", erased, listed, err)
	}
	s, opens, err := restored.OpenStore(t.Context())
	if err != nil || !opens {
		t.Fatal(opens, err)
	}
	defer s.Close()
	if _, err := s.Student(t.Context(), owner, "orla"); !practice.HasCode(err, practice.NotFound) {
		t.Errorf("forgotten, and back: %v", err)
	}
	if students, err := s.Students(t.Context(), owner); err != nil || len(students) == 0 {
		t.Errorf("%d students, %v", len(students), err)
	}
}

// The list of who was forgotten lies beside backups made before and after, in
// whatever folder.
func TestForgottenAreListedBesideBackups(t *testing.T) {
	clock := march(29)
	k := kept(t, &clock)
	stick := t.TempDir()
	path, _, _, err := k.config.Backup(t.Context(), stick)
	if err != nil {
		t.Fatal(err)
	}
	if err := k.Forget(t.Context(), owner, "orla"); err != nil {
		t.Fatal(err)
	}
	clock = march(30)
	if _, _, _, err := k.config.Backup(t.Context(), stick); err != nil {
		t.Fatal(err)
	}
	away := Config{Data: t.TempDir(), Key: filepath.Join(k.config.Data, KeyFile), Now: k.config.Now, Log: quiet()}
	if _, erased, listed, err := away.Restore(t.Context(), path, nil); err != nil || erased != 1 || !listed {
		t.Errorf("on another machine: %d forgotten again, listed %t, %v", erased, listed, err)
	}
}

// Each backup is listed with its last check, which outlives the program; one
// whose bytes turned is told broken, and one by another name is not found.
func TestBackupsAreChecked(t *testing.T) {
	clock := march(28)
	k := kept(t, &clock)
	old, err := k.BackUp(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	clock = march(29)
	if _, _, _, err := k.config.Backup(t.Context(), filepath.Join(k.config.Data, BackupsDir)); err != nil { // as by the command
		t.Fatal(err)
	}
	all, err := k.Backups()
	if err != nil || len(all) != 2 || !all[0].Check.At.IsZero() || !all[1].Check.Whole || !all[1].Check.At.Equal(march(28)) || all[0].Bytes == 0 {
		t.Fatalf("%+v, %v", all, err)
	}
	path := filepath.Join(k.config.Data, BackupsDir, old)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	made, rows, err := k.CheckBackup(bytes.NewReader(raw))
	if err != nil || rows == 0 || !made.Equal(march(28)) {
		t.Errorf("sent: %s, %d rows, %v", made, rows, err)
	}
	raw[len(raw)/2] ^= 1
	if err := os.WriteFile(path, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err := k.CheckBackup(bytes.NewReader(raw)); !practice.HasCode(err, practice.BackupBroken) {
		t.Errorf("sent with a turned bit: %v", err)
	}
	if err := k.VerifyBackup(old); !practice.HasCode(err, practice.BackupBroken) {
		t.Errorf("a turned bit: %v", err)
	}
	if all, err = k.Backups(); err != nil || all[1].Check.Whole || !all[1].Check.At.Equal(march(29)) {
		t.Errorf("%+v, %v", all, err)
	}
	for _, name := range []string{"../studio.db", "studio.db", "checked.json", "erased", "aplomb-20260101T000000Z.backup", ""} {
		_, opened := k.OpenBackup(name)
		if err := k.VerifyBackup(name); !practice.HasCode(err, practice.NotFound) || !practice.HasCode(opened, practice.NotFound) {
			t.Errorf("%q: %v, %v", name, err, opened)
		}
	}
}
