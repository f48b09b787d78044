package vault

import (
	"bytes"
	"encoding/base64"
	"errors"
	"io"
	"strings"

	"filippo.io/age"

	"aplomb/internal/practice"
)

// A sealed text is base64 (RFC 4648 section 4, strict) of an age file, and in
// it the place, a line end, the text, a byte 0x80 and zeros up to the next
// multiple of step: the length tells little of a short text.
const (
	step = 64 // bytes
	end  = 0x80
)

var encoding = base64.StdEncoding.Strict()

// Seal closes a text so that it opens at the place named alone, with the key
// or its recovery key. The result is one line of ASCII. A key that only opens
// is a NoKey fault. Panics on a place with a line end in it.
func (k *Key) Seal(of string, plain []byte) (string, error) {
	if strings.Contains(of, "\n") {
		panic("vault: a place has no line end in it")
	}
	var b bytes.Buffer
	w, err := k.encrypt(&b)
	if err != nil {
		return "", err
	}
	if _, err := w.Write(padded(of, plain)); err != nil {
		return "", err
	}
	if err := w.Close(); err != nil {
		return "", err
	}
	return encoding.EncodeToString(b.Bytes()), nil
}

// Open is the text that was sealed at the place. A text sealed for another key
// or another place, or altered, is a WrongKey fault.
func (k *Key) Open(of, sealed string) ([]byte, error) { return open(of, sealed, k.identities()) }

// Reseal seals a text for the newest key. What is sealed for that already comes
// back as it is, so that a walk over all of them may begin again at any time.
func (k *Key) Reseal(of, sealed string) (string, error) {
	if k.own != nil {
		if _, err := open(of, sealed, []*age.X25519Identity{k.own}); err == nil {
			return sealed, nil
		}
	}
	plain, err := k.Open(of, sealed)
	if err != nil {
		return "", err
	}
	return k.Seal(of, plain)
}

func open(of, sealed string, ids []*age.X25519Identity) ([]byte, error) {
	if strings.ContainsAny(sealed, "\r\n") { // the decoder would pass over them
		return nil, wrongKey(errors.New("vault: a sealed text is one line"))
	}
	raw, err := encoding.DecodeString(sealed)
	if err != nil {
		return nil, wrongKey(err)
	}
	r, err := decrypt(bytes.NewReader(raw), ids)
	if err != nil {
		return nil, wrongKey(err)
	}
	clear, err := io.ReadAll(r)
	if err != nil {
		return nil, wrongKey(err)
	}
	place, rest, ok := bytes.Cut(clear, []byte("\n"))
	if !ok || string(place) != of {
		f := wrongKey(errors.New("vault: sealed for another place"))
		f.Want = "It was sealed for another entry: restore a backup from before it was moved"
		return nil, f
	}
	return unpadded(rest)
}

func padded(of string, plain []byte) []byte {
	room := (len(plain)/step + 1) * step
	b := make([]byte, len(of)+1+room)
	at := copy(b, of)
	b[at] = '\n'
	at += 1 + copy(b[at+1:], plain)
	b[at] = end
	return b
}

func unpadded(b []byte) ([]byte, error) {
	b = bytes.TrimRight(b, "\x00")
	if len(b) == 0 || b[len(b)-1] != end {
		return nil, wrongKey(errors.New("vault: the end of the text is missing"))
	}
	return b[:len(b)-1], nil
}

func wrongKey(err error) practice.Fault { return practice.Fault{Code: practice.WrongKey, Err: err} }
