package vault

import (
	"bufio"
	"compress/gzip"
	"crypto/sha256"
	"errors"
	"io"

	"filippo.io/age"

	"aplomb/internal/practice"
)

// Restored is a backup being read.
type Restored struct {
	Head   Head
	inside *bufio.Reader // the age file, opened
	packed *gzip.Reader
	err    error // where reading ended
	tally
}

// OpenBackup begins to read a backup. What cannot be one is BackupBroken; one
// for another key, or whose part about keys was altered, is WrongKey.
func (k *Key) OpenBackup(r io.Reader) (*Restored, error) {
	outer := bufio.NewReaderSize(r, headLimit)
	line, err := outer.ReadSlice('\n')
	if err != nil {
		return nil, backupBroken("a first line "+headWord+" 1", err)
	}
	first := string(line)
	head, err := parseHead(first)
	if errors.Is(err, errNewer) {
		return nil, practice.Fault{Code: practice.StoreNewer, Err: err}
	}
	if err != nil {
		return nil, backupBroken("a first line "+headWord+" 1", err)
	}
	sealed, err := decrypt(outer, k.identities())
	if none := new(age.NoIdentityMatchError); errors.As(err, &none) {
		return nil, wrongKey(err)
	}
	if err != nil {
		return nil, backupBroken("", err)
	}
	b := &Restored{Head: head, inside: bufio.NewReader(sealed), tally: tally{hash: sha256.New()}}
	if err := b.begin(first); err != nil {
		return nil, err
	}
	return b, nil
}

// begin holds the clear line against the one inside.
func (b *Restored) begin(first string) error {
	again := make([]byte, len(first))
	if _, err := io.ReadFull(b.inside, again); err != nil {
		return backupBroken("", err)
	}
	if string(again) != first {
		return backupBroken("the first line it was made with", errors.New("vault: the first line was altered"))
	}
	packed, err := gzip.NewReader(b.inside)
	if err != nil {
		return backupBroken("", err)
	}
	packed.Multistream(false)
	b.packed = packed
	return nil
}

// Read reads what was handed in. Only io.EOF says that all of it was there and
// sound: keep nothing of what was read before it is seen. A backup that is cut
// off or altered ends in BackupBroken.
func (b *Restored) Read(p []byte) (int, error) {
	if b.err != nil || len(p) == 0 {
		return 0, b.err
	}
	n, err := b.packed.Read(p)
	b.add(p[:n])
	switch {
	case err == io.EOF:
		b.err = b.finish()
	case err != nil:
		b.err = backupBroken("", err)
	}
	return n, b.err
}

// finish holds the last line against what was read, and is io.EOF if they agree
// and nothing follows.
func (b *Restored) finish() error {
	last, err := io.ReadAll(io.LimitReader(b.inside, headLimit))
	if err != nil {
		return backupBroken("", err)
	}
	if string(last) != b.total().line() {
		return backupBroken("", errors.New("vault: the last line does not fit what was read"))
	}
	return io.EOF
}

// Sum is how much was read.
func (b *Restored) Sum() Sum { return b.total() }

// Verify reads a whole backup and throws it away: nil if every byte of it is
// as it was written, none is missing and none was added.
func (k *Key) Verify(r io.Reader) (Head, Sum, error) {
	b, err := k.OpenBackup(r)
	if err != nil {
		return Head{}, Sum{}, err
	}
	if _, err := io.Copy(io.Discard, b); err != nil {
		return b.Head, Sum{}, err
	}
	return b.Head, b.Sum(), nil
}
