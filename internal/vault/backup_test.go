package vault

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"pgregory.net/rapid"

	"aplomb/internal/practice"
)

var head = Head{time.Date(2026, 11, 25, 3, 15, 0, 0, time.UTC), "studio millgate, schema 1"}

func backup(t testing.TB, k *Key, content []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := k.Backup(&b, head)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(content); err != nil {
		t.Fatal(err)
	}
	sum, err := w.Finish()
	if err != nil {
		t.Fatal(err)
	}
	if want := (Sum{int64(bytes.Count(content, []byte("\n"))), int64(len(content)), sha256.Sum256(content)}); sum != want {
		t.Fatalf("sum %v, want %v", sum, want)
	}
	return b.Bytes()
}

// rows is content that does not compress to nothing.
func rows(n int) []byte {
	var b bytes.Buffer
	random := rand.New(rand.NewPCG(1, 2))
	for i := range n {
		fmt.Fprintf(&b, `{"id":"a%d","seconds":%.6f}`+"\n", i, random.Float64()*60)
	}
	return b.Bytes()
}

func read(k *Key, backup []byte) (Head, []byte, error) {
	b, err := k.OpenBackup(bytes.NewReader(backup))
	if err != nil {
		return Head{}, nil, err
	}
	content, err := io.ReadAll(b)
	return b.Head, content, err
}

func TestBackupRoundTrip(t *testing.T) {
	k, secret := newKey(t)
	next, _ := rotated(t, k)
	spare := recoveryKey(t, secret)
	rapid.Check(t, func(rt *rapid.T) {
		content := rapid.SliceOf(rapid.Byte()).Draw(rt, "content")
		b := backup(t, k, content)
		for _, with := range []*Key{k, spare, next} {
			h, got, err := read(with, b)
			if err != nil || h != head || !bytes.Equal(got, content) {
				rt.Fatalf("got %v %q, %v", h, got, err)
			}
		}
	})
}

func TestBackupSaysWhatItIs(t *testing.T) {
	k, _ := newKey(t)
	content := rows(3)
	b := backup(t, k, content)
	if first, _, _ := strings.Cut(string(b), "\n"); first != "aplomb backup 1 2026-11-25T03:15:00Z studio millgate, schema 1" {
		t.Errorf("first line %q", first)
	}
	if bytes.Contains(b, content[:10]) {
		t.Error("the content is clear")
	}
	h, sum, err := k.Verify(bytes.NewReader(b))
	if err != nil || h != head || sum.Lines != 3 || sum.Bytes != int64(len(content)) {
		t.Errorf("%v, %v, %v", h, sum, err)
	}
}

func TestBackupForAnotherKey(t *testing.T) {
	k, _ := newKey(t)
	other, _ := newKey(t)
	_, _, err := other.Verify(bytes.NewReader(backup(t, k, rows(3))))
	wantCode(t, err, practice.WrongKey)
	next, _ := rotated(t, k)
	_, _, err = next.Forget().Verify(bytes.NewReader(backup(t, k, rows(3))))
	wantCode(t, err, practice.WrongKey)
}

// Every bit of every byte of a small backup turned over, every place it can be
// cut off at, and bytes added: all are found.
func TestEveryChangeOfASmallBackupIsFound(t *testing.T) {
	k, _ := newKey(t)
	b := backup(t, k, rows(2))
	if _, _, err := k.Verify(bytes.NewReader(b)); err != nil {
		t.Fatal(err)
	}
	found := func(what string, altered []byte) {
		t.Helper()
		_, _, err := k.Verify(bytes.NewReader(altered))
		var f practice.Fault
		if !errors.As(err, &f) {
			t.Errorf("%s: not found, or no fault: %v", what, err)
		}
	}
	for i := range b {
		for bit := range 8 {
			altered := bytes.Clone(b)
			altered[i] ^= 1 << bit
			found(fmt.Sprintf("bit %d of byte %d", bit, i), altered)
		}
		found(fmt.Sprintf("cut at %d", i), b[:i])
	}
	for _, more := range []string{"\x00", "\n", "x", string(b)} {
		found("added", append(bytes.Clone(b), more...))
	}
}

// Ten thousand bytes of a larger backup, drawn at random and changed one at a
// time (in -short a hundred).
func TestRandomChangesOfALargerBackupAreFound(t *testing.T) {
	k, _ := newKey(t)
	b := backup(t, k, rows(19_000))
	if len(b) < 2*64<<10 {
		t.Fatalf("only %d bytes: age seals in chunks of 64 KiB, and there should be several", len(b))
	}
	times := 10_000
	if testing.Short() {
		times = 100
	}
	random := rand.New(rand.NewPCG(3, 4))
	for range times {
		i, turn := random.IntN(len(b)), byte(1+random.IntN(255))
		b[i] ^= turn
		if _, _, err := k.Verify(bytes.NewReader(b)); err == nil {
			t.Errorf("byte %d changed by %#x is not found", i, turn)
		}
		b[i] ^= turn
	}
	if _, _, err := k.Verify(bytes.NewReader(b)); err != nil {
		t.Errorf("and as it was: %v", err)
	}
}

// A backup that was not finished is none, though what was written is all there.
func TestUnfinishedBackup(t *testing.T) {
	k, _ := newKey(t)
	var b bytes.Buffer
	w, err := k.Backup(&b, head)
	if err != nil {
		t.Fatal(err)
	}
	w.Write(rows(3))
	w.packed.Close()
	w.sealed.Close() // no last line
	_, _, err = k.Verify(&b)
	wantCode(t, err, practice.BackupBroken)
}

