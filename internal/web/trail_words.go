package web

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// mostShown is how much of a value a line shows, in letters.
const mostShown = 240

// unsaid are the fields of a noun that say nothing to a person, or are shown
// better on a page of their own.
var unsaid = map[practice.Noun][]string{
	"":                {"id", "student", "format"},
	practice.WeekNoun: {"problem", "sessions", "days_off", "tests", "seed", "library", "model"},
}

// fields are those that differ between two sides of a change, in words, by
// name. Of a list only the entries are told that the other side does not have.
// Sides that have no fields, which a trail from elsewhere may hold, are told
// whole.
func (t *teller) fields(noun practice.Noun, before, after json.RawMessage) (out []trailField) {
	was, is := object(before), object(after)
	if len(was)+len(is) == 0 && len(before)+len(after) > 0 {
		return []trailField{{t.say("trail.whole"), t.value("", before), t.value("", after)}}
	}
	all := maps.Clone(is)
	maps.Copy(all, was)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if bytes.Equal(was[name], is[name]) || slices.Contains(unsaid[""], name) || slices.Contains(unsaid[noun], name) {
			continue
		}
		a, b := apart(was[name], is[name])
		out = append(out, trailField{t.field(name), t.value(name, a), t.value(name, b)})
	}
	return out
}

// object is the fields of a JSON object; none where it is none.
func object(raw json.RawMessage) map[string]json.RawMessage {
	out := map[string]json.RawMessage{}
	if len(raw) > 0 && json.Unmarshal(raw, &out) != nil {
		return map[string]json.RawMessage{}
	}
	return out
}

// apart is two values as they are, or two lists without what both have.
func apart(a, b json.RawMessage) (json.RawMessage, json.RawMessage) {
	one, other := list(a), list(b)
	if one == nil || other == nil {
		return a, b
	}
	return without(one, other), without(other, one)
}

// list is the entries of a JSON list, nil where it is none.
func list(raw json.RawMessage) (out []json.RawMessage) {
	if json.Unmarshal(raw, &out) != nil {
		return nil
	}
	return out
}

func without(these, those []json.RawMessage) json.RawMessage {
	left := slices.DeleteFunc(slices.Clone(these), func(x json.RawMessage) bool {
		return slices.ContainsFunc(those, func(y json.RawMessage) bool { return bytes.Equal(x, y) })
	})
	raw, err := json.Marshal(left)
	if err != nil {
		panic("web: " + err.Error()) // parts of a document that was read
	}
	return raw
}

// field is what a field is called.
func (t *teller) field(name string) string {
	if id := "web.trail.field." + name; t.Words.Has(id) {
		return t.Words.Say(id)
	}
	return strings.ReplaceAll(name, "_", " ")
}

// value is a value of the field in one line of words.
func (t *teller) value(field string, raw json.RawMessage) string {
	text := []rune(t.plain(field, raw))
	if len(text) > mostShown {
		return string(text[:mostShown]) + "…"
	}
	return string(text)
}

func (t *teller) plain(field string, raw json.RawMessage) string {
	var v any
	if len(raw) == 0 || json.Unmarshal(raw, &v) != nil {
		return ""
	}
	switch v := v.(type) {
	case nil:
		return ""
	case bool:
		if field == "sealed" {
			return t.say("trail.sealed")
		}
		return t.say(map[bool]string{true: "trail.yes", false: "trail.no"}[v])
	case string:
		return t.text(field, v)
	case []any:
		var parts []string
		nested := false
		for i, one := range list(raw) {
			_, object := v[i].(map[string]any)
			nested = nested || object
			parts = append(parts, t.plain(field, one))
		}
		if nested {
			return strings.Join(parts, "; ")
		}
		return t.Words.List(parts)
	case map[string]any:
		var parts []string
		all := object(raw)
		for _, name := range slices.Sorted(maps.Keys(all)) {
			parts = append(parts, t.field(name)+": "+t.plain(name, all[name]))
		}
		return strings.Join(parts, ", ")
	}
	return string(raw) // a number as it was written
}

// text is a text as a person reads it: names for ids, days and moments in
// words.
func (t *teller) text(field, s string) string {
	switch field {
	case "by", "for", "coach", "student", "students":
		if name := t.people[s]; name != "" {
			return name
		}
		if student, seen := t.students[s]; seen {
			return student.Name
		}
	case "no", "strains":
		if id := "strain." + s; t.Words.Has(id) {
			return t.Words.Say(id)
		}
	case "role":
		if slices.Contains(practice.StaffRoles, practice.Role(s)) {
			return t.say("role." + s)
		}
	}
	if day, err := practice.ParseDate(s); err == nil {
		return telling.LongDate(t.Words, day)
	}
	if at, err := practice.ParseInstant(s); err == nil {
		return t.moment(at.Time())
	}
	return strings.Join(strings.Fields(s), " ")
}
