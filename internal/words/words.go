// Package words has every sentence a person reads, by id, one folder a
// language.
package words

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"path"
	"strconv"
	"strings"

	"aplomb/internal/practice"
)

//go:embed en de es
var files embed.FS

// Book is the sentences of one language, and its pages of help.
type Book struct {
	lines  map[string]string
	pages  map[string]string
	drills map[string]practice.DrillText
	probes map[string]practice.ProbeText
	advice practice.AdviceText
}

// English is the language the program was written in; it is complete.
var English = mustLoad("en")

func mustLoad(language string) *Book {
	b := &Book{lines: map[string]string{}, pages: map[string]string{}}
	b.drills = mustLoadTexts[practice.DrillText](path.Join(language, "drills", "*.json"))
	b.probes = mustLoadTexts[practice.ProbeText](path.Join(language, "probes", "*.json"))
	b.advice = mustLoadAdvice(path.Join(language, "advice"))
	for _, name := range glob(path.Join(language, "help", "*.txt")) {
		b.pages[strings.TrimSuffix(path.Base(name), ".txt")] = string(mustRead(name))
	}
	for _, name := range glob(path.Join(language, "*.json")) {
		var part map[string]string
		if err := json.Unmarshal(mustRead(name), &part); err != nil {
			panic("words: " + name + ": " + err.Error())
		}
		for id, line := range part {
			if _, twice := b.lines[id]; twice {
				panic("words: " + name + ": the id " + id + " stands twice")
			}
			b.lines[id] = line
		}
	}
	return b
}

// mustLoadTexts reads every JSON file of the pattern: an object of texts by id.
func mustLoadTexts[T any](pattern string) map[string]T {
	all := map[string]T{}
	for _, name := range glob(pattern) {
		var part map[string]T
		d := json.NewDecoder(bytes.NewReader(mustRead(name)))
		d.DisallowUnknownFields()
		if err := d.Decode(&part); err != nil {
			panic("words: " + name + ": " + err.Error())
		}
		for id, text := range part {
			if _, twice := all[id]; twice {
				panic("words: " + name + ": the id " + id + " stands twice")
			}
			all[id] = text
		}
	}
	return all
}

// Drill is the text of a drill of the built-in library; empty where this
// language has none.
func (b *Book) Drill(id string) practice.DrillText { return b.drills[id] }

// Probe is the text of a floor test; empty where this language has none.
func (b *Book) Probe(id string) practice.ProbeText { return b.probes[id] }

func glob(pattern string) []string {
	names, err := fs.Glob(files, pattern)
	if err != nil {
		panic("words: " + err.Error())
	}
	return names
}

func mustRead(name string) []byte {
	raw, err := files.ReadFile(name)
	if err != nil {
		panic("words: " + err.Error())
	}
	return raw
}

// HasPage says whether there is a page of help with this name.
func (b *Book) HasPage(name string) bool { return b.pages[name] != "" }

// Page is a page of help. A page that is not there is a mistake of the program.
func (b *Book) Page(name string) string {
	if !b.HasPage(name) {
		panic("words: no page " + name)
	}
	return b.pages[name]
}

// Has says whether the book has a sentence with this id.
func (b *Book) Has(id string) bool {
	_, ok := b.lines[id]
	return ok
}

// Under is the sentences whose ids begin so, as they are written down, by the
// rest of their ids: for a page that fills them itself.
func (b *Book) Under(start string) map[string]string {
	out := map[string]string{}
	for id, line := range b.lines {
		if rest, ok := strings.CutPrefix(id, start); ok {
			out[rest] = line
		}
	}
	return out
}

// Say is the sentence with this id, its {names} filled from pairs of a name
// and a value. {name|one|many} picks a form by the number called name. An
// unknown id, or a name without a value, is a mistake of the program: it panics.
func (b *Book) Say(id string, pairs ...any) string {
	line, ok := b.lines[id]
	if !ok {
		panic("words: no sentence " + id)
	}
	var out strings.Builder
	for {
		before, rest, found := strings.Cut(line, "{")
		out.WriteString(before)
		if !found {
			return out.String()
		}
		slot, after, closed := strings.Cut(rest, "}")
		if !closed {
			panic("words: " + id + ": a { without its }")
		}
		out.WriteString(fill(id, slot, pairs))
		line = after
	}
}

func fill(id, slot string, pairs []any) string {
	name, forms, choose := strings.Cut(slot, "|")
	value := lookup(id, name, pairs)
	if !choose {
		return text(value)
	}
	one, many, ok := strings.Cut(forms, "|")
	if !ok {
		panic("words: " + id + ": {" + slot + "} wants two forms")
	}
	if text(value) == "1" {
		return one
	}
	return many
}

func lookup(id, name string, pairs []any) any {
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i] == name {
			return pairs[i+1]
		}
	}
	panic("words: " + id + ": nothing given for {" + name + "}")
}

func text(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case int:
		return strconv.Itoa(v)
	case float64:
		return Number(v)
	case fmt.Stringer:
		return v.String()
	}
	return fmt.Sprint(v)
}

// Number is v with at most one decimal, and none where it is whole.
func Number(v float64) string {
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
}

// Percent is a probability in whole percent, never 0% or 100% where it is not.
func Percent(p float64) string {
	switch r := math.Round(100 * p); {
	case r == 0 && p > 0:
		return "under 1%"
	case r == 100 && p < 1:
		return "over 99%"
	default:
		return strconv.Itoa(int(r)) + "%"
	}
}

// Range is an interval of probabilities in whole percent: 51 to 81%.
func (b *Book) Range(lo, hi float64) string {
	from := Percent(lo)
	if whole, ok := strings.CutSuffix(from, "%"); ok && !strings.Contains(whole, " ") {
		from = whole
	}
	return b.Say("range", "lo", from, "hi", Percent(hi))
}

// List joins words as a person would: one, two and three.
func (b *Book) List(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " " + b.Say("and") + " " + words[last]
}

// Books are the languages there are, by their ISO 639-1 codes.
var Books = map[string]*Book{"en": English, "de": German, "es": Spanish}
