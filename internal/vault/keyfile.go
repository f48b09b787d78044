package vault

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"runtime"
	"strings"

	"filippo.io/age"

	"aplomb/internal/practice"
)

const (
	secretPrefix   = "AGE-SECRET-KEY-1"
	recoveryPrefix = "# recovery:"
	keyFileLimit   = 64 << 10 // bytes; a key and some hundred older ones
)

// Text is the key as its file has it: one age identity a line, the newest
// first, after the recipient of the recovery key in a comment.
func (k *Key) Text() string {
	var b strings.Builder
	b.WriteString("# The key of a studio in aplomb. Who has it can read the health notes and the backups.\n" +
		"# Keep a copy in a safe place, never beside the backups.\n")
	if k.own != nil {
		b.WriteString(recoveryPrefix + " " + k.recovery.String() + "\n" + k.own.String() + "\n")
	}
	if len(k.old) > 0 {
		b.WriteString("# Older keys, for what was sealed before:\n")
	}
	for _, id := range k.old {
		b.WriteString(id.String() + "\n")
	}
	return b.String()
}

// Parse reads the text of a key file. On one line, as an environment wants it,
// semicolons part what are lines otherwise. Faults are BadKey with their line;
// none holds anything of the text.
func Parse(text string) (*Key, error) {
	if !strings.Contains(strings.TrimSpace(text), "\n") {
		text = strings.ReplaceAll(text, ";", "\n")
	}
	k := &Key{}
	for n, line := range strings.Split(text, "\n") {
		if err := k.line(strings.TrimSpace(line)); err != nil {
			return nil, practice.Fault{Code: practice.BadKey, Line: n + 1, Err: err,
				Want: "a line " + secretPrefix + "…, or one " + recoveryPrefix + " age1…, or a comment after #"}
		}
	}
	if k.own == nil || k.recovery == nil {
		return nil, practice.Fault{Code: practice.BadKey, Err: errors.New("vault: a line is missing"),
			Want: "a line " + secretPrefix + "… and a line " + recoveryPrefix + " age1…"}
	}
	return k, nil
}

func (k *Key) line(line string) (err error) {
	recipient, isRecovery := strings.CutPrefix(line, recoveryPrefix)
	switch {
	case isRecovery && k.recovery != nil:
		return errors.New("vault: a second recovery recipient")
	case isRecovery:
		if k.recovery, err = age.ParseX25519Recipient(strings.TrimSpace(recipient)); err != nil {
			return errors.New("vault: not a recipient") // age's own words may quote the line
		}
		return nil
	case line == "" || line[0] == '#':
		return nil
	}
	id, err := age.ParseX25519Identity(line)
	switch {
	case err != nil:
		return errors.New("vault: not an identity") // age's own words may quote the line
	case k.own == nil:
		k.own = id
	default:
		k.old = append(k.old, id)
	}
	return nil
}

// ReadKey reads a key file. A file that others can read is refused with
// OpenKey, one that is not there with NoKey. On Windows, where the mode says
// nothing of who may read, the file's permissions are not looked at.
func ReadKey(path string) (*Key, error) {
	text, err := readKeyFile(path)
	if err != nil {
		return nil, inFile(path, err)
	}
	k, err := Parse(text)
	return k, inFile(path, err)
}

func readKeyFile(path string) (string, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", practice.Fault{Code: practice.NoKey, Err: err}
	}
	if err != nil {
		return "", practice.Fault{Code: practice.NotRead, Err: err}
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return "", practice.Fault{Code: practice.NotRead, Err: err}
	}
	if mode := info.Mode(); mode.IsRegular() && mode.Perm()&0o077 != 0 && runtime.GOOS != "windows" {
		return "", practice.Fault{Code: practice.OpenKey, Value: mode.Perm().String(), Want: "on Linux and macOS, chmod 600"}
	}
	text, err := io.ReadAll(io.LimitReader(f, keyFileLimit+1))
	if err != nil {
		return "", practice.Fault{Code: practice.NotRead, Err: err}
	}
	if len(text) > keyFileLimit {
		return "", practice.Fault{Code: practice.BadKey, Want: "at most 64 KiB"}
	}
	return string(text), nil
}

// FromEnvironment reads what the environment holds: the text of a key itself,
// or the path of its file.
func FromEnvironment(value string) (*Key, error) {
	if !strings.Contains(value, secretPrefix) {
		return ReadKey(value)
	}
	return Parse(value)
}

// Create writes a new key file that only its owner can read. It overwrites
// nothing: what is there already is ExistsAlready.
func (k *Key) Create(path string) error { return WriteNew(path, k.write) }

// Replace writes the key in place of the one in the file, all of it or none.
func (k *Key) Replace(path string) error { return WriteOver(path, k.write) }

func (k *Key) write(w io.Writer) error {
	_, err := io.WriteString(w, k.Text())
	return err
}

// inFile names the file in a fault that names none.
func inFile(path string, err error) error {
	var f practice.Fault
	if errors.As(err, &f) && f.File == "" {
		f.File = path
		return f
	}
	return err
}
