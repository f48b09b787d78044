package folder

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
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

func drawStudio(t *rapid.T) *Studio {
	zone, _ := practice.ParseZone(rapid.SampledFrom([]string{"UTC", "Europe/London", "Asia/Kathmandu"}).Draw(t, "zone"))
	s := &Studio{Library: base(), Logs: map[string]*practice.Log{}}
	s.Studio = practice.Studio{Format: Format, ID: "millgate", Name: "x" + drawText(t), Zone: zone}
	for _, id := range rapid.SliceOfNDistinct(rapid.StringMatching(`[A-Za-z0-9_-]{1,12}`), 1, 3, rapid.ID[string]).Draw(t, "students") {
		student := practice.Student{ID: id, Name: "y" + drawText(t), Zone: zone, Goal: drawText(t),
			HeightM: rapid.SampledFrom([]float64{0, 1.5, 1.73205}).Draw(t, "height")}
		if rapid.Bool().Draw(t, "born") {
			born := practice.Date(rapid.IntRange(-25000, 20000).Draw(t, "day"))
			student.Born = &born
		}
		s.Students = append(s.Students, student)
		s.Logs[id] = drawLog(t, id)
	}
	return s
}

func drawLog(t *rapid.T, student string) *practice.Log {
	log := &practice.Log{}
	for range rapid.IntRange(0, 3).Draw(t, "attempts") {
		log.Attempts = append(log.Attempts, drawAttempt(t, student, student+"-"+drawID(t)))
	}
	for range rapid.IntRange(0, 2).Draw(t, "sessions") {
		log.Sessions = append(log.Sessions, practice.Session{ID: student + "-" + drawID(t), Student: student, At: drawInstant(t),
			Minutes: drawNumber(t, 600), Effort: drawNumber(t, 10), Pain: drawNumber(t, 10), Note: drawText(t)})
	}
	for range rapid.IntRange(0, 2).Draw(t, "probes") {
		log.Probes = append(log.Probes, practice.ProbeResult{ID: student + "-" + drawID(t), Student: student, At: drawInstant(t),
			Component: "tension", Test: "hollow-hold", Value: drawNumber(t, 300).Value, Unit: "s", By: drawText(t)})
	}
	log.Sort()
	return log
}

// drawID draws from so many that a draw does not meet the same one twice.
func drawID(t *rapid.T) string { return rapid.StringMatching(`[a-z0-9]{24}`).Draw(t, "id") }

func drawAttempt(t *rapid.T, student, id string) practice.Attempt {
	return practice.Attempt{ID: id, Student: student, At: drawInstant(t), Drill: "toe-pull",
		Set: rapid.IntRange(0, 500).Draw(t, "set"), Rep: rapid.IntRange(0, 500).Draw(t, "rep"),
		Entry:   rapid.SampledFrom(append(practice.Entries, "")).Draw(t, "entry"),
		Surface: rapid.SampledFrom(append(practice.Surfaces, "")).Draw(t, "surface"),
		End:     rapid.SampledFrom(append(practice.Ends, "")).Draw(t, "end"),
		Place:   drawText(t), Note: drawText(t), Seconds: drawNumber(t, practice.MaxHoldS),
		Passed: practice.Maybe[bool]{Value: false, Known: rapid.Bool().Draw(t, "known")},
	}
}

func drawNumber(t *rapid.T, most float64) practice.Maybe[float64] {
	if rapid.Bool().Draw(t, "known") {
		return practice.Known(math.Abs(rapid.Float64Range(0, most).Draw(t, "number")))
	}
	return practice.Maybe[float64]{}
}

func drawInstant(t *rapid.T) practice.Instant {
	return practice.Instant{UnixNano: rapid.Int64Range(-2e18, 7e18).Draw(t, "ns"), Offset: int16(rapid.IntRange(-23*60-59, 23*60+59).Draw(t, "offset"))}
}

// drawText is any text a cell can keep: a CR LF becomes LF.
func drawText(t *rapid.T) string {
	return strings.ReplaceAll(rapid.String().Draw(t, "text"), "\r\n", "\n")
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
	} {
		if got != 0 {
			t.Errorf("%s: %d columns more than fields", file, got)
		}
	}
}
