package sqlite

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store/storetest"
)

// TestFlippedBytes flips one bit of a database, byte after byte, and opens,
// verifies and reads all of it each time. Most flips in bytes that mean
// something are found, and said with a code; nothing panics. SQLite has no sums
// over its pages (https://sqlite.org/cksumvfs.html), so a letter that is another
// is not found; a backup has sums. APLOMB_FLIPS says how many bytes apart the
// flips are; 1009 where it says nothing.
func TestFlippedBytes(t *testing.T) {
	path, whole := filledFile(t)
	clean, err := os.ReadFile(path)
	must(t, err)
	every := 1009
	if n, err := strconv.Atoi(os.Getenv("APLOMB_FLIPS")); err == nil {
		every = n
	} else if testing.Short() {
		every *= 10
	}
	var found, bare, other, same int
	for i := 0; i < len(clean); i += every {
		flipped := bytes.Clone(clean)
		flipped[i] ^= 1 << (i % 8)
		text, err := readFlipped(t, flipped)
		var f practice.Fault
		switch {
		case errors.As(err, &f):
			found++
		case err != nil && strings.Contains(err.Error(), "Scan error"): // a number that is none any more; package sql has no type for it
			bare++
		case err != nil:
			t.Errorf("byte %d: %v", i, err)
		case bytes.Equal(text, whole):
			same++
		default:
			other++
		}
	}
	t.Logf("%d bytes flipped: %d found, %d found without a code, %d change what is read, %d change nothing", found+bare+other+same, found, bare, other, same)
	if found <= bare+other {
		t.Error("most that mean something are not found")
	}
}

// filledFile is a database at rest, and all that is in it.
func filledFile(t *testing.T) (path string, whole []byte) {
	path = filepath.Join(t.TempDir(), "studio.db")
	s, err := openAt(path)
	must(t, err)
	must(t, storetest.Furnish(t.Context(), s))
	lines := &limited{left: 150}
	if err := storetest.Write(t.Context(), s, 0, lines); err == nil {
		t.Fatal("the writers ended by themselves")
	}
	var b bytes.Buffer
	must(t, s.Dump(t.Context(), &b))
	must(t, s.Close())
	return path, b.Bytes()
}

// limited fails after so many writes.
type limited struct{ left int }

func (l *limited) Write(p []byte) (int, error) {
	if l.left--; l.left < 0 {
		return 0, io.ErrShortWrite
	}
	return len(p), nil
}

// readFlipped opens, verifies and reads a database.
func readFlipped(t *testing.T, file []byte) ([]byte, error) {
	path := filepath.Join(t.TempDir(), "studio.db")
	must(t, os.WriteFile(path, file, 0o600))
	s, err := openAt(path)
	if err != nil {
		return nil, err
	}
	defer s.Close()
	if err := s.Verify(t.Context()); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := s.Dump(t.Context(), &b); err != nil {
		return nil, err
	}
	_, err = storetest.ReadAll(s, practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner})
	return b.Bytes(), err
}
