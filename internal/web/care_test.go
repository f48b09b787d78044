package web

import (
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"aplomb/internal/load"
	"aplomb/internal/practice"
)

// A stop is cleared by a name and a day that has been, once; it stays on record.
func TestAStopIsClearedByName(t *testing.T) {
	s := example(t)
	for _, c := range []struct {
		on, by string
		want   int
		says   string
	}{
		{"2026-03-29", "", 422, "clear0-by-fault"}, {"2026-03-30", "Dr Lowe", 422, "clear0-on-fault"}, {"2026-03-09", "Dr Lowe", 422, "clear0-on-fault"},
		{"soon", "Dr Lowe", 422, `value="Dr Lowe"`}, {"2026-03-28", "Dr Lowe", 303, ""}, {"2026-03-29", "Dr Other", 400, ""},
	} {
		status, page := s.sent(t, changeCare, "petra", fields("do", "clear", "at", "0", "on", c.on, "by", c.by))
		if status != c.want || !strings.Contains(page, c.says) {
			t.Errorf("%+v: %d\n%s", c, status, page)
		}
	}
	stops := s.student(t, "petra").Value.Stops
	if len(stops) != 1 || stops[0].ClearedBy != "Dr Lowe" || stops[0].ClearedOn.String() != "2026-03-28" {
		t.Errorf("%+v", stops)
	}
}

// Of two stops of one day the one that was meant is cleared.
func TestTheStopThatWasMeant(t *testing.T) {
	s := example(t)
	s.sent(t, changeCare, "orla", fields("do", "stop", "no", "inverted", "since", "2026-03-20"))
	s.sent(t, changeCare, "orla", fields("do", "stop", "no", "overhead", "since", "2026-03-20"))
	if status, page := s.sent(t, changeCare, "orla", fields("do", "clear", "at", "1", "on", "2026-03-29", "by", "Dr Lowe")); status != 303 {
		t.Fatal(status, page)
	}
	if no := s.student(t, "orla").Value.Barred(eve, eve); !slices.Equal(no, []practice.Strain{practice.Inverted}) {
		t.Errorf("still ruled out: %v", no)
	}
}

// What reported pain stops holds until somebody clears it, and then no more.
func TestPainIsCleared(t *testing.T) {
	s := example(t)
	pain := func() load.Verdict {
		look, err := s.Desk.Of(t.Context(), ines, "ilse")
		if err != nil {
			t.Fatal(err)
		}
		return look.Standing.Load.Pain
	}
	v, _ := s.as(t, ines, "ilse", nil)
	p, err := v.carePage("ilse", sent{})
	if err != nil || pain() != load.StopHandLoad || len(p.Stops) != 1 || p.Stops[0].End == nil {
		t.Fatalf("%v %+v %v", pain(), p.Stops, err)
	}
	if status, _ := s.sent(t, changeCare, "ilse", fields("do", "pain", "at", "", "on", "2026-03-29", "by", "")); status != 422 || pain() != load.StopHandLoad {
		t.Errorf("cleared by nobody: %d", status)
	}
	if status, page := s.sent(t, changeCare, "ilse", fields("do", "pain", "at", "", "on", "2026-03-29", "by", "Dr Lowe")); status != 303 || pain() == load.StopHandLoad {
		t.Errorf("%d %v\n%s", status, pain(), page)
	}
	if status, _ := s.sent(t, changeCare, "ilse", fields("do", "pain", "at", "", "on", "2026-03-29", "by", "Dr Lowe")); status != 400 {
		t.Errorf("cleared twice: %d", status)
	}
}

// Restrictions end on a day, a pause ends early, and a form made from an older
// page changes nothing.
func TestRestrictionsAndPauses(t *testing.T) {
	s := example(t)
	for _, form := range []url.Values{
		fields("do", "limit", "site", "wrist", "no", "hand_load", "since", "2026-03-20"), fields("do", "lift", "at", "0", "until", "2026-03-29"),
		fields("do", "away", "from", "2026-03-28", "to", "2026-04-05", "reason", "the sea"), fields("do", "back", "at", "0"),
		fields("do", "away", "from", "2026-03-29", "to", "2026-04-05"), fields("do", "back", "at", "1"), // it had not begun
	} {
		if status, page := s.sent(t, changeCare, "orla", form); status != 303 {
			t.Fatalf("%v: %d\n%s", form, status, page)
		}
	}
	o := s.student(t, "orla").Value
	until := eve
	if diff := cmp.Diff([]practice.Restriction{{Site: "wrist", No: []practice.Strain{practice.HandLoad}, Since: eve - 9, Until: &until}}, o.Restrictions); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]practice.Away{{From: eve - 1, To: eve - 1, Reason: "the sea"}}, o.MinutesOff); diff != "" {
		t.Error(diff)
	}
	for _, form := range []url.Values{
		fields("do", "away", "from", "2026-04-05", "to", "2026-04-01"), fields("do", "limit", "site", "knee", "no", "hand_load", "since", "2026-03-20"),
		fields("do", "limit", "no", "hand_load", "since", "2026-03-20", "until", "2026-03-01"), fields("do", "stop", "since", "2026-03-20"),
	} {
		if status, page := s.sent(t, changeCare, "orla", form); status != 422 || !strings.Contains(page, `class="fault"`) {
			t.Errorf("%v: %d", form, status)
		}
	}
	for _, form := range []url.Values{fields("rev", "1", "do", "stop", "no", "inverted", "since", "2026-03-20"), fields("rev", "1", "do", "lift", "at", "7", "until", "2026-03-29")} {
		v, w := s.as(t, ines, "orla", form)
		if err := changeCare(v); err != nil || w.Code != 409 || len(s.student(t, "orla").Value.Stops) != 0 {
			t.Errorf("%v: %d %v", form, w.Code, err)
		}
	}
}

// answers are those of the health screen: no to all but the ids given.
func answers(name string, yes ...string) url.Values {
	form := fields("name", name)
	for _, q := range screen {
		form.Set("screen_"+q.id, "no")
		if slices.Contains(yes, q.id) {
			form.Set("screen_"+q.id, "yes")
		}
	}
	return form
}

// Every question of the screen stops something by itself, several stop what any
// of them does, and one that was not asked keeps nobody.
func TestTheScreenStops(t *testing.T) {
	s := example(t)
	for _, q := range screen {
		if status, page := s.sent(t, takeIn, "", answers("Odile "+q.id, q.id)); status != 303 {
			t.Fatal(status, page)
		}
		if o := s.newest(t); len(q.no) == 0 || !cmp.Equal(o.Stops, []practice.Stop{{No: q.no, Since: eve}}) || !cmp.Equal(o.Barred(eve, eve), q.no) {
			t.Errorf("%s: %+v", q.id, o)
		}
	}
	if s.sent(t, takeIn, "", answers("Odile Both", "growing", "neck")); len(s.newest(t).Stops) != 1 || !cmp.Equal(s.newest(t).Stops[0].No, practice.Strains) {
		t.Errorf("both: %+v", s.newest(t).Stops)
	}
	if s.sent(t, takeIn, "", answers("Odile Well")); s.newest(t).Name != "Odile Well" || len(s.newest(t).Stops) != 0 {
		t.Errorf("none: %+v", s.newest(t))
	}
	form := answers("Odile Half", "eyes")
	form.Del("screen_symptoms")
	if status, page := s.sent(t, takeIn, "", form); status != 422 || !strings.Contains(page, "screen_symptoms-fault") || s.newest(t).Name != "Odile Well" {
		t.Errorf("%d\n%s", status, page)
	}
}
