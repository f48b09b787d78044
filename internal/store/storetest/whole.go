package storetest

import (
	"strings"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// Every list has what was put, and a sound database with the right key is found
// sound.
func lists(t *testing.T, fresh Fresh) {
	s := furnished(t, fresh)
	for noun, n := range map[practice.Noun]int{
		practice.CoverNoun:    len(got[[]practice.Kept[practice.Cover]](t)(s.Covers(ctx, millgate))),
		practice.DrillNoun:    len(got[[]practice.Kept[practice.Drill]](t)(s.Drills(ctx, millgate))),
		practice.GuardianNoun: len(got[[]practice.Kept[practice.Guardian]](t)(s.Guardians(ctx, millgate))),
		practice.WishNoun:     len(got[[]practice.Kept[practice.Wish]](t)(s.Wishes(ctx, millgate))),
		practice.WeekNoun:     len(got[[]practice.Kept[practice.Week]](t)(s.Weeks(ctx, millgate, "mira"))),
		practice.ConsentNoun:  len(got[[]practice.Kept[practice.Consent]](t)(s.Consents(ctx, millgate, "mira"))),
		practice.DecisionNoun: len(got[[]practice.Kept[practice.Decision]](t)(s.Decisions(ctx, millgate))),
	} {
		if n != 1 {
			t.Errorf("%d of %s, want 1", n, noun)
		}
	}
	same(t, "studio", got[practice.Kept[practice.Studio]](t)(s.Studio(ctx, millgate)).Value.Name, "Millgate Hall")
	ok(t, s.RemoveDecision(ctx, millgate, "mira", "quiet"))
	refused(t, s.RemoveDecision(ctx, millgate, "mira", "quiet"), practice.NotFound)
}

func verify(t *testing.T, fresh Fresh) {
	s, open := hall(t, fresh)
	ok(t, s.AddLog(ctx, millgate, "mira", day("mira")))
	ok(t, s.Verify(ctx))
	ok(t, open(nil).Verify(ctx))
	refused(t, open(Key("another")).Verify(ctx), practice.WrongKey)
	key := got[string](t)(s.Erase(ctx, millgate, "mira"))
	if lines := got[[]practice.Change](t)(s.Erased(ctx, "millgate")); len(lines) != 1 || lines[0].Key != key || lines[0].At.UnixNano != Now().UnixNano() {
		t.Errorf("who was erased: %+v", lines)
	}
	same(t, "of another studio", len(got[[]practice.Change](t)(s.Erased(ctx, "elsewhere"))), 0)
	same(t, "of every studio", len(got[[]practice.Change](t)(s.Erased(ctx, ""))), 1)
}

// What is private of a line of the trail that comes from outside is sealed, and
// comes back to the letter.
func foreignTrail(t *testing.T, fresh Fresh) {
	open := fresh(t)
	s := open(TheKey)
	docs := []struct {
		noun practice.Noun
		doc  string
		hide string // nothing of it may be read without the key
	}{
		{practice.StudentNoun, `{"id":"mira","name":"Mira", "restrictions":[{"site":"neck","no":["inverted"],"since":"2026-01-01"}]}`, "neck"},
		{practice.NoteNoun, `{"id":"n","kind":"stop","text":"the story"}`, "story"},
		{practice.SessionNoun, `{"id":"s","pain_site":"neck","pain":2}`, "neck"},
		{practice.StudentNoun, `["a student told otherwise: neck"]`, "neck"},
		{practice.SessionNoun, `"neck"`, "neck"},
		{practice.StudentNoun, `{"id":"oda","name":"Oda"}`, ""},
		{practice.SessionNoun, `{"id":"s","pain":2}`, ""},
		{practice.DrillNoun, `{"id":"neck"}`, ""},
	}
	ok(t, s.Load(ctx, millgate, func(l *store.Loader) error {
		err := l.Studio(practice.Studio{ID: "millgate"})
		for _, d := range docs {
			err = each(err, []practice.Change{{ID: NewID(), Noun: d.noun, Student: "mira", After: []byte(d.doc)}}, l.Change)
		}
		return err
	}))
	lines := got[[]practice.Change](t)(s.Changes(ctx, millgate, "mira"))
	shut := got[[]practice.Change](t)(open(nil).Changes(ctx, millgate, "mira"))
	for i, d := range docs {
		same(t, "with the key", compact(string(lines[i].After)), compact(d.doc))
		told := string(shut[i].After)
		if d.hide == "" && told != d.doc {
			t.Errorf("without the key: %s, want all of %s", told, d.doc)
		}
		if d.hide != "" && (strings.Contains(told, d.hide) || !strings.Contains(told, `"sealed":true`)) {
			t.Errorf("without the key: %s", told)
		}
	}
	refused(t, open(nil).Load(ctx, practice.Who{}, func(l *store.Loader) error {
		l.Studio(practice.Studio{ID: "two"})
		return l.Change(practice.Change{ID: "x", Noun: practice.NoteNoun, Before: []byte(docs[1].doc)})
	}), practice.NoKey)
}

// compact is a document without the spaces JSON does not need.
func compact(doc string) string { return strings.ReplaceAll(doc, `, "`, `,"`) }
