package vault

import (
	"compress/gzip"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"strings"
	"time"
	"unicode"

	"aplomb/internal/practice"
)

// A backup is one clear line, and an age file that the key and its recovery key
// open. In that: the line again, a gzip of what was handed in, and a line that
// says how much there must be. The clear line is for people; what counts is the
// copy of it inside.
const (
	headWord    = "aplomb backup"
	headVersion = 1
	headLimit   = 256 // bytes of the first line and of the last
)

// Head is what the first line of a backup says to anybody.
type Head struct {
	Made time.Time // to the second, UTC
	What string    // what is in it: printable, on one line, at most 100 bytes
}

func (h Head) line() string {
	return fmt.Sprintf("%s %d %s %s\n", headWord, headVersion, h.Made.UTC().Format(time.RFC3339), h.What)
}

// Sum is how much was handed in.
type Sum struct {
	Lines  int64 // line ends
	Bytes  int64
	SHA256 [sha256.Size]byte
}

func (s Sum) line() string {
	return fmt.Sprintf("end lines=%d bytes=%d sha256=%x\n", s.Lines, s.Bytes, s.SHA256)
}

// tally adds up a Sum.
type tally struct {
	sum  Sum
	hash hash.Hash
}

func (t *tally) add(p []byte) {
	t.sum.Bytes += int64(len(p))
	for _, c := range p {
		if c == '\n' {
			t.sum.Lines++
		}
	}
	t.hash.Write(p)
}

func (t *tally) total() Sum {
	s := t.sum
	t.hash.Sum(s.SHA256[:0])
	return s
}

// Backup is a backup being written.
type Backup struct {
	sealed io.WriteCloser
	packed *gzip.Writer
	tally
}

// Backup begins a backup for the key and its recovery key. It is whole after
// [Backup.Finish] alone: what was left off before does not verify. A key that
// only opens is a NoKey fault. Panics on a What that is no such text.
func (k *Key) Backup(w io.Writer, head Head) (*Backup, error) {
	if !validWhat(head.What) {
		panic("vault: what is in a backup is told in 1 to 100 printable bytes")
	}
	if _, err := io.WriteString(w, head.line()); err != nil {
		return nil, err
	}
	sealed, err := k.encrypt(w)
	if err != nil {
		return nil, err
	}
	if _, err := io.WriteString(sealed, head.line()); err != nil {
		return nil, err
	}
	return &Backup{sealed, gzip.NewWriter(sealed), tally{hash: sha256.New()}}, nil
}

// Write adds to the backup.
func (b *Backup) Write(p []byte) (int, error) {
	n, err := b.packed.Write(p)
	b.add(p[:n])
	return n, err
}

// Finish writes the end of the backup, and says how much is in it.
func (b *Backup) Finish() (Sum, error) {
	if err := b.packed.Close(); err != nil {
		return Sum{}, err
	}
	sum := b.total()
	if _, err := io.WriteString(b.sealed, sum.line()); err != nil {
		return Sum{}, err
	}
	return sum, b.sealed.Close()
}

func validWhat(s string) bool {
	return s != "" && len(s) <= 100 && s == strings.TrimSpace(s) &&
		strings.IndexFunc(s, func(r rune) bool { return !unicode.IsPrint(r) || r == unicode.ReplacementChar }) < 0
}

var errNewer = errors.New("vault: written by a newer program")

// parseHead reads the first line, its line end included.
func parseHead(line string) (Head, error) {
	var version int
	if _, err := fmt.Sscanf(line, headWord+" %d ", &version); err != nil {
		return Head{}, err
	}
	if version > headVersion {
		return Head{}, errNewer
	}
	fields := strings.SplitN(strings.TrimSuffix(line, "\n"), " ", 5)
	if len(fields) != 5 || !validWhat(fields[4]) {
		return Head{}, errors.New("vault: the first line is not that of a backup")
	}
	made, err := time.Parse(time.RFC3339, fields[3])
	h := Head{made, fields[4]}
	if err == nil && h.line() != line {
		err = errors.New("vault: the first line was altered")
	}
	return h, err
}

func backupBroken(want string, err error) practice.Fault {
	return practice.Fault{Code: practice.BackupBroken, Want: want, Err: err}
}
