package sqlite

import (
	"path/filepath"
	"testing"
	"time"

	"aplomb/internal/practice"
	"aplomb/internal/store/storetest"
)

// A clock set back a year loses nothing: what was kept is there, changes go on,
// and the audit trail stays in the order things were done.
func TestClockSetBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "studio.db")
	who := practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}
	now := time.Date(2026, 6, 3, 12, 0, 0, 0, time.UTC)
	rev := int64(0)
	for i, goal := range []string{"15 s", "30 s", "a press"} {
		s, err := Open(t.Context(), path, storetest.TheKey, func() time.Time { return now }, ids(goal[:2]+"-"))
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			if _, err := s.PutStudio(t.Context(), who, practice.Studio{ID: "millgate", Name: "Millgate Hall"}, 0); err != nil {
				t.Fatal(err)
			}
		}
		if rev, err = s.PutStudent(t.Context(), who, practice.Student{ID: "mira", Name: "Mira", Goal: goal}, rev); err != nil {
			t.Fatal(err)
		}
		trail, err := s.Changes(t.Context(), who, "mira")
		if err != nil || len(trail) != i+1 || trail[i].At.UnixNano != now.UnixNano() {
			t.Errorf("after %q: %+v, %v", goal, trail, err)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		now = now.AddDate(-1, 0, 1)
	}
}
