package folder

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"aplomb/internal/practice"
)

// spoilt are ways a sound file comes to harm.
func spoilt(text string) []string {
	return []string{
		text, "", text[:len(text)/2], "\ufeff" + strings.ReplaceAll(text, "\n", "\r\n"), strings.ReplaceAll(text, ",", ";"),
		strings.ReplaceAll(text, "a", "\xe4"), strings.Replace(text, "\"", "", 1), strings.ReplaceAll(text, "1", "-1"),
		strings.ReplaceAll(text, ".", ","), text + text, strings.ReplaceAll(text, "2026", "2O26"), "\xff\xfe" + text,
	}
}

// placed fails unless every fault has a file, a line in it, and a known code,
// and the list is no longer than it may be.
func placed(t *testing.T, l *list, data []byte) {
	t.Helper()
	if len(l.faults) > MaxFaults+1 {
		t.Fatalf("%d faults", len(l.faults))
	}
	last := bytes.Count(data, []byte{'\n'}) + 1
	for _, f := range l.faults {
		if f.File != l.file || f.Line < 1 || f.Line > last || !slices.Contains(practice.Codes, f.Code) {
			t.Fatalf("a fault without a place in %d lines: %+v", last, f)
		}
		if len(f.Value) > 70 || strings.Contains(f.Value, "\n") {
			t.Fatalf("a value too long to show: %q", f.Value)
		}
	}
}

// fuzzTable reads anything as one of the CSV files; what is read without a
// fault is written and read again as the same rows.
func fuzzTable[T any](f *testing.F, t *table[T]) {
	for _, text := range spoilt(sample[t.file]) {
		f.Add([]byte(text))
	}
	k := sampleKnown()
	f.Fuzz(func(tt *testing.T, data []byte) {
		l := &list{file: t.file}
		var rows []T
		for row := range t.rows(bytes.NewReader(data), k, l) {
			rows = append(rows, row)
		}
		placed(tt, l, data)
		var out bytes.Buffer
		c := csv.NewWriter(&out)
		cells := t.names()
		c.Write(cells)
		for _, row := range rows {
			for i := range t.columns {
				cells[i] = t.columns[i].write(&row)
			}
			c.Write(cells)
		}
		c.Flush()
		again := &list{file: t.file}
		i := 0
		for row := range t.rows(&out, k, again) {
			if i >= len(rows) || !reflect.DeepEqual(row, rows[i]) {
				tt.Fatalf("row %d came back as %+v", i, row)
			}
			i++
		}
		if len(again.faults) > 0 || i != len(rows) {
			tt.Fatalf("%d rows, %d came back, %v", len(rows), i, again.faults)
		}
	})
}

func FuzzAttempts(f *testing.F) { fuzzTable(f, &attempts) }
func FuzzTallies(f *testing.F)  { fuzzTable(f, &tallies) }
func FuzzSessions(f *testing.F) { fuzzTable(f, &sessions) }
func FuzzProbes(f *testing.F)   { fuzzTable(f, &probes) }
func FuzzMarks(f *testing.F)    { fuzzTable(f, &marks) }

// fuzzJSON reads anything as one of the JSON files.
func fuzzJSON(f *testing.F, name string, read func(io.Reader, *list, *known) int) {
	for _, text := range spoilt(sample[name]) {
		f.Add([]byte(text))
	}
	k := sampleKnown()
	f.Fuzz(func(t *testing.T, data []byte) {
		l := &list{file: name}
		sound := read(bytes.NewReader(data), l, k)
		placed(t, l, data)
		if sound == 0 && len(l.faults) == 0 && filepath.Ext(name) != ".jsonl" && !bytes.Contains(data, []byte("[")) {
			t.Fatal("nothing was read, and nothing said why")
		}
	})
}

func FuzzStudio(f *testing.F) {
	fuzzJSON(f, "studio.json", func(r io.Reader, l *list, _ *known) int {
		_, known := readStudio(r, nil, l)
		if !known && len(l.faults) == 0 {
			panic("another format, and no fault")
		}
		return 1
	})
}

func FuzzStudents(f *testing.F) {
	fuzzJSON(f, "students.json", func(r io.Reader, l *list, k *known) (n int) {
		readNamed(r, l, k.checkStudent, func(practice.Student, *record) { n++ })
		return n
	})
}

func FuzzLocks(f *testing.F) {
	fuzzJSON(f, "locks.json", func(r io.Reader, l *list, k *known) (n int) {
		readWishes(r, l, k, func(practice.Wish) { n++ })
		return n
	})
}

// fuzzLines reads anything as one of the files of lines; what is read without a
// fault is written and read again as the same.
func fuzzLines[T any](f *testing.F, ls *lines[T]) {
	fuzzJSON(f, ls.file, func(r io.Reader, l *list, k *known) int {
		var sound []T
		ls.read(r, k, l, func(v T) { sound = append(sound, v) })
		var out bytes.Buffer
		for _, v := range sound {
			if err := json.NewEncoder(&out).Encode(v); err != nil {
				panic(err)
			}
		}
		again, n := &list{file: ls.file}, 0
		ls.read(&out, k, again, func(T) { n++ })
		if n != len(sound) || len(again.faults) > 0 {
			panic(fmt.Sprintf("%d lines, %d came back, %v", len(sound), n, again.faults))
		}
		return n
	})
}

func FuzzWeeks(f *testing.F)     { fuzzLines(f, &weeks) }
func FuzzNotes(f *testing.F)     { fuzzLines(f, &notes) }
func FuzzConsents(f *testing.F)  { fuzzLines(f, &consents) }
func FuzzDecisions(f *testing.F) { fuzzLines(f, &decisions) }
func FuzzChanges(f *testing.F)   { fuzzLines(f, &changes) }

// fuzzObjects reads anything as one of the lists.
func fuzzObjects[T any](f *testing.F, name string, check func(*known) func(*T, *record) []practice.Fault) {
	fuzzJSON(f, name, func(r io.Reader, l *list, _ *known) (n int) {
		readNamed(r, l, check(sampleKnown()), func(T, *record) { n++ })
		return n
	})
}

func FuzzPeople(f *testing.F) {
	fuzzObjects(f, "people.json", func(k *known) func(*practice.Person, *record) []practice.Fault { return k.checkPerson })
}

func FuzzGuardians(f *testing.F) {
	fuzzObjects(f, "guardians.json", func(k *known) func(*practice.Guardian, *record) []practice.Fault { return k.checkGuardian })
}

func FuzzCovers(f *testing.F) {
	fuzzObjects(f, "covers.json", func(k *known) func(*practice.Cover, *record) []practice.Fault { return k.checkCover })
}

func FuzzDrills(f *testing.F) {
	fuzzJSON(f, "drills.json", func(r io.Reader, l *list, _ *known) int {
		return len(readDrills(r, l, sampleKnown()))
	})
}
