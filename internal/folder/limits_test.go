package folder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"testing/iotest"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// bare reads attempts used alone.
func bare(r io.Reader) (ids []string, faults practice.Faults) {
	for a := range Attempts(r, "attempts.csv", &faults) {
		ids = append(ids, a.ID)
	}
	return ids, faults
}

const bareHeader = "id,student,at,drill,seconds,note\n"

func bareRow(id, rest string) string {
	return id + ",ada,2026-03-03T18:40:00+01:00,open-try," + rest + "\n"
}

func TestAttemptsAlone(t *testing.T) {
	ids, faults := bare(strings.NewReader(sample["attempts.csv"]))
	if !slices.Equal(ids, []string{"a1", "a2", "a3"}) || len(faults) > 0 {
		t.Error(ids, faults)
	}
	ids, faults = bare(strings.NewReader(bareHeader + "a,nobody,2026-03-03T18:40:00+01:00,no-drill,2,\n" + bareRow("b", "-1,")))
	if !slices.Equal(ids, []string{"a"}) || shown(faults) != "attempts.csv:3 out-of-range seconds -1" {
		t.Error(ids, faults)
	}
}

func TestStoppingEarlyKeepsTheFaults(t *testing.T) {
	var faults practice.Faults
	for range Attempts(strings.NewReader(bareHeader+bareRow("a", "-1,")+bareRow("b", "1,")+bareRow("c", "-1,")), "x", &faults) {
		break
	}
	if len(faults) != 1 {
		t.Error(faults)
	}
}

func TestReadWithoutComplaint(t *testing.T) {
	reversed := func(file string) string { // the columns of the first rows the other way round
		var out []string
		for line := range strings.SplitSeq(strings.TrimSpace(sample[file]), "\n") {
			cells := strings.Split(line, ",")
			slices.Reverse(cells)
			out = append(out, strings.Join(cells, ","))
		}
		return strings.Join(out, "\n")
	}
	marked := map[string]string{}
	for file, text := range sample {
		marked[file] = "\ufeff" + strings.ReplaceAll(text, "\n", "\r\n")
	}
	want := mustRead(t, nil)
	for name, files := range map[string]map[string]string{
		"a byte-order mark and CR LF": marked,
		"columns in another order":    {"sessions.csv": reversed("sessions.csv"), "marks.csv": reversed("marks.csv")},
		"no line end at the end":      {"tallies.csv": strings.TrimSpace(sample["tallies.csv"])},
		"empty lines and cells":       {"marks.csv": sample["marks.csv"] + "\n\n,,,,,\n,\n"},
		"null for an empty list":      changed("students.json", `"id": "ben",`, `"id": "ben", "kit": null,`),
		"files of other kinds":        {"notes.txt": "x", ".attempts.csv-1": "x", "README.md": "x"},
	} {
		if d := sameStudio(want, mustRead(t, files)); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// A column may be left out where nothing of it is known.
func TestColumnsLeftOut(t *testing.T) {
	s := mustRead(t, map[string]string{"attempts.csv": "drill,at,student,id\ntoe-pull,2026-03-03T18:40:00Z,ben,x\n"})
	if a := s.Logs["ben"].Attempts[0]; a.Passed.Known || a.Seconds.Known || a.Cold.Known || a.Set != 0 || a.End != "" {
		t.Errorf("%+v", a)
	}
}

func TestOnlyTwoFilesAreRequired(t *testing.T) {
	none := changed("students.json", `"coach": "ines"`, `"exit_side": "left"`)
	none["students.json"] = strings.Replace(none["students.json"], `"exit_side": "right",`, "", 1)
	for file := range sample {
		if file != "studio.json" && file != "students.json" {
			none[file] = ""
		}
	}
	s := mustRead(t, none)
	if len(s.Students) != 2 || s.Logs["ada"] == nil || s.Library.Version != "test" {
		t.Errorf("%+v", s)
	}
}

// A student with a fault is one fault, whatever names the student; one without
// an id could be anyone.
func TestNoCascade(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"1.68", "168", "students.json:6 out-of-range height_m 168"},
		{`"id": "ada",`, ``, "students.json:2 missing-field id"},
		{`"id": "ada"`, `"id": 7`, "students.json:3 wrong-type id 7"},
		{`"group": "tuesday"`, `"grup": "tuesday"`, "students.json:22 unknown-field grup grup ~group"},
		{`"born"`, `born`, `students.json:5 bad-json "Ada Fenwick", b`},
	} {
		_, faults, err := Read(with(changed("students.json", c.old, c.new)), base())
		if err != nil || shown(faults) != c.want {
			t.Errorf("%s: got\n%s", c.new, shown(faults))
		}
	}
	_, faults, _ := Read(with(changed("drills.json", `"min_sets": 2`, `"min_sets": 0`)), base())
	if shown(faults) != "drills.json:18 out-of-range max_sets 4" {
		t.Error(shown(faults))
	}
}

