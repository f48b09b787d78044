// Package archtest holds the plan of the house against the code: which room may
// import which, and that the numbers know no clock, disk or network.
package archtest

import (
	"encoding/json"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// may is the import table: for every room, the rooms of ours it may import.
// A room that is not here may not exist.
var may = map[string][]string{
	"cmd/aplomb":        {"cli"},
	"internal/holds":    {},
	"internal/skill":    {},
	"internal/load":     {},
	"internal/week":     {},
	"internal/learner":  {},
	"internal/body":     {},
	"internal/picture":  {"practice", "body"},
	"internal/numtest":  {},
	"internal/practice": {},
	"internal/words":    {"practice"},
	"internal/library":  {"practice", "words"},
	"internal/folder":   {"practice", "library"},
	"internal/assess":   {"practice", "holds", "skill", "load"},
	"internal/planning": {"practice", "library", "assess", "week"},
	"internal/rehearse": {"practice", "assess", "planning", "desk", "learner", "holds"},
	"internal/demo":     {"practice", "planning", "rehearse", "learner"},
	"internal/roster":   {"practice"},
	"internal/desk":     {"practice", "assess", "load"},
	"internal/telling":  {"practice", "assess", "planning", "desk", "load", "week", "library", "words"},
	"internal/account":  {"practice"},
	"internal/vault":    {"practice"},
	"internal/logbook":  {"practice"},
	"internal/store":    {"practice"},

	"internal/store/sqlite":    {"store", "practice"},
	"internal/store/postgres":  {"store", "practice"},
	"internal/store/storetest": {"store", "practice"},

	"internal/web": {"practice", "roster", "logbook", "account", "desk", "planning", "assess", "load", "week", "library", "telling", "picture", "words"},
	"internal/app": {"demo", "telling", "practice", "roster", "logbook", "account", "desk", "planning", "vault", "store", "store/sqlite", "store/postgres", "folder", "library",
		"web", "words"},
	"internal/cli": {"telling", "app", "vault", "roster", "account", "folder", "library", "picture", "words", "practice", "assess", "planning", "rehearse",
		"holds", "skill", "load", "week", "learner"},
	"internal/archtest": {},
}

// numbers compute from plain values alone.
var numbers = []string{"internal/holds", "internal/skill", "internal/load", "internal/week", "internal/body", "internal/learner"}

// outside is what the numbers may not touch.
var outside = []string{"os", "net", "net/http", "database/sql", "log", "log/slog", "io/fs", "path/filepath"}

type pkg struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
}

func packages(t *testing.T) []pkg {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "aplomb/...")
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var all []pkg
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p pkg
		if err := dec.Decode(&p); err == io.EOF {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

// allowed says whether room may import the package path.
func allowed(room, path string) bool {
	name, ours := strings.CutPrefix(path, "aplomb/")
	if !ours {
		return !(slices.Contains(numbers, room) && slices.Contains(outside, path))
	}
	return slices.ContainsFunc(may[room], func(r string) bool { return "internal/"+r == name })
}

func TestImportsGoDownOnly(t *testing.T) {
	all := packages(t)
	if len(all) < 8 {
		t.Fatalf("go list found %d packages: the test is not looking at the house", len(all))
	}
	for _, p := range all {
		room := strings.TrimPrefix(p.ImportPath, "aplomb/")
		if _, ok := may[room]; !ok {
			t.Errorf("%s is not in the plan of the house", room)
			continue
		}
		for _, path := range p.Imports {
			if !allowed(room, path) {
				t.Errorf("%s may not import %s", room, path)
			}
		}
	}
}

// TestOnlyTestsUseNumtest keeps the test helpers out of the program.
func TestOnlyTestsUseNumtest(t *testing.T) {
	for _, p := range packages(t) {
		if slices.Contains(p.Imports, "aplomb/internal/numtest") {
			t.Errorf("%s imports numtest outside a test", p.ImportPath)
		}
	}
}

func TestRulesBite(t *testing.T) {
	for _, bad := range []struct{ room, path string }{
		{"internal/holds", "aplomb/internal/practice"},
		{"internal/holds", "os"},
		{"internal/practice", "aplomb/internal/assess"},
		{"internal/planning", "aplomb/internal/skill"},
		{"cmd/aplomb", "aplomb/internal/folder"},
	} {
		if allowed(bad.room, bad.path) {
			t.Errorf("%s importing %s passed", bad.room, bad.path)
		}
	}
	if !allowed("internal/assess", "aplomb/internal/holds") || !allowed("internal/folder", "os") {
		t.Error("a rightful import was refused")
	}
}
