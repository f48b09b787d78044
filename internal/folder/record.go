package folder

import (
	"bytes"
	"encoding"
	"encoding/json"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"aplomb/internal/practice"
)

// record is one JSON object of a file: a student, a drill, a week. It is valid
// JSON; walk holds it against a Go type and knows the line of every field.
type record struct {
	raw   []byte
	first int            // the line raw begins on
	lines map[string]int // by path: sessions[2].minutes
	list  *list
	sound bool

	dec     *json.Decoder
	counted int // bytes of raw in which line ends were counted
	line    int // the line of the last token
}

// newRecord walks the object and notes every fault of shape: fields unknown,
// missing or given twice, wrong types, unknown words, dates that are none.
func newRecord(raw []byte, first int, t reflect.Type, l *list) *record {
	r := &record{raw: raw, first: first, line: first, lines: map[string]int{}, list: l, sound: true}
	if !utf8.Valid(raw) {
		r.notUTF8()
		return r
	}
	r.dec = json.NewDecoder(bytes.NewReader(raw))
	r.dec.UseNumber()
	r.value("", t)
	return r
}

func (r *record) notUTF8() {
	r.sound = false
	if r.list.has(practice.NotUTF8) {
		return
	}
	at := 0
	for at < len(r.raw) {
		c, size := utf8.DecodeRune(r.raw[at:])
		if c == utf8.RuneError && size == 1 {
			break
		}
		at += size
	}
	around := r.raw[max(0, at-20):min(len(r.raw), at+20)]
	r.list.add(r.first+bytes.Count(r.raw[:at], []byte{'\n'}), practice.Fault{Code: practice.NotUTF8,
		Value: practice.Short(string(bytes.ToValidUTF8(around, []byte("?"))))})
}

// fault notes a fault of the value that was read last.
func (r *record) fault(path string, code practice.Code, value, want, near string) {
	r.sound = false
	r.list.add(r.line, practice.Fault{Code: code, Field: path, Value: practice.Short(value), Want: want, Near: near})
}

// check notes faults found after the walk, each on the line of its field.
func (r *record) check(fs []practice.Fault) {
	for _, f := range fs {
		r.sound = false
		r.list.add(r.lineOf(f.Field), f)
	}
}

// lineOf is the line of the field, or of the nearest thing around it.
func (r *record) lineOf(path string) int {
	for path != "" {
		if line, ok := r.lines[path]; ok {
			return line
		}
		path = path[:max(0, strings.LastIndexAny(path, ".["))]
	}
	return r.first
}

// token reads on. The record is valid JSON: there is always a next token.
func (r *record) token() json.Token {
	token, err := r.dec.Token()
	if err != nil {
		panic("folder: a token of valid JSON: " + err.Error())
	}
	end := int(r.dec.InputOffset())
	r.line += bytes.Count(r.raw[r.counted:end], []byte{'\n'})
	r.counted = end
	return token
}

func (r *record) value(path string, t reflect.Type) {
	token := r.token()
	r.lines[path] = r.line
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case t == anyJSON:
		r.skip(token)
	case reflect.PointerTo(t).Implements(asText):
		r.text(path, t, token)
	case t.Kind() == reflect.Struct:
		r.object(path, t, token)
	case t.Kind() == reflect.Slice:
		r.array(path, t, token)
	case t.Kind() == reflect.String:
		r.word(path, t, token)
	case t.Kind() == reflect.Bool:
		r.flag(path, token)
	default:
		r.number(path, t, token)
	}
}

// skip passes over the rest of a value that began with the token.
func (r *record) skip(token json.Token) {
	depth := 0
	for {
		switch token {
		case json.Delim('{'), json.Delim('['):
			depth++
		case json.Delim('}'), json.Delim(']'):
			depth--
		}
		if depth == 0 {
			return
		}
		token = r.token()
	}
}

