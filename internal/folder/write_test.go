package folder

import (
	"iter"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"aplomb/internal/practice"
)

// sameStudio compares two studios: time zones by their name, and no list as an
// empty one.
func sameStudio(a, b *Studio) string {
	return cmp.Diff(a, b, cmpopts.EquateEmpty(), cmp.Comparer(func(x, y practice.Zone) bool { return x.String() == y.String() }))
}

func TestWriteThenReadIsTheSame(t *testing.T) {
	dir := t.TempDir()
	s := mustRead(t, nil)
	for range 2 { // the second time over the files of the first
		if err := Write(dir, s); err != nil {
			t.Fatal(err)
		}
		again, faults, err := Read(os.DirFS(dir), base())
		if err != nil || len(faults) > 0 {
			t.Fatal(err, faults)
		}
		if d := sameStudio(s, again); d != "" {
			t.Fatal(d)
		}
	}
	onlyThe(t, dir, files)
}

// A folder of format 1 is read, and written again as one of the newest.
func TestWriteRaisesTheFormat(t *testing.T) {
	dir := t.TempDir()
	old := changed("studio.json", `"format": 3`, `"format": 1`)
	old["students.json"] = strings.Replace(sample["students.json"], `,
    "coach": "ines"`, "", 1)
	for _, file := range append(inFormat2, inFormat3...) {
		old[file] = ""
	}
	s := mustRead(t, old)
	if s.Format != 1 {
		t.Error(s.Format)
	}
	if err := Write(dir, s); err != nil {
		t.Fatal(err)
	}
	again, faults, err := Read(os.DirFS(dir), base())
	if err != nil || len(faults) > 0 || again.Format != 3 {
		t.Fatal(err, faults)
	}
	s.Format = 3
	if d := sameStudio(s, again); d != "" {
		t.Error(d)
	}
}

// Sessions may name weeks that the folder does not keep, also once it was
// written anew.
func TestWeeksKeptElsewhere(t *testing.T) {
	dir := t.TempDir()
	s := mustRead(t, map[string]string{"weeks.jsonl": ""})
	if err := Write(dir, s); err != nil {
		t.Fatal(err)
	}
	again, faults, err := Read(os.DirFS(dir), base())
	if err != nil || len(faults) > 0 || again.Logs["ada"].Sessions[0].Week != "2026-W10" {
		t.Error(err, faults)
	}
}

// onlyThe fails unless the folder has these files and no others.
func onlyThe(t *testing.T, dir string, want []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if !cmp.Equal(got, want, cmpopts.SortSlices(strings.Compare), cmpopts.EquateEmpty()) {
		t.Errorf("the folder has %v", got)
	}
}

// Whatever studio is drawn, writing and reading it gives it back.
func TestWriteThenReadProperty(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		s := drawStudio(t)
		if err := Write(dir, s); err != nil {
			t.Fatal(err)
		}
		again, faults, err := Read(os.DirFS(dir), base())
		if err != nil || len(faults) > 0 {
			t.Fatal(err, faults)
		}
		if d := sameStudio(s, again); d != "" {
			t.Fatal(d)
		}
	})
}

