package storetest

import (
	"slices"
	"strings"
	"testing"

	"aplomb/internal/practice"
)

// Every change is one line: who, when, before and after; what is private of it
// only with the key.
func trail(t *testing.T, fresh Fresh) {
	s, open := hall(t, fresh)
	changed := mira()
	changed.Restrictions[0].Site = "right elbow"
	must(t)(s.PutStudent(ctx, practice.Who{Studio: "millgate", ID: "tom", Role: practice.Coach}, changed, 1))
	must(t)(s.PutNote(ctx, millgate, practice.Note{ID: "n", Student: "mira", Kind: practice.StopNote, Text: "the story"}, 0))
	ok(t, s.RemoveNote(ctx, millgate, "mira", "n"))

	lines := got[[]practice.Change](t)(s.Changes(ctx, millgate, "mira"))
	newest := slices.Clone(lines)
	slices.Reverse(newest)
	same(t, "the newest first", got[[]practice.Change](t)(s.Latest(ctx, millgate, "mira", "", 100, true)), newest)
	same(t, "a page of it", got[[]practice.Change](t)(s.Latest(ctx, millgate, "mira", newest[0].ID, 1, true)), newest[1:2])
	if all := got[[]practice.Change](t)(s.Latest(ctx, millgate, "", "", 100, true)); len(all) <= len(lines) {
		t.Errorf("of the whole studio %d lines, of a student %d", len(all), len(lines))
	}
	if len(lines) != 4 {
		t.Fatalf("%d lines, want 4", len(lines))
	}
	second := lines[1]
	if second.Act != practice.Changed || second.By != "tom" || second.Role != practice.Coach || second.Noun != practice.StudentNoun || second.Key != "mira" {
		t.Errorf("line %+v", second)
	}
	same(t, "when", second.At, practice.Instant{UnixNano: Now().UnixNano(), Offset: 60})
	for i, c := range []struct{ doc, want string }{{string(second.Before), "left wrist"}, {string(second.After), "right elbow"},
		{string(lines[2].After), "the story"}, {string(lines[3].Before), "the story"}} {
		if !strings.Contains(c.doc, c.want) || strings.Contains(c.doc, "sealed") {
			t.Errorf("%d: %s lacks %q", i, c.doc, c.want)
		}
	}
	shut := open(nil)
	without := got[[]practice.Change](t)(shut.Changes(ctx, millgate, "mira"))
	slices.Reverse(without)
	same(t, "for whom it is not private", got[[]practice.Change](t)(s.Latest(ctx, millgate, "mira", "", 100, false)), without)
	for i, c := range got[[]practice.Change](t)(shut.Changes(ctx, millgate, "mira")) {
		docs := string(c.Before) + string(c.After)
		for _, private := range []string{"left wrist", "right elbow", "the story"} {
			if strings.Contains(docs, private) {
				t.Errorf("%d: without the key: %s", i, docs)
			}
		}
		if !strings.Contains(docs, `"sealed":true`) || !strings.Contains(docs, `"id":`) {
			t.Errorf("%d: %s does not say that something was left out, or of what", i, docs)
		}
	}
	all := 0
	ok(t, s.Trail(ctx, millgate, func(practice.Change) error { all++; return nil }))
	if all != 6 { // the studio and oda as well
		t.Errorf("%d lines of the studio, want 6", all)
	}
}
