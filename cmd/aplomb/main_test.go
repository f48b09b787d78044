package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// TestMain lets this test binary stand in for the program.
func TestMain(m *testing.M) {
	if os.Getenv("APLOMB_TEST_AS_PROGRAM") != "" {
		main()
	}
	os.Exit(m.Run())
}

func aplomb(t *testing.T, args ...string) (stdout, stderr string, status int) {
	t.Helper()
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), "APLOMB_TEST_AS_PROGRAM=1")
	var out, talk bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &talk
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return out.String(), talk.String(), cmd.ProcessState.ExitCode()
}

// TestExitStatus: 0 done, 1 what was handed in is at fault, 2 called wrongly;
// answers go to stdout, talk to stderr.
func TestExitStatus(t *testing.T) {
	for _, c := range []struct {
		args           string
		status         int
		stdout, stderr string
	}{
		{"help", 0, "USAGE", ""},
		{"check ../../doc/example/millgate", 0, "no faults", ""},
		{"check ./nowhere", 1, "", "nowhere"},
		{"reviw", 2, "", "See: aplomb help"},
	} {
		out, talk, status := aplomb(t, strings.Fields(c.args)...)
		if status != c.status || !strings.Contains(out, c.stdout) || !strings.Contains(talk, c.stderr) {
			t.Errorf("aplomb %s: exit status %d, stdout %q, stderr %q", c.args, status, out, talk)
		}
		if c.stdout == "" && out != "" || c.stderr == "" && talk != "" {
			t.Errorf("aplomb %s: stdout %q, stderr %q", c.args, out, talk)
		}
	}
}

// TestAFileIsNoTerminal: a bar is drawn only where a person watches.
func TestAFileIsNoTerminal(t *testing.T) {
	f, err := os.CreateTemp(t.TempDir(), "talk")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if isTerminal(f) {
		t.Error("a file passes for a terminal")
	}
}
