package vault

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"aplomb/internal/practice"
)

func only(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if strings.Join(names, " ") != strings.Join(want, " ") {
		t.Errorf("in the folder: %v, want %v", names, want)
	}
}

func says(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

func TestWriteNewAndOver(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "file")
	if err := WriteNew(path, says("one")); err != nil {
		t.Fatal(err)
	}
	f := wantCode(t, WriteNew(path, says("two")), practice.ExistsAlready)
	if f.File != path {
		t.Error("the file is not named")
	}
	failing := errors.New("half way")
	err := WriteOver(path, func(w io.Writer) error { io.WriteString(w, "tw"); return failing })
	if f := wantCode(t, err, practice.NotWritten); !errors.Is(f, failing) {
		t.Error("the cause is lost")
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "one" {
		t.Errorf("%q, %v", got, err)
	}
	if err := WriteOver(path, says("two")); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "two" {
		t.Errorf("%q, %v", got, err)
	}
	only(t, dir, "file")
	wantCode(t, WriteNew(filepath.Join(dir, "none", "file"), says("x")), practice.NotWritten)
	wantCode(t, WriteNew(filepath.Join(dir, "other"), func(io.Writer) error { return practice.Fault{Code: practice.StoreFull} }), practice.StoreFull)
	only(t, dir, "file")
}

// A file that appears while another is written is not written over.
func TestWriteNewAgainstAnother(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "file")
	err := WriteNew(path, func(io.Writer) error { return os.WriteFile(path, []byte("theirs"), 0o600) })
	wantCode(t, err, practice.ExistsAlready)
	if got, _ := os.ReadFile(path); string(got) != "theirs" {
		t.Errorf("%q", got)
	}
	only(t, dir, "file")
}

const fileToWrite = "VAULT_TEST_FILE" // set: this process is one that will be killed

func TestMain(m *testing.M) {
	if path := os.Getenv(fileToWrite); path != "" {
		writeForever(path)
	}
	os.Exit(m.Run())
}

func writeForever(path string) {
	for i := byte('a'); ; i = 'a' + (i-'a'+1)%26 {
		WriteOver(path, func(w io.Writer) error {
			for range 64 {
				w.Write(bytes.Repeat([]byte{i}, 4096))
			}
			return nil
		})
	}
}

// A process that writes a file over and over is killed at twenty moments: the
// file is one of those it wrote, whole, and what is left beside it is cleared.
func TestKilledWhileWriting(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "file")
	for kill := range 20 {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), fileToWrite+"="+path)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		for range 1000 { // until the first is written
			if _, err := os.Stat(path); err == nil {
				break
			}
			time.Sleep(5 * time.Millisecond)
		}
		time.Sleep(time.Duration(kill) * time.Millisecond)
		cmd.Process.Kill()
		cmd.Wait()
		got, err := os.ReadFile(path)
		if err != nil || len(got) != 64*4096 || bytes.Count(got, got[:1]) != len(got) {
			t.Fatalf("kill %d: %d bytes, %v", kill, len(got), err)
		}
	}
	if err := ClearUnfinished(dir, time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	only(t, dir, "file")
}

func TestClearUnfinished(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{".aplomb-1.part", "aplomb-1.part", ".aplomb-1", "health.key"} {
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := ClearUnfinished(dir, time.Now().Add(-time.Hour)); err != nil {
		t.Fatal(err)
	}
	only(t, dir, ".aplomb-1", ".aplomb-1.part", "aplomb-1.part", "health.key")
	if err := ClearUnfinished(dir, time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	only(t, dir, ".aplomb-1", "aplomb-1.part", "health.key")
	wantCode(t, ClearUnfinished(filepath.Join(dir, "none"), today), practice.NotWritten)
}
