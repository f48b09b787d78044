package storetest

import (
	"strings"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// RareName is in the database before Erase and nowhere after.
const RareName = "Mira Quillfeather-Ostrander"

// erase leaves one line, without a name, and everybody else as they were.
func erase(t *testing.T, fresh Fresh) {
	s := furnished(t, fresh)
	must(t)(s.PutGuardian(ctx, millgate, practice.Guardian{ID: "both", Name: "B", Students: []string{"mira", "oda"}}, 0))
	must(t)(s.PutCover(ctx, millgate, practice.Cover{ID: "hers", For: "ines", By: "tom", Student: "mira"}, 0))
	must(t)(s.PutNote(ctx, millgate, practice.Note{ID: "o", Student: "oda", Text: "calm"}, 0))
	ok(t, s.PutSignIn(ctx, millgate, practice.SignIn{ID: "m", Who: practice.Who{Studio: "millgate", ID: "mira", Role: practice.AsStudent}, Token: "mt"}))
	ok(t, s.PutDoor(ctx, millgate, practice.Door{Hash: "g", For: practice.GuardianDoor, Of: "g"}))
	backup := dumped(t, s)

	key := got[string](t)(s.Erase(ctx, millgate, "mira"))
	erased(t, s, key, millgate.ID)
	_, err := s.Erase(ctx, millgate, "mira")
	refused(t, err, practice.NotFound)

	restored := fresh(t)(TheKey)
	ok(t, restored.Restore(ctx, strings.NewReader(backup)))
	if n := got[int](t)(restored.EraseByKey(ctx, []string{"unknown", key})); n != 1 {
		t.Errorf("%d erased again, want 1", n)
	}
	erased(t, restored, key, string(practice.AtTheDesk))
	if n := got[int](t)(restored.EraseByKey(ctx, []string{key})); n != 0 {
		t.Errorf("%d erased a third time", n)
	}
}

func erased(t *testing.T, s *store.Store, key, by string) {
	t.Helper()
	text := dumped(t, s)
	for _, gone := range []string{"mira", RareName, "Mira", "a1", `"g"`, "hers"} {
		if strings.Contains(text, gone) {
			i := strings.Index(text, gone)
			t.Errorf("%q is still there: %s", gone, text[max(0, i-80):min(len(text), i+80)])
		}
	}
	e := got[Everything](t)(ReadAll(s, millgate))
	if len(e.Students) != 1 || len(e.Records[0].Notes) != 1 || len(e.Guardians) != 1 || len(e.Covers) != 1 {
		t.Errorf("what is left: %+v", e)
	}
	same(t, "the other ward", e.Guardians[0].Students, []string{"oda"})
	last := e.Trail[len(e.Trail)-1]
	if last.Act != practice.Erased || last.Key != key || key == "" || last.By != by || last.Student != "" || last.Before != nil || last.After != nil {
		t.Errorf("the line that stays: %+v", last)
	}
}
