package folder

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"aplomb/internal/practice"
)

const schemaDir = "../../doc/schema"

func schemaFile(file string) string {
	return strings.TrimSuffix(file, filepath.Ext(file)) + ".schema.json"
}

func compiled(t testing.TB, file string) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	s, err := c.Compile(filepath.Join(schemaDir, schemaFile(file)))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// node is a schema as data.
type node map[string]any

func schemaOf(t testing.TB, file string) node {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(schemaDir, schemaFile(file)))
	if err != nil {
		t.Fatal(err)
	}
	var n node
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	if err := dec.Decode(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

func (n node) at(key string) node {
	m, _ := n[key].(map[string]any)
	return m
}

func (n node) words(key string) (words []string) {
	list, _ := n[key].([]any)
	for _, w := range list {
		words = append(words, w.(string))
	}
	return words
}

func (n node) is(kind string) bool {
	return n["type"] == kind || reflect.DeepEqual(n["type"], []any{kind, "null"})
}

// TestSchemasOfJSON holds every schema of a JSON file against the Go type it is
// read into: the same fields, the same ones required, the same words.
func TestSchemasOfJSON(t *testing.T) {
	for file, of := range map[string]reflect.Type{
		"studio.json":    reflect.TypeFor[practice.Studio](),
		"students.json":  reflect.TypeFor[[]practice.Student](),
		"drills.json":    reflect.TypeFor[[]practice.Drill](),
		"locks.json":     reflect.TypeFor[[]practice.Wish](),
		weeks.file:       reflect.TypeFor[practice.Week](),
		notes.file:       reflect.TypeFor[practice.Note](),
		consents.file:    reflect.TypeFor[practice.Consent](),
		decisions.file:   reflect.TypeFor[practice.Decision](),
		changes.file:     reflect.TypeFor[practice.Change](),
		"people.json":    reflect.TypeFor[[]practice.Person](),
		"guardians.json": reflect.TypeFor[[]practice.Guardian](),
		"covers.json":    reflect.TypeFor[[]practice.Cover](),
	} {
		sameShape(t, file, schemaOf(t, file), of)
	}
}

func sameShape(t *testing.T, path string, n node, of reflect.Type) {
	for of.Kind() == reflect.Pointer {
		of = of.Elem()
	}
	words := vocabularies[of]
	switch of {
	case reflect.TypeFor[practice.Weekday]():
		words = practice.Weekdays
	case reflect.TypeFor[practice.WeekStatus]():
		words = words[1:] // a draft is not kept
	}
	if got := n.words("enum"); words != nil && !slices.Equal(got, words) {
		t.Errorf("%s: words %q, want %q", path, got, words)
	}
	switch {
	case words != nil || of == anyJSON || reflect.PointerTo(of).Implements(asText):
	case of.Kind() == reflect.Slice:
		if !n.is("array") {
			t.Errorf("%s is no list", path)
		}
		sameShape(t, path+"[]", n.at("items"), of.Elem())
	case of.Kind() == reflect.Struct:
		sameFields(t, path, n, of)
	}
}

func sameFields(t *testing.T, path string, n node, of reflect.Type) {
	shape, required := shapeOf(of), []string{}
	for _, f := range shape.fields {
		if f.required {
			required = append(required, f.name)
		}
		if n.at("properties")[f.name] == nil {
			t.Errorf("%s has no %s", path, f.name)
			continue
		}
		sameShape(t, path+"."+f.name, n.at("properties").at(f.name), f.of)
	}
	if got := len(n.at("properties")); got != len(shape.fields) || n["additionalProperties"] != false {
		t.Errorf("%s has %d properties, want %d and no others", path, got, len(shape.fields))
	}
	if got := n.words("required"); !slices.Equal(got, required) && len(got)+len(required) > 0 {
		t.Errorf("%s requires %q, want %q", path, got, required)
	}
}

func (n node) property(name string) node { return n.at("properties").at(name) }

// TestSchemasOfRows holds every schema of a CSV file against its columns.
func TestSchemasOfRows(t *testing.T) {
	sameColumns(t, &attempts)
	sameColumns(t, &tallies)
	sameColumns(t, &sessions)
	sameColumns(t, &probes)
	sameColumns(t, &marks)
	sameColumns(t, &setWords)
	sameColumns(t, &detours)
	sameColumns(t, &receipts)
}

func sameColumns[T any](t *testing.T, table *table[T]) {
	n, required := schemaOf(t, table.file), []string{}
	for _, c := range table.columns {
		if c.must {
			required = append(required, c.name)
		}
		if n.property(c.name) == nil {
			t.Errorf("%s has no %s", table.file, c.name)
		}
	}
	if got := n.words("required"); !slices.Equal(got, required) || len(n.at("properties")) != len(table.columns) {
		t.Errorf("%s requires %q, want %q; %d properties", table.file, got, required, len(n.at("properties")))
	}
}

// Every vocabulary of the rows is the one of practice, and so is the site of a
// restriction, which has no type of its own.
func TestVocabulariesOfRows(t *testing.T) {
	for _, c := range []struct {
		file, property string
		words          []string
	}{
		{"attempts.csv", "entry", plain(practice.Entries)}, {"attempts.csv", "support", plain(practice.Supports)},
		{"attempts.csv", "surface", plain(practice.Surfaces)}, {"attempts.csv", "timed", plain(practice.Timings)},
		{"attempts.csv", "end", plain(practice.Ends)}, {"tallies.csv", "entry", plain(practice.Entries)},
		{"tallies.csv", "support", plain(practice.Supports)}, {"tallies.csv", "surface", plain(practice.Surfaces)},
		{"tallies.csv", "timed", plain(practice.Timings)}, {"sessions.csv", "pain_site", practice.PainSites},
		{"marks.csv", "mark", plain(practice.Marks)}, {"people.json", "role", plain(practice.StaffRoles)},
		{"consents.jsonl", "role", plain([]practice.Role{practice.AsStudent, practice.AsGuardian})},
		{"changes.jsonl", "role", plain(practice.Roles)}, {"sessions.csv", "day", practice.Weekdays}, {"sessions.csv", "form", plain(practice.Forms)},
		{"detours.csv", "day", practice.Weekdays}, {"detours.csv", "to", practice.Weekdays}, {"detours.csv", "what", plain(practice.DetourKinds)},
		{"receipts.csv", "kind", plain(practice.EntryKinds)},
	} {
		n := schemaOf(t, c.file)
		if n.is("array") {
			n = n.at("items")
		}
		if got := n.property(c.property).words("enum"); !slices.Equal(got, c.words) {
			t.Errorf("%s, %s: %q, want %q", c.file, c.property, got, c.words)
		}
	}
	site := schemaOf(t, "students.json").at("items").property("restrictions").at("items").property("site")
	if got := site.words("enum"); !slices.Equal(got, practice.PainSites) {
		t.Errorf("restrictions, site: %q", got)
	}
}

// instances are the values in a file that its schema speaks of: the whole, each
// line, or each row as an object.
func instances(t testing.TB, file, content string) (values []any) {
	t.Helper()
	switch filepath.Ext(file) {
	case ".csv":
		return rowObjects(t, file, content)
	case ".jsonl":
		for line := range strings.Lines(content) {
			values = append(values, parsed(t, line))
		}
		return values
	}
	return []any{parsed(t, content)}
}

func parsed(t testing.TB, text string) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func rowObjects(t testing.TB, file, content string) (values []any) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(content)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	n := schemaOf(t, file)
	for _, row := range rows[1:] {
		object := map[string]any{}
		for i, cell := range row {
			if cell != "" {
				object[rows[0][i]] = typed(n.property(rows[0][i]), cell)
			}
		}
		values = append(values, object)
	}
	return values
}

