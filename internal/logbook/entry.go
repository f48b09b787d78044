package logbook

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"reflect"
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// Entry is one version of something a student logged, as the phone sends it.
type Entry struct {
	ID   string          `json:"id"`
	N    int             `json:"n"` // 1, and one more for every edit
	Kind string          `json:"kind"`
	At   string          `json:"at"` // by the phone's own clock
	Gone bool            `json:"gone"`
	Body json.RawMessage `json:"body"` // by kind; none where it is gone
}

// reading is an entry as far as it could be read by itself.
type reading struct {
	Version
	kind   practice.EntryKind
	at     practice.Instant
	gone   bool
	row    row // nil where it is gone or could not be read
	faults []practice.Fault
}

// row is what an entry is in the log; its time, and whether the studio knows
// what it names, are settled when it is merged.
type row interface {
	// put adds the row with its time to a log.
	put(*practice.Log, practice.Instant)
	drills() []named
	check() []practice.Fault
}

// named is a field that names a drill.
type named struct{ field, id string }

// read1 reads one entry of the student.
func read1(e Entry, student string) reading {
	r := reading{Version: Version{e.ID, e.N}, gone: e.Gone}
	wrong := func(f practice.Fault) { r.faults = append(r.faults, f) }
	if !practice.ValidID(e.ID) {
		wrong(practice.Fault{Code: practice.BadID, Field: "id", Value: practice.Short(e.ID)})
	}
	if e.N < 1 || e.N > practice.MaxCount {
		wrong(practice.Fault{Code: practice.OutOfRange, Field: "n", Want: "1 to 1000000"})
	}
	var err error
	if r.at, err = practice.ParseInstant(e.At); err != nil {
		wrong(practice.FieldFault("at", e.At, practice.BadInstant, err))
	}
	if r.kind, err = practice.Word(practice.EntryKinds, e.Kind); err != nil {
		wrong(practice.FieldFault("kind", e.Kind, practice.UnknownWord, err))
		return r
	}
	if r.gone {
		return r
	}
	b := bodies[r.kind]()
	if f := decode(e.Body, b); f != nil {
		wrong(*f)
		return r
	}
	var fs []practice.Fault
	r.row, fs = b.row(e.ID, student)
	r.faults = append(append(r.faults, fs...), r.row.check()...)
	return r
}

// decode reads the JSON of a body, which must have no field the body has not.
func decode(raw json.RawMessage, into body) *practice.Fault {
	var given map[string]json.RawMessage
	if err := json.Unmarshal(raw, &given); err != nil || given == nil {
		return &practice.Fault{Code: practice.BadJSON, Field: "body", Err: err}
	}
	known := fieldsOf(into)
	for _, name := range slices.Sorted(maps.Keys(given)) {
		if !slices.Contains(known, name) {
			return &practice.Fault{Code: practice.UnknownField, Field: practice.Short(name), Near: practice.Nearest(name, known), Want: strings.Join(known, ", ")}
		}
	}
	err := json.NewDecoder(bytes.NewReader(raw)).Decode(into)
	var wrongType *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &wrongType):
		return &practice.Fault{Code: practice.WrongType, Field: wrongType.Field, Value: practice.Short(wrongType.Value), Err: err}
	}
	return &practice.Fault{Code: practice.BadJSON, Field: "body", Err: err}
}

// fieldsOf are the names of the fields of a body.
func fieldsOf(b body) (names []string) {
	t := reflect.TypeOf(b).Elem()
	for i := range t.NumField() {
		names = append(names, t.Field(i).Tag.Get("json"))
	}
	return names
}