func (r *record) wrongType(path string, token json.Token, want string) {
	shown := ""
	switch v := token.(type) {
	case nil:
		shown = "null"
		want += ", or leave the field out where it is not known"
	case json.Delim:
		shown = map[json.Delim]string{'{': "{...}", '[': "[...]"}[v]
	case string:
		shown = strconv.Quote(v)
	case json.Number:
		shown = v.String()
	case bool:
		shown = strconv.FormatBool(v)
	}
	r.fault(path, practice.WrongType, shown, want, "")
	r.skip(token)
}

func (r *record) object(path string, t reflect.Type, token json.Token) {
	if token != json.Delim('{') {
		r.wrongType(path, token, "an object in { }")
		return
	}
	start, shape, seen := r.line, shapeOf(t), map[string]bool{}
	for r.dec.More() {
		name := r.token().(string)
		f, known := shape.byName[name]
		inner := join(path, name)
		switch {
		case r.list.full():
			r.skip(r.token())
		case !known:
			r.fault(join(path, practice.Short(name)), practice.UnknownField, name, strings.Join(shape.names, ", "),
				practice.Nearest(name, shape.names))
			r.skip(r.token())
		case seen[name]:
			r.fault(inner, practice.RepeatedField, name, "", "")
			r.skip(r.token())
		default:
			seen[name] = true
			r.value(inner, f.of)
		}
	}
	r.token()
	for _, f := range shape.fields {
		if f.required && !seen[f.name] {
			r.sound = false
			r.list.add(start, practice.Fault{Code: practice.MissingField, Field: join(path, f.name)})
		}
	}
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// array reads a list; null is an empty one.
func (r *record) array(path string, t reflect.Type, token json.Token) {
	if token == nil {
		return
	}
	if token != json.Delim('[') {
		r.wrongType(path, token, "a list in [ ]")
		return
	}
	for i := 0; r.dec.More(); i++ {
		r.value(path+"["+strconv.Itoa(i)+"]", t.Elem())
	}
	r.token()
}

// text reads a date, an instant, a week, a day or a time zone.
func (r *record) text(path string, t reflect.Type, token json.Token) {
	s, ok := token.(string)
	if !ok {
		r.wrongType(path, token, "a text in quotes")
		return
	}
	err := reflect.New(t).Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(s))
	if err != nil {
		f := textFault(t, path, s, err)
		r.sound = false
		r.list.add(r.line, f)
	}
}

const (
	dateWant = "2026-03-30"
	weekWant = "2026-W14"
	zoneWant = "Europe/London"
)

func textFault(t reflect.Type, path, s string, err error) practice.Fault {
	f := practice.Fault{Code: practice.BadDate, Field: path, Value: practice.Short(s), Want: dateWant, Err: err}
	switch t {
	case reflect.TypeFor[practice.Instant]():
		return instantFault(path, s, err)
	case reflect.TypeFor[practice.ISOWeek]():
		f.Want = weekWant
	case reflect.TypeFor[practice.Zone]():
		f.Code, f.Want = practice.BadZone, zoneWant
	case reflect.TypeFor[practice.Weekday]():
		return practice.FieldFault(path, s, practice.UnknownWord, err)
	}
	return f
}

func (r *record) word(path string, t reflect.Type, token json.Token) {
	s, ok := token.(string)
	if !ok {
		r.wrongType(path, token, "a text in quotes")
		return
	}
	if words, fixed := vocabularies[t]; fixed && !slices.Contains(words, s) {
		r.fault(path, practice.UnknownWord, s, strings.Join(words, ", "), practice.Nearest(s, words))
	}
}

func (r *record) flag(path string, token json.Token) {
	if _, ok := token.(bool); !ok {
		r.wrongType(path, token, "true or false, without quotes")
	}
}

func (r *record) number(path string, t reflect.Type, token json.Token) {
	want := "a number without quotes, such as 12.5"
	if t.Kind() != reflect.Float64 {
		want = "a whole number without quotes"
	}
	n, ok := token.(json.Number)
	if !ok {
		r.wrongType(path, token, want)
		return
	}
	if err := json.Unmarshal([]byte(n), reflect.New(t).Interface()); err != nil {
		r.fault(path, practice.BadNumber, n.String(), want, "")
	}
}
