package web

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"aplomb/internal/practice"
)

// The form loses nothing: a student sent back as the form has it is the same.
func TestTheFormLosesNothing(t *testing.T) {
	s := example(t)
	all, err := s.Roster.Students(t.Context(), ines)
	if err != nil || len(all) != 6 {
		t.Fatal(len(all), err)
	}
	zone, err := practice.ParseZone("America/Halifax")
	if err != nil {
		t.Fatal(err)
	}
	for i, k := range all {
		was := k.Value
		if i%2 == 0 { // what the example has too little of
			day := eve - 20
			was.Zone, was.ArchivedOn, was.Guardian = zone, &day, "Maren Carrow"
		}
		v, _ := s.as(t, ines, was.ID, formOf(was))
		if err := v.form(); err != nil {
			t.Fatal(err)
		}
		is, faults := v.intakeOf(practice.Student{ID: was.ID, Stops: was.Stops, Restrictions: was.Restrictions, MinutesOff: was.MinutesOff, ArchivedOn: was.ArchivedOn})
		if err := v.given(&is, faults); err != nil || len(faults) > 0 {
			t.Errorf("%s: %v %v", was.ID, faults, err)
		}
		if diff := cmp.Diff(was, is, cmp.Comparer(func(a, b practice.Zone) bool { return a.String() == b.String() }), cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s: %s", was.ID, diff)
		}
	}
}

// A fault of the form stands beside its field, with what was typed, and nothing
// is kept.
func TestFaultsStandBesideTheirFields(t *testing.T) {
	s := example(t)
	for _, c := range []struct{ field, value, at string }{
		{"name", "", ""}, {"born", "soon", ""}, {"born", "2031-01-01", ""}, {"height_m", "171", ""}, {"height_m", "0", ""}, {"mass_kg", "much", ""},
		{"time_zone", "Ellery", ""}, {"group", "on tuesdays", ""}, {"goal_on", "2026-02-30", ""}, {"lead_leg", "both", ""}, {"tips_over_fear", "11", ""},
		{"coach", "nobody", ""}, {"minutes_sun", "1", ""}, {"minutes_tue", "an hour", ""}, {"start_tue", "25:00", ""}, {"rides_mon", "a walk", "minutes_mon"},
	} {
		form := formOf(s.student(t, "bram").Value)
		form.Set(c.field, c.value)
		if c.at == "" {
			c.at = c.field
		}
		status, page := s.sent(t, changeStudent, "bram", form)
		if status != 422 || !strings.Contains(page, `id="`+c.at+`-fault"`) || strings.Count(page, `class="fault"`) != 1 {
			t.Errorf("%+v: %d, %d faults", c, status, strings.Count(page, `class="fault"`))
		}
		if kept := `value="` + c.value + `"`; c.field != "lead_leg" && c.field != "coach" && !strings.Contains(page, kept) {
			t.Errorf("%+v: what was typed is gone", c)
		}
	}
	if s.student(t, "bram").Rev != 1 {
		t.Error("something was kept")
	}
}

// Of two coaches who change one student the second is told, and keeps what was
// typed.
func TestTheSecondCoachIsTold(t *testing.T) {
	s := example(t)
	if status, page := s.sent(t, changeStudent, "bram", fields("name", "Bram Ostwick", "goal", "Ten seconds")); status != 303 {
		t.Fatal(status, page)
	}
	v, w := s.as(t, ines, "bram", fields("rev", "1", "name", "Bram Ostwick", "goal", "Five seconds"))
	if err := changeStudent(v); err != nil || w.Code != 409 || !strings.Contains(w.Body.String(), `value="Five seconds"`) {
		t.Errorf("%d %v\n%s", w.Code, err, w.Body)
	}
	if goal := s.student(t, "bram").Value.Goal; goal != "Ten seconds" {
		t.Error(goal)
	}
}

// A guardian named at intake can be handed a link: they are on record, once.
func TestAGuardianIsOnRecord(t *testing.T) {
	s := example(t)
	form := answers("Odile Farrant")
	form.Set("born", "2013-05-01")
	form.Set("guardian", "Perrin Farrant")
	if status, page := s.sent(t, takeIn, "", form); status != 303 {
		t.Fatal(status, page)
	}
	o := s.newest(t)
	if status, page := s.sent(t, changeStudent, o.ID, form); status != 303 {
		t.Fatal(status, page)
	}
	there, err := s.Roster.Guardians(t.Context(), ines, o.ID)
	if err != nil || len(there) != 1 || there[0].Name != "Perrin Farrant" {
		t.Errorf("%+v %v", there, err)
	}
}
