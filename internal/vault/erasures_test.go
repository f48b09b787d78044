package vault

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"aplomb/internal/practice"
)

func TestErasures(t *testing.T) {
	path := filepath.Join(t.TempDir(), "erased")
	_, err := Erasures(path)
	wantCode(t, err, practice.NotThere)
	want := []Erasure{{"k1", practice.DateOf(2026, 11, 25)}, {"k2", practice.DateOf(2026, 11, 26)}, {"k1", practice.DateOf(2026, 11, 27)}}
	for _, e := range want {
		if err := AddErasure(path, e); err != nil {
			t.Fatal(err)
		}
	}
	got, err := Erasures(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	text, _ := os.ReadFile(path)
	if want := "2026-11-25 k1\n2026-11-26 k2\n2026-11-27 k1\n"; string(text) != want {
		t.Errorf("the file has %q", text)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
}

func TestBadErasures(t *testing.T) {
	cases := []struct {
		text string
		line int
		code practice.Code
	}{
		{"2026-11-25 k1\n2026-11-2", 2, practice.BadDate},
		{"2026-11-25\n", 1, practice.BadID},
		{"2026-11-25 k1\n\n", 2, practice.BadDate},
		{"2026-11-25 k 1\n", 1, practice.BadID},
		{"2026-11-25 " + strings.Repeat("k", 65) + "\n", 1, practice.BadID},
		{strings.Repeat("k", 1<<17), 0, practice.NotRead},
	}
	for _, c := range cases {
		path := filepath.Join(t.TempDir(), "erased")
		if err := os.WriteFile(path, []byte(c.text), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := Erasures(path)
		f := wantCode(t, err, c.code)
		if f.File != path || f.Line != c.line {
			t.Errorf("%q: %v", c.text, f)
		}
	}
}

// The rest of a line that a power cut left does not take the next one with it.
func TestErasureAfterACutLine(t *testing.T) {
	path := filepath.Join(t.TempDir(), "erased")
	if err := os.WriteFile(path, []byte("2026-11-25 k1\n2026-11"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := AddErasure(path, Erasure{"k2", practice.DateOf(2026, 11, 26)}); err != nil {
		t.Fatal(err)
	}
	text, _ := os.ReadFile(path)
	if want := "2026-11-25 k1\n2026-11\n2026-11-26 k2\n"; string(text) != want {
		t.Errorf("the file has %q", text)
	}
	_, err := Erasures(path)
	if f := wantCode(t, err, practice.BadDate); f.Line != 2 {
		t.Errorf("line %d", f.Line)
	}
}

func TestErasuresByManyAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "erased")
	var all sync.WaitGroup
	for i := range 40 {
		all.Go(func() {
			if err := AddErasure(path, Erasure{string(rune('A' + i%26)), practice.Date(i)}); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	got, err := Erasures(path)
	if err != nil {
		t.Fatal(err)
	}
	days := map[practice.Date]bool{}
	for _, e := range got {
		days[e.Day] = true
	}
	if len(got) != 40 || len(days) != 40 {
		t.Errorf("%d lines, %d days", len(got), len(days))
	}
}

func TestErasureMisuse(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a name was taken for an opaque key")
		}
	}()
	AddErasure(filepath.Join(t.TempDir(), "erased"), Erasure{"Otto Veen", 0})
}

func TestErasuresCannotBeWritten(t *testing.T) {
	err := AddErasure(filepath.Join(t.TempDir(), "none", "erased"), Erasure{"k", 0})
	wantCode(t, err, practice.NotWritten)
	_, err = Erasures(t.TempDir())
	wantCode(t, err, practice.NotRead)
}

func FuzzErasures(f *testing.F) {
	f.Add("2026-11-25 k1\n2026-11-26 k2\n")
	f.Fuzz(func(t *testing.T, text string) {
		all, err := readErasures("erased", strings.NewReader(text))
		if err != nil {
			return
		}
		var again strings.Builder
		for _, e := range all {
			again.WriteString(e.Day.String() + " " + e.Key + "\n")
		}
		back, err := readErasures("erased", strings.NewReader(again.String()))
		if err != nil || !slices.Equal(all, back) {
			t.Errorf("what was read is not read again: %v", err)
		}
	})
}
