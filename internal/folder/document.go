package folder

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"reflect"

	"aplomb/internal/practice"
)

// MaxDocument is the most bytes a JSON file may take; a file of lines may be
// longer.
const MaxDocument = 64 << 20

// readDocument reads a JSON file whole and makes sure that it is JSON. It is
// nil, with a fault, where it is not.
func readDocument(file io.Reader, l *list) []byte {
	src, err := newInput(file)
	if err != nil {
		l.add(1, readFault(err))
		return nil
	}
	src.limit = MaxDocument
	data, err := io.ReadAll(src)
	if errors.Is(err, errTooLong) {
		l.add(src.lines+1, tooLong(MaxDocument))
		return nil
	}
	if err != nil {
		l.add(src.lines+1, readFault(err))
		return nil
	}
	if !validJSON(data, 1, l) {
		return nil
	}
	return data
}

// validJSON says whether data is one JSON value, and notes where it breaks.
func validJSON(data []byte, first int, l *list) bool {
	var raw json.RawMessage
	err := json.Unmarshal(data, &raw)
	if err == nil {
		return true
	}
	at := len(data)
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		at = min(int(syntax.Offset), at)
	}
	f := practice.Fault{Code: practice.BadJSON, Err: err}
	if at < len(data) || !cut(err) {
		f.Value = practice.Short(string(bytes.ToValidUTF8(bytes.TrimSpace(data[max(0, at-20):at]), []byte("?"))))
	}
	l.add(first+bytes.Count(data[:max(0, at-1)], []byte{'\n'}), f)
	return false
}

// cut says whether the JSON ended too early, rather than went wrong.
func cut(err error) bool { return err.Error() == "unexpected end of JSON input" }

// decodeObject fills a T from a file that is one object. The record is nil
// where it is too long to be one.
func decodeObject[T any](data []byte, l *list) (v T, r *record) {
	if len(data) > MaxRecord {
		l.add(1, tooLong(MaxRecord))
		return v, nil
	}
	return decodeRecord[T](data, 1, l)
}

// decodeRecord fills a T from valid JSON; the record knows whether it is sound.
func decodeRecord[T any](raw []byte, first int, l *list) (v T, r *record) {
	r = newRecord(raw, first, reflect.TypeFor[T](), l)
	if !r.sound {
		return v, r
	}
	if err := json.Unmarshal(raw, &v); err != nil {
		r.check([]practice.Fault{{Code: practice.BadJSON, Err: err}})
	}
	return v, r
}

// readList reads a file of one list of objects and gives each to every, sound
// or not. It says whether all of them were reached.
func readList[T any](file io.Reader, l *list, every func(T, *record)) bool {
	data := readDocument(file, l)
	if data == nil {
		return false
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	if token, err := dec.Token(); err != nil || token != json.Delim('[') {
		l.add(1, practice.Fault{Code: practice.WrongType, Want: "a list in [ ]"})
		return false
	}
	line, counted := 1, 0
	for dec.More() && !l.full() {
		var raw json.RawMessage
		if err := dec.Decode(&raw); err != nil {
			panic("folder: a value of valid JSON: " + err.Error())
		}
		start := int(dec.InputOffset()) - len(raw)
		line += bytes.Count(data[counted:start], []byte{'\n'})
		counted = start
		if len(raw) > MaxRecord {
			l.add(line, tooLong(MaxRecord))
			return false
		}
		every(decodeRecord[T](raw, line, l))
	}
	return !l.full()
}

// readLines reads a file of one object a line of at most limit bytes, as
// readList does. Empty lines are passed over.
func readLines[T any](file io.Reader, limit int, l *list, every func(T, *record)) bool {
	src, err := newInput(file)
	if err != nil {
		l.add(1, readFault(err))
		return false
	}
	src.limit = 1<<63 - 1
	lines := bufio.NewReaderSize(src, limit)
	whole := true
	for n := 1; !l.full(); n++ {
		raw, err := lines.ReadSlice('\n')
		if errors.Is(err, bufio.ErrBufferFull) {
			l.add(n, tooLong(limit))
			raw, whole = nil, false
			for errors.Is(err, bufio.ErrBufferFull) {
				_, err = lines.ReadSlice('\n')
			}
		}
		if raw = bytes.TrimSpace(raw); len(raw) > 0 {
			if validJSON(raw, n, l) {
				every(decodeRecord[T](raw, n, l))
			} else {
				whole = false
			}
		}
		if err != nil {
			if err != io.EOF {
				l.add(n, readFault(err))
			}
			return whole && err == io.EOF
		}
	}
	return false
}
