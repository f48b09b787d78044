package week

import (
	"os"
	"path/filepath"
	"testing"
)

func decodeFile(t testing.TB, name string) Problem {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p, err := Decode(f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return p
}
