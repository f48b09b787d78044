package storetest

import (
	"testing"

	"aplomb/internal/practice"
)

// A put is new with base 0, else in the place of a revision; anything else is
// refused and changes nothing.
func objects(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	kept := got[practice.Kept[practice.Student]](t)(s.Student(ctx, millgate, "mira"))
	same(t, "student", kept, practice.Kept[practice.Student]{Value: mira(), Rev: 1})

	changed := mira()
	changed.Goal = "15 s"
	if rev := must(t)(s.PutStudent(ctx, millgate, changed, 1)); rev != 2 {
		t.Errorf("revision %d, want 2", rev)
	}
	_, err := s.PutStudent(ctx, millgate, mira(), 1)
	refused(t, err, practice.ChangedSince)
	_, err = s.PutStudent(ctx, millgate, mira(), 0)
	refused(t, err, practice.ExistsAlready)
	_, err = s.PutStudent(ctx, millgate, practice.Student{ID: "nobody", Name: "N"}, 3)
	refused(t, err, practice.NotFound)
	_, err = s.Student(ctx, millgate, "nobody")
	refused(t, err, practice.NotFound)
	kept = got[practice.Kept[practice.Student]](t)(s.Student(ctx, millgate, "mira"))
	same(t, "student", kept, practice.Kept[practice.Student]{Value: changed, Rev: 2})

	t.Run("removal", func(t *testing.T) { removals(t, fresh) })
	t.Run("people", func(t *testing.T) { persons(t, fresh) })
	t.Run("studios", func(t *testing.T) { apart(t, fresh) })
}

func removals(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	week := practice.Week{Student: "mira", ISOWeek: practice.ISOWeek{Year: 2026, Week: 23}, Version: 1, Status: practice.HandedOver}
	wish := practice.Wish{Student: "mira", Week: &week.ISOWeek, Bans: []string{"frog"}}
	note := practice.Note{ID: "n", Student: "mira", By: "ines", Kind: practice.PlainNote, Text: "calm"}
	draft := week
	draft.Status = practice.Draft
	_, err := s.PutWeek(ctx, millgate, draft, 0)
	refused(t, err, practice.Contradiction)
	must(t)(s.PutWeek(ctx, millgate, week, 0))
	_, err = s.PutWeek(ctx, millgate, draft, 1)
	refused(t, err, practice.Contradiction)
	must(t)(s.PutWish(ctx, millgate, wish, 0))
	must(t)(s.PutNote(ctx, millgate, note, 0))
	must(t)(s.PutDrill(ctx, millgate, practice.Drill{ID: "frog", Name: "Frog"}, 0))
	must(t)(s.PutCover(ctx, millgate, practice.Cover{ID: "c", For: "ines", By: "tom"}, 0))
	must(t)(s.PutGuardian(ctx, millgate, practice.Guardian{ID: "g", Name: "G", Students: []string{"oda"}}, 0))
	if n := len(got[[]string](t)(s.HandedOver(ctx, millgate, week.ISOWeek))); n != 1 {
		t.Errorf("%d weeks of the date, want 1", n)
	}
	_, err = s.Lore(ctx, millgate)
	refused(t, err, practice.NotFound)
	for _, doc := range []string{`{"a":1}`, `{"a":2}`} {
		lore := practice.Lore{AsOf: 20000, Doc: []byte(doc)}
		ok(t, s.PutLore(ctx, millgate, lore))
		same(t, "lore", got[practice.Lore](t)(s.Lore(ctx, millgate)), lore)
	}
	refused(t, s.RemoveNote(ctx, millgate, "oda", "n"), practice.NotFound)
	for _, remove := range []func() error{
		func() error { return s.RemoveWeek(ctx, millgate, "mira", week.ISOWeek, 1) },
		func() error { return s.RemoveWish(ctx, millgate, wish) },
		func() error { return s.RemoveNote(ctx, millgate, "mira", "n") },
		func() error { return s.RemoveDrill(ctx, millgate, "frog") },
		func() error { return s.RemoveCover(ctx, millgate, "c") },
		func() error { return s.RemoveGuardian(ctx, millgate, "g") },
	} {
		ok(t, remove())
		refused(t, remove(), practice.NotFound)
	}
	e := got[Everything](t)(ReadAll(s, millgate))
	same(t, "what is left", [][]int{{len(e.Wishes), len(e.Drills), len(e.Covers), len(e.Guardians)}}, [][]int{{0, 0, 0, 0}})
	same(t, "what is left of the record", e.Records[0], Rest{})
}

func persons(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	ines := practice.Person{ID: "ines", Name: "Ines Marlow", Email: "Ines@Millgate.example", Role: practice.Owner, Since: 20000}
	must(t)(s.PutPerson(ctx, millgate, ines, 0))
	must(t)(s.PutPerson(ctx, millgate, practice.Person{ID: "tom", Name: "Tom", Role: practice.Assistant}, 0))
	must(t)(s.PutPerson(ctx, millgate, practice.Person{ID: "una", Name: "Una", Role: practice.Assistant}, 0))
	found := got[practice.Kept[practice.Person]](t)(s.PersonByEmail(ctx, millgate, "ines@millgate.EXAMPLE"))
	same(t, "by address", found.Value, ines)
	_, err := s.PersonByEmail(ctx, millgate, "")
	refused(t, err, practice.NotFound)
	_, err = s.PutPerson(ctx, millgate, practice.Person{ID: "tom", Name: "Tom", Email: "ines@millgate.example"}, 1)
	refused(t, err, practice.ExistsAlready)
	same(t, "by id", got[practice.Kept[practice.Person]](t)(s.Person(ctx, millgate, "tom")).Value.Email, "")
	if n := len(got[[]practice.Kept[practice.Person]](t)(s.People(ctx, millgate))); n != 3 {
		t.Errorf("%d people, want 3", n)
	}
}

// Two studios of one database may use the same ids and see nothing of each
// other.
func apart(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	other := practice.Who{Studio: "lockside", ID: "ines", Role: practice.Owner}
	must(t)(s.PutStudio(ctx, other, practice.Studio{ID: "lockside", Name: "Lockside"}, 0))
	must(t)(s.PutStudent(ctx, other, practice.Student{ID: "mira", Name: "Another"}, 0))
	try := practice.Attempt{ID: "a", Student: "mira", Drill: practice.OpenTry}
	ok(t, s.AddLog(ctx, other, "mira", practice.Log{Attempts: []practice.Attempt{try}}))
	ok(t, s.AddLog(ctx, millgate, "mira", practice.Log{Attempts: []practice.Attempt{try, {ID: "b", Student: "mira"}}}))
	if n := len(got[practice.Log](t)(s.Log(ctx, other, "mira")).Attempts); n != 1 {
		t.Errorf("%d attempts in the other studio, want 1", n)
	}
	if n := len(got[[]practice.Kept[practice.Student]](t)(s.Students(ctx, other))); n != 1 {
		t.Errorf("%d students in the other studio, want 1", n)
	}
	if n := len(got[[]practice.Studio](t)(s.Studios(ctx))); n != 2 {
		t.Errorf("%d studios, want 2", n)
	}
	_, err := s.PutStudent(ctx, practice.Who{Studio: "none"}, practice.Student{ID: "x"}, 0)
	refused(t, err, practice.UnknownID)
}