func TestAtMostAHundredFaultsAFile(t *testing.T) {
	var b strings.Builder
	b.WriteString(bareHeader)
	for i := range 500 {
		b.WriteString(bareRow(fmt.Sprintf("a%d", i), "-1,"))
	}
	_, faults := bare(strings.NewReader(b.String()))
	if len(faults) != MaxFaults+1 || faults[MaxFaults].Code != practice.TooMany || faults[MaxFaults].Line != MaxFaults+2 {
		t.Error(len(faults), faults[len(faults)-1])
	}
	many := "[" + strings.Repeat("{},\n", 5000) + "{}]"
	_, faults, _ = Read(with(map[string]string{"locks.json": many, "students.json": many}), base())
	if len(faults) != 2*(MaxFaults+1) {
		t.Error(len(faults))
	}
}

// Reading goes on with the line after one that is too long, and its line
// numbers hold.
func TestLongLine(t *testing.T) {
	long := bareRow("b", "2,"+strings.Repeat("x", 100<<20))
	ids, faults := bare(strings.NewReader(bareHeader + bareRow("a", "1,") + long + bareRow("c", "3,") + bareRow("d", "-1,")))
	if !slices.Equal(ids, []string{"a", "c"}) || shown(faults) != "attempts.csv:3 line-too-long\nattempts.csv:5 out-of-range seconds -1" {
		t.Error(ids, shown(faults))
	}
	fits := bareRow("b", "2,"+strings.Repeat("x", MaxRecord-len(bareRow("b", "2,"))))
	if ids, faults := bare(strings.NewReader(bareHeader + fits + fits[1:])); len(ids) != 1 || len(faults) != 1 || len(fits) != MaxRecord {
		t.Error(ids, shown(faults))
	}
}

// A quote that is never closed swallows no more than a record may take.
func TestOpenQuoteInALongFile(t *testing.T) {
	rest := strings.Repeat(bareRow("x", "2,"), 100_000)
	_, faults := bare(strings.NewReader(bareHeader + bareRow("a", "1,\"oh") + rest))
	if len(faults) == 0 || faults[0].Code != practice.BadCSV || faults[0].Line != 2 || faults[0].Near == "" {
		t.Error(shown(faults[:1]))
	}
}

func TestLongJSON(t *testing.T) {
	long := strings.Repeat("x", 2<<20)
	for _, c := range []struct {
		files map[string]string
		want  string
	}{
		{map[string]string{"weeks.jsonl": `{"student":"` + long + "\"}\n" + sample["weeks.jsonl"]}, "weeks.jsonl:1 line-too-long"},
		{changed("students.json", "Ada Fenwick", long), "students.json:2 line-too-long"},
		{changed("studio.json", "Millgate Hall", long), "studio.json:1 line-too-long"},
		{map[string]string{"locks.json": "[\n" + strings.Repeat(" ", MaxDocument)}, "locks.json:2 line-too-long"},
	} {
		_, faults, _ := Read(with(c.files), base())
		if shown(faults) != c.want {
			t.Errorf("got %s, want %s", shown(faults), c.want)
		}
	}
}

// Brackets upon brackets end in a fault, not in a full stack.
func TestDeepJSON(t *testing.T) {
	deep := strings.Repeat("[", 1<<20)
	_, faults, _ := Read(with(map[string]string{"locks.json": deep}), base())
	if len(faults) != 1 || faults[0].Code != practice.BadJSON {
		t.Error(shown(faults))
	}
	nested := strings.Repeat("[", 9000) + strings.Repeat("]", 9000)
	_, faults, _ = Read(with(changed("weeks.jsonl", `{"x":[1,2]}`, nested)), base())
	if len(faults) > 0 {
		t.Error(shown(faults))
	}
}

