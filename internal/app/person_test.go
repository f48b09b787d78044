package app

import (
	"archive/zip"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// archived is what an archive has, by the names of its files.
func archived(t *testing.T, path string) map[string]string {
	t.Helper()
	z, err := zip.OpenReader(path)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	texts := map[string]string{}
	for _, file := range z.File {
		r, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		texts[file.Name] = string(raw)
	}
	return texts
}

// An archive has the student's own, decisions among it, and no other student.
func TestArchiveIsOfOneStudent(t *testing.T) {
	c := Config{Data: t.TempDir(), Now: time.Now, Log: quiet()}
	if _, _, err := c.NewKey(); err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.Import(t.Context(), os.DirFS("../../doc/example/millgate"), func() {}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "orla.zip")
	if _, err := c.ExportPerson(t.Context(), "millgate", "orla", path, "readme", "left out"); err != nil {
		t.Fatal(err)
	}
	texts := archived(t, path)
	for _, file := range []string{"students.json", "attempts.csv", "sessions.csv", "weeks.jsonl", "notes.jsonl", "decisions.jsonl"} {
		if !strings.Contains(texts[file], `orla`) {
			t.Errorf("%s has nothing of the student: %q", file, texts[file])
		}
	}
	for file, text := range texts {
		for _, other := range []string{"bram", "ilse", "tomas", "petra", "edda"} {
			if strings.Contains(text, other) {
				t.Errorf("%s speaks of %s", file, other)
			}
		}
	}
}
