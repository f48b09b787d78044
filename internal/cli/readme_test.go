package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// TestReadmeIsTrue runs every command of README.md and doc/example-weeks.md
// that stands after "$ go run ./cmd/aplomb" and holds the lines below it against
// what the command prints. A line of three dots stands for any lines left out.
func TestReadmeIsTrue(t *testing.T) {
	t.Chdir(filepath.Join("..", ".."))
	commands := 0
	for _, name := range []string{"README.md", filepath.Join("doc", "example-weeks.md")} {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, block := range strings.Split(string(raw), "```") {
			_, rest, found := strings.Cut(block, "$ go run ./cmd/aplomb ")
			if !found {
				continue
			}
			commands++
			command, want, _ := strings.Cut(rest, "\n")
			var out, talk bytes.Buffer
			code := Run(&Env{Args: strings.Fields(command), Stdout: &out, Stderr: &talk, Now: time.Now})
			if code != 0 {
				t.Errorf("%s: %s: exit status %d: %s", name, command, code, talk.String())
			}
			if !shows(out.String(), want) {
				t.Errorf("%s: %s\n%s", name, command, cmp.Diff(want, out.String()))
			}
		}
	}
	if commands == 0 {
		t.Error("no command found: the test is blind")
	}
}

// shows says whether out is want, where "...\n" in want stands for any lines.
func shows(out, want string) bool {
	parts := strings.Split(want, "...\n")
	if !strings.HasPrefix(out, parts[0]) {
		return false
	}
	out = out[len(parts[0]):]
	for i, part := range parts[1:] {
		at := strings.Index(out, part)
		if i == len(parts)-2 {
			at = strings.LastIndex(out, part)
		}
		if at < 0 {
			return false
		}
		out = out[at+len(part):]
	}
	return out == ""
}
