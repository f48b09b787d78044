package demo

import (
	"iter"
	"os"
	"reflect"
	"testing"

	"aplomb/internal/assess"
	"aplomb/internal/desk"
	"aplomb/internal/folder"
	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
)

var today = practice.DateOf(2026, 6, 3)

func because(planning.Reason) string { return "because" }

func invented(t testing.TB) Studio {
	t.Helper()
	s, err := New(library.Builtin(), today, because)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// On whatever day of the week the demo is shown, one of each trouble a notice
// exists for is in it.
func TestEveryNoticeHasSomebody(t *testing.T) {
	days := practice.Date(7)
	if testing.Short() {
		days = 1
	}
	for day := today; day < today+days; day++ {
		s, err := New(library.Builtin(), day, because)
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Students) != 24 {
			t.Fatalf("%d students", len(s.Students))
		}
		found := map[desk.Kind][]string{}
		for _, student := range s.Students {
			l := desk.Work(assess.Subject{Student: student, Zone: s.Studio.Zone, Log: s.Logs[student.ID], Library: library.Builtin(),
				Milestones: practice.DefaultMilestonesS, AsOf: day})
			for _, n := range l.Notices {
				found[n.Kind] = append(found[n.Kind], student.ID)
			}
		}
		for _, k := range desk.Kinds {
			t.Logf("%s %-10s %v", day, k, found[k])
			if len(found[k]) == 0 {
				t.Errorf("%s: nobody is there for %s", day, k)
			}
		}
	}
}

// Everything invented is sound, and the same day gives the same studio.
func TestTheStudioIsSound(t *testing.T) {
	s, again := invented(t), invented(t)
	if !reflect.DeepEqual(s, again) {
		t.Error("another studio on the same day")
	}
	dir := t.TempDir()
	if err := folder.Write(dir, source{s}); err != nil {
		t.Fatal(err)
	}
	back, faults, err := folder.Read(os.DirFS(dir), library.Builtin())
	if err != nil || len(faults) > 0 {
		t.Fatalf("%v %v", err, faults)
	}
	for _, student := range back.Students {
		log := back.Logs[student.ID]
		for _, a := range log.Attempts {
			if a.At.Date() >= today {
				t.Fatalf("%s has a try on %s", student.ID, a.At)
			}
		}
		if student.Coach == "" || len(student.Slots) == 0 {
			t.Errorf("%s: %+v", student.ID, student)
		}
	}
}

// source writes the studio as a folder, to be held against its reader.
type source struct{ s Studio }

func (s source) Head() (folder.Head, error) {
	return folder.Head{Studio: s.s.Studio, People: s.s.People, Guardians: s.s.Guardians, Covers: s.s.Covers}, nil
}

func (s source) Records() iter.Seq2[folder.Record, error] {
	return func(yield func(folder.Record, error) bool) {
		for _, student := range s.s.Students {
			r := folder.Record{Student: student, Log: *s.s.Logs[student.ID]}
			for _, n := range s.s.Notes {
				if n.Student == student.ID {
					r.Notes = append(r.Notes, n)
				}
			}
			for _, c := range s.s.Consents {
				if c.Student == student.ID {
					r.Consents = append(r.Consents, c)
				}
			}
			if !yield(r, nil) {
				return
			}
		}
	}
}

func (s source) Trail() iter.Seq2[practice.Change, error] {
	return func(func(practice.Change, error) bool) {}
}

// BenchmarkNew is how long a visitor waits for the studio to be invented.
func BenchmarkNew(b *testing.B) {
	for b.Loop() {
		invented(b)
	}
}
