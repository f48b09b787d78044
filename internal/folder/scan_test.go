package folder

import (
	"errors"
	"slices"
	"testing"

	"aplomb/internal/practice"
)

// steps is a sink that tells of every value it is given.
type steps func(noun practice.Noun, id string) error

func (s steps) Studio(v practice.Studio) error     { return s(practice.StudioNoun, v.ID) }
func (s steps) Drill(v practice.Drill) error       { return s(practice.DrillNoun, v.ID) }
func (s steps) Person(v practice.Person) error     { return s(practice.PersonNoun, v.ID) }
func (s steps) Student(v practice.Student) error   { return s(practice.StudentNoun, v.ID) }
func (s steps) Guardian(v practice.Guardian) error { return s(practice.GuardianNoun, v.ID) }
func (s steps) Cover(v practice.Cover) error       { return s(practice.CoverNoun, v.ID) }
func (s steps) Wish(v practice.Wish) error         { return s(practice.WishNoun, v.Student) }
func (s steps) Week(v practice.Week) error         { return s(practice.WeekNoun, v.ISOWeek.String()) }
func (s steps) Attempt(v practice.Attempt) error   { return s(practice.AttemptNoun, v.ID) }
func (s steps) Tally(v practice.Tally) error       { return s(practice.TallyNoun, v.ID) }
func (s steps) Session(v practice.Session) error   { return s(practice.SessionNoun, v.ID) }
func (s steps) Probe(v practice.ProbeResult) error { return s(practice.ProbeNoun, v.ID) }
func (s steps) Mark(v practice.DrillMark) error    { return s(practice.MarkNoun, v.ID) }
func (s steps) Words(v practice.SetWords) error    { return s(practice.WordsNoun, v.ID) }
func (s steps) Detour(v practice.Detour) error     { return s(practice.DetourNoun, v.ID) }
func (s steps) Receipt(v practice.Receipt) error   { return s("receipt", v.ID) }
func (s steps) Note(v practice.Note) error         { return s(practice.NoteNoun, v.ID) }
func (s steps) Consent(v practice.Consent) error   { return s(practice.ConsentNoun, v.ID) }
func (s steps) Decision(v practice.Decision) error {
	return s(practice.DecisionNoun, v.Student+" "+v.Kind)
}
func (s steps) Change(v practice.Change) error { return s("change", v.ID) }

// sampleSteps is what the sample has, in the order it is given.
var sampleSteps = []string{"studio millgate", "drill plank", "person ines", "person jonas", "person mika", "student ada",
	"student ben", "guardian r-ollerton", "cover easter", "cover one", "wish ada", "wish ", "week 2026-W10",
	"attempt a1", "attempt a2", "attempt a3", "tally t1", "session s1", "probe p1", "probe p2", "mark m1", "words w1", "words w2",
	"detour d1", "detour d2", "detour d3", "receipt a1", "receipt s1", "receipt x1", "note n1", "note n2",
	"consent c1", "consent c2", "decision ada muddy", "decision ada thin", "decision ben thin",
	"change h1", "change h2", "change h3"}

// taken scans the sample with some files changed into a sink that refuses the
// value at the place refused.
func taken(t *testing.T, files map[string]string, refused int, refusal error) ([]string, practice.Faults, error) {
	t.Helper()
	var got []string
	faults, err := Scan(with(files), base(), steps(func(noun practice.Noun, id string) error {
		got = append(got, string(noun)+" "+id)
		if len(got)-1 == refused {
			return refusal
		}
		return nil
	}))
	return got, faults, err
}

func TestScanGivesEverythingInOrder(t *testing.T) {
	got, faults, err := taken(t, nil, -1, nil)
	if err != nil || len(faults) > 0 || !slices.Equal(got, sampleSteps) {
		t.Errorf("%q %v %v", got, faults, err)
	}
}

// Whatever a sink refuses, it is the last thing it is given, and its error is
// the scan's.
func TestScanEndsWithTheSinksError(t *testing.T) {
	for i := range sampleSteps {
		refusal := practice.Fault{Code: practice.ExistsAlready, Value: sampleSteps[i]}
		got, faults, err := taken(t, nil, i, refusal)
		if !errors.Is(err, refusal) || len(faults) > 0 || !slices.Equal(got, sampleSteps[:i+1]) {
			t.Errorf("%s: %q %v %v", sampleSteps[i], got, faults, err)
		}
	}
}

// A sink is given nothing after a fault, and every fault is listed for all
// that.
func TestScanGivesNothingAfterAFault(t *testing.T) {
	files := changed("attempts.csv", "false,0.4", "false,-0.4")
	files["notes.jsonl"] = changed("notes.jsonl", "\"stop\"", "\"halt\"")["notes.jsonl"]
	got, faults, err := taken(t, files, -1, nil)
	if want := "attempts.csv:3 out-of-range seconds -0.4\nnotes.jsonl:2 unknown-word kind halt ~pain"; err != nil || shown(faults) != want {
		t.Errorf("got\n%s\n%v", shown(faults), err)
	}
	if at := slices.Index(sampleSteps, "attempt a1"); !slices.Equal(got, sampleSteps[:at+1]) {
		t.Errorf("%q", got)
	}
	files["odd.csv"] = "id\n"
	if got, faults, _ = taken(t, files, 0, errors.New("never asked")); len(got) > 0 || len(faults) != 3 {
		t.Errorf("%q %v", got, faults)
	}
}

// The remedy for new files in a folder of an older format names the number to raise it
// to, and the files.
func TestFilesOfALaterFormat(t *testing.T) {
	files := changed("studio.json", "\"format\": 3", "\"format\": 1")
	for _, file := range append(inFormat2[1:], inFormat3...) {
		files[file] = ""
	}
	_, faults, err := taken(t, files, -1, nil)
	if err != nil || len(faults) != 1 || faults[0].Want != "2, the format of people.json" || faults[0].Line != 2 {
		t.Errorf("%+v %v", faults, err)
	}
	files["words.csv"] = sample["words.csv"]
	if _, faults, err = taken(t, files, -1, nil); err != nil || len(faults) != 1 || faults[0].Want != "3, the format of people.json, words.csv" {
		t.Errorf("%+v %v", faults, err)
	}
	if _, faults, err = taken(t, changed("studio.json", "\"format\": 3", "\"format\": 2"), -1, nil); err != nil || len(faults) != 1 || faults[0].Value != "2" {
		t.Errorf("%+v %v", faults, err)
	}
}

// A line of the audit trail may hold a record twice.
func TestLongLineOfTheTrail(t *testing.T) {
	line := func(n int) map[string]string {
		return changed("changes.jsonl", `"after":{"id":"n2"}`, `"before":"`+string(slices.Repeat([]byte("x"), n))+`","after":{}`)
	}
	if got, faults, err := taken(t, line(2*MaxRecord), -1, nil); len(got) != len(sampleSteps) || len(faults) > 0 || err != nil {
		t.Error(len(got), faults, err)
	}
	if _, faults, _ := taken(t, line(maxChange), -1, nil); shown(faults) != "changes.jsonl:1 line-too-long" || faults[0].Want != "3 MiB" {
		t.Error(faults)
	}
}

// Rows that share a text share it also once very many texts were met.
func TestPoolForgets(t *testing.T) {
	p := pool{}
	for i := range 3 * maxPool {
		p.keep(string(rune(i)) + "-")
	}
	if len(p) > maxPool || p.keep("ada") != "ada" || p["ada"] != "ada" {
		t.Error(len(p))
	}
}