func TestCannotBeRead(t *testing.T) {
	broken := errors.New("the disk is gone")
	_, faults := bare(io.MultiReader(strings.NewReader(bareHeader+bareRow("a", "1,")), iotest.ErrReader(broken)))
	if len(faults) != 1 || faults[0].Code != practice.NotRead || !errors.Is(faults[0], broken) {
		t.Error(faults)
	}
	if _, faults = bare(iotest.ErrReader(broken)); len(faults) != 1 || faults[0].Code != practice.NotRead {
		t.Error(faults)
	}
	fsys := with(map[string]string{"locks.json": "", "weeks.jsonl": ""})
	fsys["locks.json"] = &fstest.MapFile{Mode: fs.ModeDir}
	fsys["weeks.jsonl"] = &fstest.MapFile{Mode: fs.ModeDir}
	_, faults, err := Read(fsys, base())
	if err != nil || len(faults) != 2 || faults[0].Code != practice.NotRead || faults[1].Code != practice.NotRead {
		t.Error(err, shown(faults))
	}
	if _, _, err = Read(gone{}, base()); !errors.Is(err, broken) && !errors.Is(err, fs.ErrNotExist) {
		t.Error(err)
	}
}

type gone struct{}

func (gone) Open(string) (fs.File, error) { return nil, fs.ErrNotExist }

// A drill of the studio takes the place of the built-in one, and may not take
// away the way out.
func TestOwnDrillsOnTheBuiltInLibrary(t *testing.T) {
	bareBones := with(map[string]string{"attempts.csv": "", "tallies.csv": "", "marks.csv": "", "words.csv": "", "probes.csv": "", "locks.json": ""})
	plank := strings.Replace(sample["drills.json"], `"needs": [{"any": [{"drill": "toe-pull", "passes": 3}, {"test": "hollow-hold", "value": 20}]}],`, "", 1)
	bareBones["drills.json"] = &fstest.MapFile{Data: []byte(plank)}
	s, faults, err := Read(bareBones, library.Builtin())
	if err != nil || len(faults) > 0 || len(s.Library.Drills) != len(library.Builtin().Drills)+1 {
		t.Fatal(err, shown(faults))
	}
	bareBones["drills.json"] = &fstest.MapFile{Data: []byte(strings.Replace(plank, `"plank"`, `"open-try"`, 1))}
	_, faults, _ = Read(bareBones, library.Builtin())
	if len(faults) == 0 || faults[0].Code != practice.Contradiction || faults[0].File != "drills.json" {
		t.Error(shown(faults))
	}
}

// A header of a thousand unknown columns is one cut list, and no rows.
func TestAHeaderOfUnknownColumns(t *testing.T) {
	var header strings.Builder
	header.WriteString("id")
	for i := range 1000 {
		fmt.Fprintf(&header, ",c%d", i)
	}
	_, faults := bare(strings.NewReader(header.String() + "\n"))
	if len(faults) != MaxFaults+1 || faults[MaxFaults].Code != practice.TooMany {
		t.Error(len(faults))
	}
}

// A file that ends in a row too long, or breaks off there, says so once.
func TestLongLineAtTheEnd(t *testing.T) {
	long := strings.Repeat("x", 3<<20)
	if _, faults := bare(strings.NewReader(bareHeader + long)); shown(faults) != "attempts.csv:2 line-too-long" {
		t.Error(shown(faults))
	}
	broken := io.MultiReader(strings.NewReader(bareHeader+long), iotest.ErrReader(errors.New("gone")))
	if _, faults := bare(broken); shown(faults) != "attempts.csv:2 line-too-long\nattempts.csv:2 not-read" {
		t.Error(shown(faults))
	}
}

func TestTooManyOwnDrills(t *testing.T) {
	one := strings.Trim(strings.TrimSpace(sample["drills.json"]), "[]")
	var many []string
	for i := range MaxOwnDrills + 1 {
		many = append(many, strings.Replace(one, `"plank"`, fmt.Sprintf(`"plank-%d"`, i), 1))
	}
	_, faults, _ := Read(with(map[string]string{"drills.json": "[" + strings.Join(many, ",") + "]"}), base())
	if shown(faults) != "drills.json:1 out-of-range 2001 drills" {
		t.Error(shown(faults))
	}
}

// A broken reference among very many names is a fault all the same, without a
// nearest one.
func TestNearestAmongVeryMany(t *testing.T) {
	var n names
	for i := range 10_001 {
		n.add(fmt.Sprint(i))
	}
	k := &known{}
	if fs := k.lookUp(reference{"student", "x", &n}); len(fs) != 1 || fs[0].Near != "" {
		t.Error(fs)
	}
}
