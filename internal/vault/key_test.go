package vault

import (
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"aplomb/internal/practice"
)

func newKey(t testing.TB) (*Key, string) {
	t.Helper()
	k, recovery, err := New()
	if err != nil {
		t.Fatal(err)
	}
	return k, recovery
}

func recoveryKey(t testing.TB, secret string) *Key {
	t.Helper()
	k, err := Recovery(secret)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func rotated(t testing.TB, k *Key) (*Key, string) {
	t.Helper()
	next, recovery, err := k.Rotate()
	if err != nil {
		t.Fatal(err)
	}
	return next, recovery
}

func wantCode(t testing.TB, err error, code practice.Code) practice.Fault {
	t.Helper()
	var f practice.Fault
	if !errors.As(err, &f) || f.Code != code {
		t.Fatalf("got %v, want the code %s", err, code)
	}
	return f
}

// However a key is printed or logged, nothing of it is seen.
func TestKeyIsNotPrinted(t *testing.T) {
	k, _ := newKey(t)
	all := fmt.Sprintf("%v %+v %#v %s %q %x %d %v", k, k, k, k, k, k, k, struct{ K *Key }{k})
	if want := strings.Repeat("vault.Key ", 7) + "{vault.Key}"; all != want {
		t.Errorf("printed as %s", all)
	}
	var log strings.Builder
	slog.New(slog.NewTextHandler(&log, nil)).Info("text", "key", k)
	slog.New(slog.NewJSONHandler(&log, nil)).Info("json", "key", k)
	if !strings.Contains(log.String(), "key=vault.Key\n") || !strings.Contains(log.String(), `"key":{}`) {
		t.Errorf("logged as %s", log.String())
	}
}

func TestKeyFileRoundTrip(t *testing.T) {
	first, _ := newKey(t)
	second, _ := rotated(t, first)
	third, _ := rotated(t, second)
	for _, k := range []*Key{first, second, third} {
		path := filepath.Join(t.TempDir(), "health.key")
		if err := k.Create(path); err != nil {
			t.Fatal(err)
		}
		got, err := ReadKey(path)
		if err != nil {
			t.Fatal(err)
		}
		if got.Text() != k.Text() || got.Older() != k.Older() || !got.Seals() {
			t.Errorf("read back as another key")
		}
		if again, err := FromEnvironment(path); err != nil || again.Text() != k.Text() {
			t.Errorf("by its path from the environment: %v", err)
		}
		if again, err := FromEnvironment(k.Text()); err != nil || again.Text() != k.Text() {
			t.Errorf("by its text from the environment: %v", err)
		}
	}
}

// One line, as a service's environment wants it, is the same key.
func TestKeyOnOneLine(t *testing.T) {
	k, _ := newKey(t)
	var lines []string
	for line := range strings.Lines(k.Text()) {
		lines = append(lines, strings.TrimSpace(line))
	}
	got, err := FromEnvironment(strings.Join(lines[2:], "; "))
	if err != nil || got.Text() != k.Text() {
		t.Errorf("read as another key: %v", err)
	}
}

func TestKeyFileIsNotOverwritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "health.key")
	first, _ := newKey(t)
	second, _ := newKey(t)
	if err := first.Create(path); err != nil {
		t.Fatal(err)
	}
	wantCode(t, second.Create(path), practice.ExistsAlready)
	if kept, err := ReadKey(path); err != nil || kept.Text() != first.Text() {
		t.Errorf("the first key is gone: %v", err)
	}
}

func TestKeyFileOthersCanRead(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("modes say nothing of who may read on Windows")
	}
	path := filepath.Join(t.TempDir(), "health.key")
	k, _ := newKey(t)
	if err := k.Create(path); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("made with mode %v, %v", info.Mode(), err)
	}
	for _, mode := range []os.FileMode{0o640, 0o604, 0o660, 0o644, 0o620} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
		_, err := ReadKey(path)
		if f := wantCode(t, err, practice.OpenKey); f.File != path {
			t.Errorf("file %q is not named", f.File)
		}
	}
}