// When one file cannot be put in its place nothing half-written stays, and what
// was there is there still.
func TestWriteLeavesNothingHalfWritten(t *testing.T) {
	dir := t.TempDir()
	s := mustRead(t, nil)
	if err := os.Mkdir(filepath.Join(dir, "studio.json"), 0o700); err != nil {
		t.Fatal(err)
	}
	old := filepath.Join(dir, "attempts.csv")
	if err := os.WriteFile(old, []byte("as it was"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Write(dir, s); err == nil {
		t.Fatal("a folder stood in the place of a file, and nothing was said")
	}
	if raw, err := os.ReadFile(old); err != nil || string(raw) != "as it was" {
		t.Error(string(raw), err)
	}
	onlyThe(t, dir, []string{"studio.json", "attempts.csv"})
}

// A value that cannot be written ends the writing before any file is in place.
func TestWriteWhatCannotBeWritten(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	s := mustRead(t, nil)
	s.Students[1].HeightM = math.NaN()
	if err := Write(dir, s); err == nil {
		t.Fatal("not a number was written")
	}
	onlyThe(t, dir, nil)
}

// told is a source with a head of its own.
type told struct {
	*Studio
	leftOut       string
	head, in, end error
}

func (s told) Head() (Head, error) {
	h, _ := s.Studio.Head()
	h.LeftOut = s.leftOut
	return h, s.head
}

func (s told) Records() iter.Seq2[Record, error] {
	return func(yield func(Record, error) bool) {
		for r := range s.Studio.Records() {
			if !yield(r, nil) {
				return
			}
		}
		if s.in != nil {
			yield(Record{}, s.in)
		}
	}
}

func (s told) Trail() iter.Seq2[practice.Change, error] {
	return func(yield func(practice.Change, error) bool) {
		if s.end != nil {
			yield(practice.Change{}, s.end)
		}
	}
}

// What was left out is said in the folder as long as it is so.
func TestWriteSaysWhatIsLeftOut(t *testing.T) {
	dir := t.TempDir()
	s := mustRead(t, nil)
	s.Students[0].Restrictions[0].Site = "" // what it rules out is there all the same
	if err := Write(dir, told{Studio: s, leftOut: "Without the key."}); err != nil {
		t.Fatal(err)
	}
	onlyThe(t, dir, append(slices.Clone(files), LeftOutFile))
	if raw, err := os.ReadFile(filepath.Join(dir, LeftOutFile)); err != nil || string(raw) != "Without the key.\n" {
		t.Error(string(raw), err)
	}
	if _, faults, err := Read(os.DirFS(dir), base()); err != nil || len(faults) > 0 {
		t.Error(err, faults)
	}
	if err := Write(dir, s); err != nil {
		t.Fatal(err)
	}
	onlyThe(t, dir, files)
}

// An error of the source is handed on as it is, and nothing is written.
func TestWriteFromABrokenSource(t *testing.T) {
	broken := practice.Fault{Code: practice.StoreAway}
	s := mustRead(t, nil)
	for name, src := range map[string]told{
		"head": {Studio: s, head: broken}, "records": {Studio: s, in: broken}, "trail": {Studio: s, end: broken},
	} {
		dir := filepath.Join(t.TempDir(), "new")
		if err := Write(dir, src); !practice.HasCode(err, practice.StoreAway) {
			t.Error(name, err)
		}
		onlyThe(t, dir, nil)
	}
}

func TestWriteWhereNoFolderCanBe(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Write(filepath.Join(file, "in"), mustRead(t, nil)); err == nil {
		t.Error("a folder in a file")
	}
}

func TestWrittenFilesAreTheOwnersAlone(t *testing.T) {
	dir := t.TempDir()
	if err := Write(dir, mustRead(t, nil)); err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		info, err := os.Stat(filepath.Join(dir, name))
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Error(name, info.Mode(), err)
		}
	}
}

// TestColumnsCoverTheRows fails when a field of a row has no column.
func TestColumnsCoverTheRows(t *testing.T) {
	for file, got := range map[string]int{
		attempts.file: len(attempts.columns) - reflect.TypeFor[attempt]().NumField(),
		tallies.file:  len(tallies.columns) - reflect.TypeFor[tally]().NumField(),
		sessions.file: len(sessions.columns) - reflect.TypeFor[session]().NumField(),
		probes.file:   len(probes.columns) - reflect.TypeFor[probe]().NumField(),
		marks.file:    len(marks.columns) - reflect.TypeFor[mark]().NumField(),
		setWords.file: len(setWords.columns) - reflect.TypeFor[setWord]().NumField(),
		detours.file:  len(detours.columns) - reflect.TypeFor[detour]().NumField(),
		receipts.file: len(receipts.columns) - reflect.TypeFor[receipt]().NumField(),
	} {
		if got != 0 {
			t.Errorf("%s: %d columns more than fields", file, got)
		}
	}
}

// guarded is a studio whose source asks for guarded cells.
type guarded struct{ *Studio }

func (g guarded) Head() (Head, error) {
	h, err := g.Studio.Head()
	h.Guarded = true
	return h, err
}

// A cell a spreadsheet would run stands behind an apostrophe, and no other.
func TestWriteGuardsCells(t *testing.T) {
	at := practice.Instant{UnixNano: 1.7e18}
	s := &Studio{Studio: practice.Studio{ID: "s", Name: "S"}, Students: []practice.Student{{ID: "mira", Name: "Mira"}},
		Logs: map[string]*practice.Log{"mira": {Sessions: []practice.Session{
			{ID: "a", Student: "mira", At: at, Note: `=HYPERLINK("http://x","y")`}, {ID: "b", Student: "mira", At: at, Note: "+1"},
			{ID: "c", Student: "mira", At: at, Note: "-1"}, {ID: "d", Student: "mira", At: at, Note: "@x"}, {ID: "e", Student: "mira", At: at, Note: "felt = good"},
		}}}}
	notes := func(src Source) (out []string) {
		dir := t.TempDir()
		if err := Write(dir, src); err != nil {
			t.Fatal(err)
		}
		back, faults, err := Read(os.DirFS(dir), base())
		if err != nil || len(faults) > 0 {
			t.Fatal(faults, err)
		}
		for _, x := range back.Logs["mira"].Sessions {
			out = append(out, x.Note)
		}
		return out
	}
	if diff := cmp.Diff([]string{`'=HYPERLINK("http://x","y")`, "'+1", "'-1", "'@x", "felt = good"}, notes(guarded{s})); diff != "" {
		t.Error(diff)
	}
	if got := notes(s); got[1] != "+1" {
		t.Errorf("an ordinary export guards too: %q", got)
	}
}