// typed is the cell as its property has it, or as text where it cannot be.
func typed(property node, cell string) any {
	if b, err := strconv.ParseBool(cell); err == nil && property.is("boolean") && (cell == "true" || cell == "false") {
		return b
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil && plainNumber(cell) && (property.is("number") || property.is("integer")) {
		return json.Number(cell)
	}
	return cell
}

func TestSampleIsOfTheSchemas(t *testing.T) {
	for file, content := range sample {
		s := compiled(t, file)
		for _, v := range instances(t, file, content) {
			if err := s.Validate(v); err != nil {
				t.Errorf("%s: %v", file, err)
			}
		}
	}
}

// shapeCodes are the faults of types and words: what a schema can see.
var shapeCodes = []practice.Code{practice.UnknownField, practice.MissingField, practice.WrongType, practice.UnknownWord,
	practice.BadID, practice.BadInstant, practice.NoOffset, practice.BadDate, practice.BadNumber, practice.DecimalComma}

// Where the reader finds fault with a type or a word, the schema does too.
func TestBadInputIsNotOfTheSchemas(t *testing.T) {
	rejected := 0
	for _, c := range badCases {
		_, faults, err := Read(with(c.files), base())
		if err != nil || len(c.files) != 1 || len(faults) == 0 || !slices.Contains(shapeCodes, faults[0].Code) {
			continue
		}
		if slices.Contains([]string{"component", "time_zone", "text"}, faults[0].Field) {
			continue // data, or a matter of another field: not part of the schema
		}
		for file, content := range c.files {
			s, bad := compiled(t, file), false
			for _, v := range instances(t, file, content) {
				bad = bad || s.Validate(v) != nil
			}
			if !bad {
				t.Errorf("%s: of the schema, but %v", c.name, faults)
			}
			rejected++
		}
	}
	if rejected < 25 {
		t.Errorf("only %d cases compared", rejected)
	}
}

// generate draws a value of a schema.
func generate(t *rapid.T, n node) any {
	switch {
	case n["const"] != nil:
		return n["const"]
	case n["enum"] != nil:
		return rapid.SampledFrom(n.words("enum")).Draw(t, "word")
	case n["examples"] != nil:
		return rapid.SampledFrom(n.words("examples")).Draw(t, "example")
	case n.is("object"):
		return generateObject(t, n)
	case n.is("array"):
		least := 0
		if n["minItems"] != nil {
			least = 1
		}
		list := []any{}
		for range rapid.IntRange(least, 3).Draw(t, "length") {
			list = append(list, generate(t, n.at("items")))
		}
		return list
	case n.is("boolean"):
		return rapid.Bool().Draw(t, "flag")
	case n.is("number"), n.is("integer"):
		return generateNumber(t, n)
	case n.is("string"):
		return generateText(t, n)
	}
	return map[string]any{"any": []any{true, "json"}}
}

func generateObject(t *rapid.T, n node) map[string]any {
	object := map[string]any{}
	required := n.words("required")
	if one, ok := n["oneOf"].([]any); ok {
		branch := node(rapid.SampledFrom(one).Draw(t, "branch").(map[string]any))
		required = append(required, branch.words("required")...)
		for _, other := range one {
			if name := node(other.(map[string]any)).words("required")[0]; !slices.Contains(required, name) {
				object[name] = nil // taken out again below
			}
		}
	}
	if some, ok := n["anyOf"].([]any); ok {
		required = append(required, node(rapid.SampledFrom(some).Draw(t, "branch").(map[string]any)).words("required")...)
	}
	needs, rules := n.at("dependentRequired"), n["allOf"]
	var give func(name string)
	give = func(name string) {
		if _, done := object[name]; done {
			return
		}
		object[name] = generate(t, n.property(name))
		for _, other := range needs.words(name) {
			give(other)
		}
	}
	for _, name := range slices.Sorted(mapKeys(n.at("properties"))) {
		if slices.Contains(required, name) || rapid.Bool().Draw(t, name) {
			give(name)
		}
	}
	for _, name := range ruled(rules, object) {
		give(name)
	}
	for name, v := range object {
		if v == nil {
			delete(object, name)
		}
	}
	return object
}

// ruled are the properties an object needs for the word it has in another.
func ruled(rules any, object map[string]any) (names []string) {
	list, _ := rules.([]any)
	for _, rule := range list {
		given := node(rule.(map[string]any)).at("if")
		name := given.words("required")[0]
		if object[name] == given.property(name)["const"] {
			names = append(names, node(rule.(map[string]any)).at("then").words("required")...)
		}
	}
	return names
}

func mapKeys(m map[string]any) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func generateNumber(t *rapid.T, n node) any {
	bound := func(key string, otherwise float64) float64 {
		if v, ok := n[key].(json.Number); ok {
			f, _ := v.Float64()
			return f
		}
		return otherwise
	}
	lo, hi := bound("minimum", bound("exclusiveMinimum", -1000)), bound("maximum", 1000)
	if n.is("integer") {
		return json.Number(strconv.FormatInt(rapid.Int64Range(int64(lo), int64(min(hi, 1<<53))).Draw(t, "count"), 10))
	}
	if step := bound("multipleOf", 0); step > 0 {
		return json.Number(formatNumber(step * float64(rapid.IntRange(int(lo/step), int(hi/step)).Draw(t, "steps"))))
	}
	v := rapid.Float64Range(lo, hi).Draw(t, "number")
	if n["exclusiveMinimum"] != nil && v <= lo {
		v = hi
	}
	return json.Number(formatNumber(v))
}

func generateText(t *rapid.T, n node) string {
	day := practice.Date(rapid.IntRange(-20000, 80000).Draw(t, "day"))
	switch pattern, _ := n["pattern"].(string); {
	case n["format"] == "date":
		return day.String()
	case n["format"] == "date-time":
		return practice.Instant{UnixNano: int64(day) * 86400e9, Offset: int16(rapid.IntRange(-14, 14).Draw(t, "hours") * 60)}.String()
	case strings.Contains(pattern, "-W"):
		return day.Week().String()
	case pattern == `\S`:
		return "x" + rapid.StringN(-1, 199, -1).Draw(t, "text")
	case pattern != "":
		return rapid.StringMatching(pattern).Draw(t, "id")
	}
	length := func(key string, otherwise int) int {
		if v, ok := n[key].(json.Number); ok {
			otherwise, _ = strconv.Atoi(v.String())
		}
		return otherwise
	}
	return rapid.StringN(length("minLength", 0), length("maxLength", -1), -1).Draw(t, "text")
}

// amongFields are the fields whose range depends on another field, or on what
// else there is: a schema cannot see them.
var amongFields = []string{"caught", "text", "hand_minutes", "max_sets", "milestones_s", "born", "needs", "cues"}

// inSight says whether a fault is one that a schema can see.
func inSight(f practice.Fault) bool {
	field, _, _ := strings.Cut(f.Field, "[")
	return (slices.Contains(shapeCodes, f.Code) || f.Code == practice.OutOfRange) && !slices.Contains(amongFields, field)
}

// Whatever is of the schema has no fault of types, words or ranges in the
// reader.
func TestSchemaMeansSoundTypes(t *testing.T) {
	for file := range sample {
		t.Run(file, func(t *testing.T) {
			s, n := compiled(t, file), schemaOf(t, file)
			rapid.Check(t, func(t *rapid.T) {
				v := generate(t, n)
				raw, err := json.Marshal(v)
				if err != nil {
					t.Fatal(err)
				}
				again, _ := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
				if err := s.Validate(again); err != nil {
					t.Fatalf("the generated %s is not of the schema: %v", raw, err)
				}
				text := string(raw)
				if filepath.Ext(file) == ".csv" {
					text = asCSV(again.(map[string]any))
				}
				for _, f := range readAlone(file, text) {
					if inSight(f) {
						t.Fatalf("%v in %s", f, text)
					}
				}
			})
		})
	}
}

func asCSV(row map[string]any) string {
	var b strings.Builder
	c := csv.NewWriter(&b)
	names := slices.Sorted(mapKeys(row))
	cells := make([]string, len(names))
	for i, name := range names {
		switch v := row[name].(type) {
		case string:
			cells[i] = v
		case bool:
			cells[i] = strconv.FormatBool(v)
		case json.Number:
			cells[i] = v.String()
		}
	}
	c.Write(names)
	c.Write(cells)
	c.Flush()
	return b.String()
}

// readAlone reads one file of the sample's studio with this content.
func readAlone(file, content string) practice.Faults {
	l, k, r := &list{file: file}, sampleKnown(), strings.NewReader(content)
	k.people.open, k.students.open, k.drills.open, k.tests.open, k.weeks.open = true, true, true, true, true
	switch file {
	case "studio.json":
		readStudio(r, nil, l)
	case "students.json":
		readNamed(r, l, k.checkStudent, func(practice.Student, *record) {})
	case "drills.json":
		readDrills(r, l, k)
	case "locks.json":
		readWishes(r, l, k, func(practice.Wish) {})
	case weeks.file:
		weeks.read(r, k, l, func(practice.Week) {})
	case notes.file:
		notes.read(r, k, l, func(practice.Note) {})
	case consents.file:
		consents.read(r, k, l, func(practice.Consent) {})
	case decisions.file:
		decisions.read(r, k, l, func(practice.Decision) {})
	case changes.file:
		changes.read(r, k, l, func(practice.Change) {})
	case "people.json":
		readNamed(r, l, k.checkPerson, func(practice.Person, *record) {})
	case "guardians.json":
		readNamed(r, l, k.checkGuardian, func(practice.Guardian, *record) {})
	case "covers.json":
		readNamed(r, l, k.checkCover, func(practice.Cover, *record) {})
	case attempts.file:
		drain(&attempts, r, k, l)
	case tallies.file:
		drain(&tallies, r, k, l)
	case sessions.file:
		drain(&sessions, r, k, l)
	case probes.file:
		drain(&probes, r, k, l)
	case marks.file:
		drain(&marks, r, k, l)
	case setWords.file:
		drain(&setWords, r, k, l)
	case detours.file:
		drain(&detours, r, k, l)
	case receipts.file:
		drain(&receipts, r, k, l)
	}
	return l.faults
}

func drain[T any](t *table[T], r *strings.Reader, k *known, l *list) {
	for range t.rows(r, k, l) {
	}
}
