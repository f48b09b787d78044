package cli

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"aplomb": program})
}

// program is the command with a fixed clock. Where MEMORY_MB is set it fails
// once it took more than that from the machine.
func program() {
	status := Run(&Env{Args: os.Args[1:], Stdout: os.Stdout, Stderr: os.Stderr, Now: now})
	if limit, err := strconv.ParseUint(os.Getenv("MEMORY_MB"), 10, 64); err == nil {
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		if m.Sys > limit<<20 {
			fmt.Fprintf(os.Stderr, "took %d MB, over %d\n", m.Sys>>20, limit)
			status = 99
		}
	}
	os.Exit(status)
}

func TestScript(t *testing.T) {
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("EXAMPLE", filepath.Join(root, "doc", "example"))
			env.Setenv("PROBLEMS", filepath.Join(root, "internal", "week", "testdata"))
			env.Setenv("STUDIO", filepath.Join(root, "internal", "cli", "testdata", "studio"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "studio": studio, "edit": edit, "crlf": crlf, "cut": cut, "huge": huge, "spoil": spoil, "free": free, "answers": answers, "flip": flip,
		},
	})
}

// leaks is wording of the language or of a library that means nothing to a
// coach.
var leaks = regexp.MustCompile(`(?i)panic|goroutine|runtime error|strconv|unmarshal|invalid character|parse error|record on line|\*[a-z]+\.[A-Z]|<nil>|%!|\bNaN\b|no such file`)

// exits runs aplomb and wants this exit status: exits 2 review --students ada.
// Whatever it prints, it prints it for a coach.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: exits STATUS [ARGUMENT...]")
	}
	err := ts.Exec("aplomb", args[1:]...)
	var exit *exec.ExitError
	status := 0
	if errors.As(err, &exit) {
		status = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if strconv.Itoa(status) != args[0] {
		ts.Fatalf("exit status %d, want %s", status, args[0])
	}
	said := ts.ReadFile("stdout") + ts.ReadFile("stderr")
	if leak := leaks.FindString(said); leak != "" {
		ts.Fatalf("%q is not for a coach", leak)
	}
	if status == 2 && !strings.Contains(ts.ReadFile("stderr"), "\nSee: aplomb help") {
		ts.Fatalf("a command called wrongly points at no page of help")
	}
}

// studio makes a fresh copy of testdata/studio: studio DIR.
func studio(ts *testscript.TestScript, _ bool, args []string) {
	to := ts.MkAbs(args[0])
	ts.Check(os.RemoveAll(to))
	ts.Check(os.CopyFS(to, os.DirFS(ts.Getenv("STUDIO"))))
}

// edit replaces the first place where a text stands: edit FILE OLD NEW. Both
// texts may have the escapes of a Go string.
func edit(ts *testscript.TestScript, _ bool, args []string) {
	from, to := unescape(ts, args[1]), unescape(ts, args[2])
	before, after, found := strings.Cut(ts.ReadFile(args[0]), from)
	if !found {
		ts.Fatalf("%s has no %q", args[0], from)
	}
	write(ts, args[0], before+to+after)
}

func unescape(ts *testscript.TestScript, s string) string {
	if !strings.Contains(s, `\`) {
		return s
	}
	out, err := strconv.Unquote(`"` + strings.ReplaceAll(s, `"`, `\"`) + `"`)
	ts.Check(err)
	return out
}

// crlf ends every line of the files as another system would.
func crlf(ts *testscript.TestScript, _ bool, args []string) {
	for _, file := range args {
		write(ts, file, strings.ReplaceAll(ts.ReadFile(file), "\n", "\r\n"))
	}
}

// cut keeps the first half of a file and drops the last line end: cut FILE.
func cut(ts *testscript.TestScript, _ bool, args []string) {
	text := ts.ReadFile(args[0])
	write(ts, args[0], strings.TrimRight(text[:len(text)/2], "\n"))
}

// huge adds 100 MB without a line end to a file: huge FILE.
func huge(ts *testscript.TestScript, _ bool, args []string) {
	f, err := os.OpenFile(ts.MkAbs(args[0]), os.O_APPEND|os.O_WRONLY, 0o644)
	ts.Check(err)
	megabyte := []byte(strings.Repeat("a", 1e6))
	for range 100 {
		_, err := f.Write(megabyte)
		ts.Check(err)
	}
	ts.Check(f.Close())
}

// spoil adds rows of an unknown student to a file of marks: spoil FILE ROWS.
func spoil(ts *testscript.TestScript, _ bool, args []string) {
	rows, err := strconv.Atoi(args[1])
	ts.Check(err)
	text := ts.ReadFile(args[0])
	for i := range rows {
		text += fmt.Sprintf("m%d,nobody,2026-03-02T18:00:00Z,heel-float,helped,\n", i)
	}
	write(ts, args[0], text)
}

// flip changes the middle byte of a file.
func flip(ts *testscript.TestScript, _ bool, args []string) {
	raw := []byte(ts.ReadFile(args[0]))
	raw[len(raw)/2] ^= 0x20
	write(ts, args[0], string(raw))
}

func write(ts *testscript.TestScript, file, text string) {
	ts.Check(os.WriteFile(ts.MkAbs(file), []byte(text), 0o644))
}
