package vault

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func testFile(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A key, a recovery secret, a sealed text and a backup as the first version
// wrote them (testdata/SOURCES.md) open: what a studio has stays readable.
func TestFirstVersionStillOpens(t *testing.T) {
	key, err := Parse(string(testFile(t, "first.key")))
	if err != nil {
		t.Fatal(err)
	}
	for _, with := range []*Key{key, recoveryKey(t, string(testFile(t, "first.recovery")))} {
		plain, err := with.Open(place, strings.TrimSpace(string(testFile(t, "first.sealed"))))
		if err != nil || string(plain) != "left wrist" {
			t.Errorf("sealed: %q, %v", plain, err)
		}
		h, content, err := read(with, testFile(t, "first.backup"))
		if err != nil || h != head || !bytes.Equal(content, rows(2)) {
			t.Errorf("backup: %v %q, %v", h, content, err)
		}
	}
}