// What was sealed under the right key but is not a backup is refused: another
// first line, a second gzip, a wrong sum, something after the end.
func TestWronglyMadeBackups(t *testing.T) {
	k, _ := newKey(t)
	right := Sum{0, 1, sha256.Sum256([]byte("x"))}.line()
	packed := func(s string) string {
		var b bytes.Buffer
		w := gzip.NewWriter(&b)
		io.WriteString(w, s)
		w.Close()
		return b.String()
	}
	made := func(inside string) []byte {
		b := bytes.NewBufferString(head.line())
		w, err := k.encrypt(b)
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(w, inside)
		w.Close()
		return b.Bytes()
	}
	if _, _, err := k.Verify(bytes.NewReader(made(head.line() + packed("x") + right))); err != nil {
		t.Fatalf("a right one: %v", err)
	}
	later := Head{head.Made.Add(time.Second), head.What}
	for _, inside := range []string{"", head.line(), later.line() + packed("x") + right, head.line() + packed("y") + right,
		head.line() + packed("x") + packed("x") + right, head.line() + packed("x") + right + right, head.line() + "no gzip" + right} {
		_, _, err := k.Verify(bytes.NewReader(made(inside)))
		wantCode(t, err, practice.BackupBroken)
	}
}

func TestNotABackup(t *testing.T) {
	k, _ := newKey(t)
	for _, s := range []string{"", "\n", "hello\n", "aplomb backup\n", "aplomb backup 1\n", "aplomb backup 0 2026-11-25T03:15:00Z x\n",
		"aplomb backup 1 yesterday x\n", "aplomb backup 1 2026-11-25T03:15:00Z \n", "aplomb backup 01 2026-11-25T03:15:00Z x\n",
		head.line(), head.line() + "age-encryption.org/v1\n", strings.Repeat("a", 2*headLimit)} {
		_, _, err := k.Verify(strings.NewReader(s))
		wantCode(t, err, practice.BackupBroken)
	}
	_, _, err := k.Verify(strings.NewReader("aplomb backup 2 2027-01-01T00:00:00Z x\n"))
	wantCode(t, err, practice.StoreNewer)
	_, _, err = k.Verify(iotest.ErrReader(io.ErrClosedPipe))
	wantCode(t, err, practice.BackupBroken)
}

func TestHeadIsPlain(t *testing.T) {
	k, _ := newKey(t)
	for _, what := range []string{"", " a", "a\nb", "a\x00", strings.Repeat("a", 101), "\xff"} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%q was taken", what)
				}
			}()
			k.Backup(io.Discard, Head{head.Made, what})
		}()
	}
}

// limited is a disk with room for so many bytes.
type limited struct{ room int }

func (l *limited) Write(p []byte) (int, error) {
	if len(p) > l.room {
		return 0, errors.New("no room")
	}
	l.room -= len(p)
	return len(p), nil
}

// A disk that fills at any byte is told by Backup, Write or Finish.
func TestBackupToAFullDisk(t *testing.T) {
	k, _ := newKey(t)
	whole := len(backup(t, k, rows(2)))
	for room := range whole - 20 { // two gzips of the same may differ by the time, not by 20 bytes
		b, err := k.Backup(&limited{room}, head)
		if err == nil {
			_, err = b.Write(rows(2))
		}
		if err == nil {
			_, err = b.Finish()
		}
		if err == nil {
			t.Fatalf("nothing is said with room for %d of %d bytes", room, whole)
		}
	}
}

// The whole road of a lost machine: a backup on a disk, the recovery secret on
// paper, nothing else.
func TestRestoreWithTheRecoveryKeyAlone(t *testing.T) {
	dir := t.TempDir()
	k, secret := newKey(t)
	note := sealed(t, k, place, []byte("left wrist"))
	path := filepath.Join(dir, BackupName(head.Made))
	err := WriteNew(path, func(w io.Writer) error {
		b, err := k.Backup(w, head)
		if err != nil {
			return err
		}
		io.WriteString(b, note+"\n")
		_, err = b.Finish()
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	spare := recoveryKey(t, secret)
	b, err := spare.OpenBackup(f)
	if err != nil {
		t.Fatal(err)
	}
	content, err := io.ReadAll(b)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := spare.Open(place, strings.TrimSpace(string(content)))
	if err != nil || string(plain) != "left wrist" {
		t.Errorf("%q, %v", plain, err)
	}
}

func FuzzOpenBackup(f *testing.F) {
	k, _ := newKey(f)
	f.Add(backup(f, k, rows(2)))
	f.Add([]byte(head.line() + "age-encryption.org/v1\n-> X25519 AAAA\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if _, _, err := k.Verify(bytes.NewReader(b)); err != nil {
			var fault practice.Fault
			if !errors.As(err, &fault) {
				t.Errorf("no fault: %v", err)
			}
		}
	})
}

func BenchmarkBackup(b *testing.B) {
	k, _ := newKey(b)
	content := rows(100_000)
	b.SetBytes(int64(len(content)))
	for b.Loop() {
		backup(b, k, content)
	}
}

func BenchmarkVerify(b *testing.B) {
	k, _ := newKey(b)
	content := rows(100_000)
	made := backup(b, k, content)
	b.SetBytes(int64(len(content)))
	for b.Loop() {
		if _, _, err := k.Verify(bytes.NewReader(made)); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(made))/float64(len(content)), "size/content")
}
