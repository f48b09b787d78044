package sqlite

import (
	"context"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

func TestSmoke(t *testing.T) {
	n := 0
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "studio.db"), nil, time.Now, func() string { n++; return "id" + strconv.Itoa(n) })
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := context.Background()
	who := practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}
	if _, err := s.PutStudio(ctx, who, practice.Studio{ID: "millgate", Name: "Millgate Hall"}, 0); err != nil {
		t.Fatal(err)
	}
	rev, err := s.PutStudent(ctx, who, practice.Student{ID: "mira", Name: "Mira"}, 0)
	if err != nil || rev != 1 {
		t.Fatal(rev, err)
	}
	a := practice.Attempt{ID: "a1", Student: "mira", Drill: "open-try", Seconds: practice.Known(3.5), At: practice.Instant{UnixNano: 5, Offset: 60}}
	for range 2 {
		if err := s.AddLog(ctx, who, "mira", practice.Log{Attempts: []practice.Attempt{a}}); err != nil {
			t.Fatal(err)
		}
	}
	a.Note = "later"
	if err := s.AddLog(ctx, who, "mira", practice.Log{Attempts: []practice.Attempt{a}}); err != nil {
		t.Fatal(err)
	}
	r, err := s.Record(ctx, who, "mira")
	if err != nil || len(r.Log.Attempts) != 1 || r.Log.Attempts[0] != a {
		t.Fatal(r, err)
	}
	cs, err := s.Changes(ctx, who, "mira")
	for _, c := range cs {
		t.Logf("%s %s %s %s %s", c.Act, c.Noun, c.Key, c.Before, c.After)
	}
	if err != nil || len(cs) != 3 {
		t.Fatal(cs, err)
	}
	err = s.Load(ctx, who, func(l *store.Loader) error { l.Studio(practice.Studio{ID: "two", Name: "x"}); l.Student(practice.Student{ID: "mira"}); a.ID = "z"; return l.Attempt(a) })
	if err != nil {
		t.Fatal(err)
	}
	who.Studio = "two"
	if err := s.PutPasskey(ctx, who, practice.Passkey{ID: "k", Person: "nobody"}); !practice.HasCode(err, practice.UnknownID) {
		t.Fatal(err)
	}
}
