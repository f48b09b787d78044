package app

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"aplomb/internal/practice"

	"github.com/chromedp/chromedp"
)

// zipped is a folder as a zip, its files changed by name on the way.
func zipped(t *testing.T, dir string, change map[string]func([]byte) []byte) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		raw, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if do := change[f.Name()]; do != nil {
			raw = do(raw)
		}
		w, err := z.Create("a-studio/" + f.Name())
		if err == nil {
			_, err = w.Write(raw)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "studio.zip")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// upload names a file in a field, and sends its form.
func (b *tabOf) upload(field, path string) {
	b.t.Helper()
	b.do(chromedp.SetUploadFiles(chromedp.CSS(field), []string{path}))
	b.enter("form:has(" + field + ") button")
}

// The records in a browser: a backup made, checked and fetched; a studio folder
// with faults changes nothing and is told line by line, a sound one is brought
// in; a student's record, and forgetting them; covers.
func TestRecordsInABrowser(t *testing.T) {
	b := browser(t)
	url := demoed(t, b)
	b.open(url + "/records")
	b.enter("form[action='/records/backups'] button")
	b.reads("is made, and was read whole.", "Whole when it was checked", "aplomb restore")
	b.enter("form[action^='/records/backups/'] button")
	b.reads("is whole.")
	b.shoot("records")
	const example = "../../doc/example/millgate"
	faulty := zipped(t, example, map[string]func([]byte) []byte{
		"studio.json":  func(raw []byte) []byte { return bytes.ReplaceAll(raw, []byte(`"millgate"`), []byte(`"second"`)) },
		"attempts.csv": func(raw []byte) []byte { return bytes.Replace(raw, []byte("open-try"), []byte("open-tri"), 1) },
	})
	b.upload("#zip", faulty)
	b.reads("Nothing was brought in.", "attempts.csv, line", "open-try")
	b.shoot("records-faults")
	notZip := filepath.Join(t.TempDir(), "x.zip")
	if err := os.WriteFile(notZip, []byte("no zip"), 0o600); err != nil {
		t.Fatal(err)
	}
	b.upload("#zip", notZip)
	b.reads("Nothing was brought in: This is not a zip")
	b.upload("#backup", notZip)
	b.reads("x.zip: ")
	b.upload("#zip", zipped(t, example, map[string]func([]byte) []byte{
		"studio.json": func(raw []byte) []byte { return bytes.ReplaceAll(raw, []byte(`"millgate"`), []byte(`"second"`)) }}))
	b.reads("is brought in.", "/in/second/")
	b.upload("#zip", zipped(t, example, map[string]func([]byte) []byte{
		"studio.json": func(raw []byte) []byte { return bytes.ReplaceAll(raw, []byte(`"millgate"`), []byte(`"second"`)) }}))
	b.reads("Nothing was brought in:")

	b.open(url + "/records")
	b.keys("#name", "orla")
	b.enter("form[role=search] button")
	b.enter("a[href$='/orla/trail']")
	b.reads("Orla Tennick: record", "Download everything kept of this student")
	b.enter("button[value=archive]")
	b.enter("button[value=back]")
	b.keys(".trail summary", "\r")
	b.reads("Ines Marlow changed the record.", "archived from")
	b.shoot("trail-student")
	b.enter("a[href$='/forget']")
	b.shoot("forget")
	b.fill("main form", "name", "Orla")
	b.reads("That is not the student's name.")
	b.fill("main form", "name", "Orla Tennick")
	b.reads("The student is forgotten.", "1 was forgotten")
	b.open(url + "/students/orla")
	b.reads("There is no such page.")
	b.open(url + "/trail")
	b.reads("erased")
	b.shoot("trail")
	b.open(url + "/covers")
	b.fill("section[aria-labelledby=new] form", "from", "01012026", "to", "01012026")
	b.reads("Nothing was kept")
	b.shoot("covers")
}

// What is fetched is whole: the folder comes in again, and the archive of a
// student holds nobody else.
func TestFetchedFolderAndArchive(t *testing.T) {
	c := Config{Data: t.TempDir(), Listen: "localhost:0", Log: quiet(), Now: func() time.Time { return time.Date(2026, 3, 29, 20, 0, 0, 0, time.UTC) }}
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
	defer a.Close()
	k := a.records
	var folder, person bytes.Buffer
	who := practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}
	if err := k.Folder(t.Context(), who, &folder); err != nil {
		t.Fatal(err)
	}
	if _, err := k.Bring(t.Context(), bytes.NewReader(folder.Bytes()), int64(folder.Len())); err == nil {
		t.Error("a studio that is there already was brought in again")
	}
	if err := k.Person(t.Context(), who, "orla", &person); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(person.Bytes()), int64(person.Len()))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(r)
		if err != nil || bytes.Contains(raw, []byte("Petra")) {
			t.Errorf("%s: %v, or somebody else is in it", f.Name, err)
		}
	}
}

// A zip may not unpack to more than a studio folder can be, whatever it says.
func TestZipsAreBounded(t *testing.T) {
	var many, big bytes.Buffer
	z := zip.NewWriter(&many)
	for range maxFiles + 1 {
		if _, err := z.Create("a"); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	z = zip.NewWriter(&big)
	w, err := z.Create("studio.json")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(make([]byte, 1<<20)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := unpacked(bytes.NewReader(many.Bytes()), int64(many.Len())); err == nil {
		t.Error("too many files were unpacked")
	}
	dir, err := unpacked(bytes.NewReader(big.Bytes()), int64(big.Len()))
	if err != nil {
		t.Fatal(err)
	}
	dir.(*bounded).left = 1000
	f, err := dir.Open("studio.json")
	if err != nil {
		t.Fatal(err)
	}
	if n, err := io.Copy(io.Discard, f); err == nil || n > 64<<10 {
		t.Errorf("%d bytes were read of 1000 that may be: %v", n, err)
	}
}
