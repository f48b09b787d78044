package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"

	"aplomb/internal/practice"
)

// place names where a sealed text is kept.
func place(studio string, noun practice.Noun, id string) string {
	return studio + "/" + string(noun) + "/" + id
}

func noKey() practice.Fault { return practice.Fault{Code: practice.NoKey} }

func broken(err error) practice.Fault { return practice.Fault{Code: practice.StoreBroken, Err: err} }

// sealed is the text of something private, empty where there is nothing.
func (t *tx) sealed(noun practice.Noun, id string, plain []byte) (string, error) {
	if plain == nil {
		return "", nil
	}
	if t.s.seal == nil {
		return "", noKey()
	}
	return t.s.seal.Seal(place(t.who.Studio, noun, id), plain)
}

// marshal is JSON without escapes that only HTML needs. Text that is not UTF-8
// is refused: JSON would turn it into something else.
func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	doc := bytes.TrimSuffix(b.Bytes(), []byte("\n"))
	if bytes.Contains(doc, []byte(`\ufffd`)) && strings.Contains(strings.NewReplacer(`\\`, ``).Replace(string(doc)), `\ufffd`) {
		return nil, practice.Fault{Code: practice.NotUTF8}
	}
	return doc, nil
}

func unmarshal(doc []byte, v any) error { return json.Unmarshal(doc, v) }

// side is one side of a change: how the thing read, open to everybody who may
// see the trail, and whole where that is more.
type side struct{ open, whole []byte }

// marked is a JSON object that says of itself that something was left out.
func marked(doc []byte) []byte {
	const mark = `"sealed":true}`
	if bytes.Equal(doc, []byte("{}")) {
		return []byte("{" + mark)
	}
	return append(doc[:len(doc)-1:len(doc)-1], ","+mark...)
}

// both is the whole of a change, as it is sealed.
type both struct {
	Before json.RawMessage `json:"before,omitempty"`
	After  json.RawMessage `json:"after,omitempty"`
}

// seals is what of the two sides is to be sealed, nil where nothing is.
func seals(before, after side) ([]byte, error) {
	if before.whole == nil && after.whole == nil {
		return nil, nil
	}
	whole := func(s side) json.RawMessage {
		if s.whole == nil {
			return s.open
		}
		return s.whole
	}
	return marshal(both{whole(before), whole(after)})
}

// parted is one side of a change that comes from outside: what is private of
// its noun is found and kept apart. What does not read as its noun is kept
// apart whole.
func parted(noun practice.Noun, doc []byte) (side, error) {
	if len(doc) == 0 {
		return side{}, nil
	}
	open, err := opened(noun, doc)
	if errors.Is(err, errUnread) {
		return side{open: []byte(`{"sealed":true}`), whole: doc}, nil
	}
	if err != nil || open == nil {
		return side{open: doc}, err
	}
	return side{open: marked(open), whole: doc}, nil
}

var errUnread = errors.New("store: not the JSON of its noun")

// opened is the document without what is private of it, nil where nothing is.
func opened(noun practice.Noun, doc []byte) ([]byte, error) {
	switch noun {
	case practice.StudentNoun:
		return without(students.private, doc)
	case practice.NoteNoun:
		return without(notes.private, doc)
	case practice.SessionNoun:
		var row map[string]any
		if err := json.Unmarshal(doc, &row); err != nil {
			return nil, errUnread
		}
		if row[painSite] == nil || row[painSite] == "" {
			return nil, nil
		}
		delete(row, painSite)
		return marshal(row)
	}
	return nil, nil
}

func without[T any](p *private[T], doc []byte) ([]byte, error) {
	var v T
	if err := json.Unmarshal(doc, &v); err != nil {
		return nil, errUnread
	}
	open, rest, err := p.split(v)
	if err != nil || rest == nil {
		return nil, err
	}
	return marshal(open)
}
