package storetest

import (
	"strings"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// Without the key what is private is neither written nor read, nor lost.
func withoutKey(t *testing.T, fresh Fresh) {
	s, open := hall(t, fresh)
	story := practice.Note{ID: "n", Student: "mira", Kind: practice.StopNote, Text: "the story"}
	must(t)(s.PutNote(ctx, millgate, story, 0))
	ok(t, s.AddLog(ctx, millgate, "mira", day("mira")))

	shut := open(nil)
	r := got[store.Record](t)(shut.Record(ctx, millgate, "mira"))
	if r.Sealed != 3 || r.Notes[0].Text != "" || r.Log.Sessions[0].PainSite != "" || r.Student.Value.Restrictions[0].Site != "" {
		t.Errorf("without the key: %+v", r)
	}
	if r.Log.Sessions[0].Pain.Value != 2 || r.Student.Value.Restrictions[0].No[0] != practice.HandLoad {
		t.Error("what the rules need is not readable without the key")
	}
	ok(t, shut.Snapshot(ctx, millgate, func(v *store.Snapshot) error {
		if n := got[int](t)(v.Sealed()); n != 5 { // and two lines of the trail
			t.Errorf("%d sealed values, want 5", n)
		}
		return nil
	}))

	stopped := r.Student.Value
	stopped.Stops = []practice.Stop{{No: []practice.Strain{practice.Inverted}, Since: 20001}}
	must(t)(shut.PutStudent(ctx, millgate, stopped, 1))
	want := mira()
	want.Stops = stopped.Stops
	same(t, "a stop without the key", got[practice.Kept[practice.Student]](t)(open(TheKey).Student(ctx, millgate, "mira")).Value, want)

	fewer := stopped
	fewer.Restrictions = nil
	_, err := shut.PutStudent(ctx, millgate, fewer, 2)
	refused(t, err, practice.NoKey)
	_, err = shut.PutStudent(ctx, millgate, mira(), 2)
	refused(t, err, practice.NoKey)
	_, err = shut.PutNote(ctx, millgate, practice.Note{ID: "m", Student: "mira", Kind: practice.PainNote, Text: "x"}, 0)
	refused(t, err, practice.NoKey)
	refused(t, shut.AddLog(ctx, millgate, "oda", practice.Log{Sessions: []practice.Session{{ID: "o", Student: "oda", PainSite: "neck"}}}), practice.NoKey)
	refused(t, shut.AddLog(ctx, millgate, "mira", day("mira")), practice.NoKey) // the site may or may not be the same
	without := day("mira")
	without.Sessions[0].PainSite, without.Sessions[0].Pain = "", practice.Known(4.0)
	ok(t, shut.AddLog(ctx, millgate, "mira", practice.Log{Sessions: without.Sessions}))
	if now := got[[]practice.Session](t)(open(TheKey).Sessions(ctx, millgate, "mira"))[0]; now.PainSite != "left wrist" || now.Pain.Value != 4 {
		t.Errorf("a session changed without the key: %+v", now)
	}
	ok(t, shut.RemoveNote(ctx, millgate, "mira", "n"))

	_, err = open(Key("another")).Student(ctx, millgate, "mira")
	refused(t, err, practice.WrongKey)
}

// A consent withdrawn takes the notes, the sites and their trail, with or
// without the key; stops, restrictions and numbers stay.
func withdraw(t *testing.T, fresh Fresh) {
	s, open := hall(t, fresh)
	must(t)(s.PutConsent(ctx, millgate, practice.Consent{ID: "c", Student: "mira", For: practice.ForHealth, At: at(0), By: "mira", Role: practice.AsStudent}, 0))
	must(t)(s.PutNote(ctx, millgate, practice.Note{ID: "n", Student: "mira", Kind: practice.StopNote, Text: "the story"}, 0))
	must(t)(s.PutNote(ctx, millgate, practice.Note{ID: "p", Student: "mira", Kind: practice.PlainNote, Text: "calm"}, 0))
	must(t)(s.PutNote(ctx, millgate, practice.Note{ID: "o", Student: "oda", Kind: practice.StopNote, Text: "another story"}, 0))
	ok(t, s.AddLog(ctx, millgate, "mira", day("mira")))
	later := day("mira")
	later.Sessions[0].PainSite = "neck"
	ok(t, s.AddLog(ctx, millgate, "mira", later))

	ok(t, open(nil).Withdraw(ctx, millgate, "mira", practice.ForHealth, at(60), true))
	r := got[store.Record](t)(s.Record(ctx, millgate, "mira"))
	if len(r.Notes) != 1 || r.Notes[0].ID != "p" || r.Log.Sessions[0].PainSite != "" || r.Log.Sessions[0].Pain.Value != 2 {
		t.Errorf("after: %+v", r)
	}
	same(t, "student", r.Student.Value, mira())
	if r.Consents[0].Holds() || r.Consents[0].Withdrawn.UnixNano != at(60).UnixNano {
		t.Errorf("consent %+v", r.Consents[0])
	}
	for _, c := range got[[]practice.Change](t)(s.Changes(ctx, millgate, "mira")) {
		if docs := string(c.Before) + string(c.After); strings.Contains(docs, "story") || strings.Contains(docs, "neck") {
			t.Errorf("the trail still says %s", docs)
		}
	}
	if n := len(got[[]practice.Kept[practice.Note]](t)(s.Notes(ctx, millgate, "oda"))); n != 1 {
		t.Error("another's note went too")
	}
}

// Every sealed value goes through once and opens with the new key.
func reseal(t *testing.T, fresh Fresh) {
	open := fresh(t)
	s := open(TheKey)
	var e Everything
	e.Studio = practice.Studio{ID: "millgate", Name: "Millgate Hall"}
	e.Students = []practice.Student{mira()}
	e.Records = []Rest{{Log: day("mira")}}
	for range 450 {
		e.Records[0].Notes = append(e.Records[0].Notes, practice.Note{ID: NewID(), Student: "mira", Kind: practice.PainNote, Text: "sore"})
	}
	ok(t, s.Load(ctx, millgate, e.Into))
	before := got[Everything](t)(ReadAll(s, millgate))
	seen := map[string]int{}
	ok(t, s.Reseal(ctx, func(of, sealed string) (string, error) {
		seen[of]++
		plain, err := TheKey.Open(of, sealed)
		if err != nil {
			return "", err
		}
		return Key("new").Seal(of, plain)
	}))
	if len(seen) != 452 {
		t.Errorf("%d values, want 452", len(seen))
	}
	for of, n := range seen {
		if n != 1 {
			t.Errorf("%s came %d times", of, n)
		}
	}
	same(t, "with the new key", got[Everything](t)(ReadAll(open(Key("new")), millgate)), before)
	_, err := s.Student(ctx, millgate, "mira")
	refused(t, err, practice.WrongKey)
}