// What is no key is told with its line, and without a byte of what may be a
// secret, in the cause as well.
func TestBadKeys(t *testing.T) {
	k, secret := newKey(t)
	other, _ := newKey(t)
	good := strings.Split(strings.TrimSpace(k.Text()), "\n")
	recoveryLine, identity := good[2], good[3]
	cut := identity[:len(identity)-3]
	cases := map[string]struct {
		text string
		line int
	}{
		"empty":               {"", 0},
		"only comments":       {"# nothing\n# here\n", 0},
		"no recovery":         {"\n" + identity + "\n", 0},
		"no identity":         {recoveryLine + "\n", 0},
		"an identity cut off": {recoveryLine + "\n\n" + cut + "\n", 3},
		"an old one cut off":  {recoveryLine + "\n" + identity + "\n" + cut, 3},
		"two recoveries":      {recoveryLine + "\n" + recoveryLine + "\n" + identity, 2},
		"a recovery secret in the place of its recipient": {"# a\n# recovery: " + secret + "\n" + identity, 2},
		"something else": {"hello\n", 1},
		"lower case":     {recoveryLine + "\n" + strings.ToLower(identity) + "\n", 2},
	}
	for name, c := range cases {
		_, err := Parse(c.text)
		f := wantCode(t, err, practice.BadKey)
		if f.Line != c.line || f.Want == "" {
			t.Errorf("%s: line %d, want %d: %v", name, f.Line, c.line, f)
		}
		told := f.Error() + fmt.Sprint(f.Err)
		for _, part := range []string{identity[16:40], cut[16:40], secret[16:40], other.Text()} {
			if strings.Contains(strings.ToUpper(told), part) {
				t.Errorf("%s: the fault tells a secret", name)
			}
		}
	}
}

func TestKeyFilesThatCannotBeRead(t *testing.T) {
	dir := t.TempDir()
	_, err := ReadKey(filepath.Join(dir, "none"))
	wantCode(t, err, practice.NoKey)
	_, err = FromEnvironment("")
	wantCode(t, err, practice.NoKey)
	if err := os.Chmod(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	_, err = ReadKey(dir)
	if err == nil {
		t.Error("a folder was read as a key")
	}
	long := filepath.Join(dir, "long")
	if err := os.WriteFile(long, []byte(strings.Repeat("# long\n", keyFileLimit/7+1)), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = ReadKey(long)
	wantCode(t, err, practice.BadKey)
}

func TestRecoverySecretFromPaper(t *testing.T) {
	k, secret := newKey(t)
	sealed, err := k.Seal("hall/note/1", []byte("left wrist"))
	if err != nil {
		t.Fatal(err)
	}
	var groups []string
	for i := 0; i < len(secret); i += 6 {
		groups = append(groups, secret[i:min(i+6, len(secret))])
	}
	for _, typed := range []string{secret, " " + secret + "\n", strings.ToLower(secret), strings.Join(groups, " ")} {
		if plain, err := recoveryKey(t, typed).Open("hall/note/1", sealed); err != nil || string(plain) != "left wrist" {
			t.Errorf("typed %q: %q, %v", typed[:3], plain, err)
		}
	}
	_, err = Recovery(secret[:len(secret)-1])
	f := wantCode(t, err, practice.BadKey)
	if strings.Contains(f.Error()+fmt.Sprint(f.Err), secret[16:40]) {
		t.Error("the fault tells the secret")
	}
	_, err = recoveryKey(t, secret).Seal("hall/note/1", nil)
	wantCode(t, err, practice.NoKey)
}

func FuzzParse(f *testing.F) {
	k, _ := newKey(f)
	f.Add(k.Text())
	f.Add("# recovery: age1\n" + secretPrefix)
	f.Add(";;\r\n#")
	f.Fuzz(func(t *testing.T, text string) {
		k, err := Parse(text)
		if err != nil {
			wantCode(t, err, practice.BadKey)
			return
		}
		again, err := Parse(k.Text())
		if err != nil || again.Text() != k.Text() {
			t.Errorf("what was read is not read again: %v", err)
		}
	})
}
