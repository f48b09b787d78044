package folder

import (
	"encoding"
	"encoding/json"
	"reflect"
	"strings"

	"aplomb/internal/practice"
)

// shape is what a JSON object that becomes a Go struct may hold.
type shape struct {
	fields []field
	byName map[string]field
	names  []string
}

type field struct {
	name     string
	of       reflect.Type
	required bool
}

// shapeOf reads the json tags of a struct type: what may be left out is
// omitempty or omitzero, and "-" is no field of the file.
func shapeOf(t reflect.Type) shape {
	s := shape{byName: map[string]field{}}
	for i := range t.NumField() {
		name, options, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if name == "-" {
			continue
		}
		f := field{name: name, of: t.Field(i).Type, required: !strings.Contains(options, "omit")}
		s.fields = append(s.fields, f)
		s.byName[name] = f
		s.names = append(s.names, name)
	}
	return s
}

var (
	anyJSON = reflect.TypeFor[json.RawMessage]()
	asText  = reflect.TypeFor[encoding.TextUnmarshaler]()
)

// vocabularies are the words of every type that has a fixed set of them.
var vocabularies = map[reflect.Type][]string{
	reflect.TypeFor[practice.Support]():    plain(practice.Supports),
	reflect.TypeFor[practice.Kind]():       plain(practice.Kinds),
	reflect.TypeFor[practice.Measure]():    plain(practice.Measures),
	reflect.TypeFor[practice.Kit]():        plain(practice.Kits),
	reflect.TypeFor[practice.Strain]():     plain(practice.Strains),
	reflect.TypeFor[practice.CueKind]():    plain(practice.CueKinds),
	reflect.TypeFor[practice.Side]():       plain(practice.Sides),
	reflect.TypeFor[practice.WeekStatus](): plain(practice.WeekStatuses),
	reflect.TypeFor[practice.BlockKind]():  plain(practice.BlockKinds),
	reflect.TypeFor[practice.NoteKind]():   plain(practice.NoteKinds),
	reflect.TypeFor[practice.Purpose]():    plain(practice.Purposes),
	reflect.TypeFor[practice.Answer]():     plain(practice.Answers),
	reflect.TypeFor[practice.Act]():        plain(practice.Acts),
	reflect.TypeFor[practice.Noun]():       plain(practice.Nouns),
}

func plain[T ~string](words []T) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return out
}
