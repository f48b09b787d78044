package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestEverySentenceIsUsed reads the program: an id is used where a string of
// the source is the id, or is the start of it up to a dot, to which the rest
// is added. It keeps sentences nobody says out of the book.
func TestEverySentenceIsUsed(t *testing.T) {
	literals := sourceStrings(t, "..")
	for id := range English.lines {
		used := literals[id]
		for at := strings.Index(id, "."); at >= 0 && !used; {
			used = literals[id[:at+1]]
			next := strings.Index(id[at+1:], ".")
			if next < 0 {
				break
			}
			at += next + 1
		}
		if !used {
			t.Errorf("nothing says %q", id)
		}
	}
}

// sourceStrings is every string literal of the program's source below dir,
// tests left out.
func sourceStrings(t *testing.T, dir string) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if s, err := strconv.Unquote(lit.Value); err == nil {
					out[s] = true
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestRangesAsAPersonReadsThem(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		want   string
	}{{0.1, 0.22, "10 to 22%"}, {0.001, 0.1, "under 1% to 10%"}, {0.5, 1, "50 to 100%"}} {
		if got := English.Range(c.lo, c.hi); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
