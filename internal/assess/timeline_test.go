package assess

import (
	"testing"

	"aplomb/internal/practice"
)

func coldOf(items []item) (out []bool) {
	for _, it := range items {
		out = append(out, it.cold)
	}
	return out
}

func TestColdIsTheFirstTwoFreeTriesOfTheDay(t *testing.T) {
	no := func(a *practice.Attempt) { a.Cold = practice.Known(false) }
	yes := func(a *practice.Attempt) { a.Cold = practice.Known(true) }
	for _, c := range []struct {
		name string
		log  practice.Log
		want []bool
	}{
		{"the first two and no more", practice.Log{Attempts: []practice.Attempt{
			row(0, 0, "open-try"), row(0, 1, "cold-try"), row(0, 2, "open-try")}}, []bool{true, true, false}},
		{"every day anew", practice.Log{Attempts: []practice.Attempt{
			row(0, 0, "open-try"), row(1, 0, "open-try")}}, []bool{true, true}},
		{"not after inverted work", practice.Log{Attempts: []practice.Attempt{
			row(0, 0, "kick-wall"), row(0, 1, "cold-try")}}, []bool{false, false}},
		{"not after an inverted tally", practice.Log{
			Tallies:  []practice.Tally{{ID: "t", Student: "orla", At: at(0, 0), Drill: "kick-wall", Tries: 5}},
			Attempts: []practice.Attempt{row(0, 1, "cold-try")}}, []bool{false, false}},
		{"floor work before does not matter", practice.Log{Attempts: []practice.Attempt{
			row(0, 0, "hollow-tuck"), row(0, 1, "cold-try")}}, []bool{false, true}},
		{"a tally of three free tries uses both up", practice.Log{
			Tallies:  []practice.Tally{{ID: "t", Student: "orla", At: at(0, 0), Drill: "open-try", Tries: 3}},
			Attempts: []practice.Attempt{row(0, 1, "open-try")}}, []bool{false, false}},
		{"marked warm is warm", practice.Log{Attempts: []practice.Attempt{
			row(0, 0, "open-try", no), row(0, 1, "open-try")}}, []bool{false, true}},
		{"marked cold is not enough", practice.Log{Attempts: []practice.Attempt{
			row(0, 0, "kick-wall"), row(0, 1, "open-try", yes)}}, []bool{false, false}},
	} {
		got := coldOf(timelineOf(t, &c.log))
		if len(got) != len(c.want) {
			t.Fatalf("%s: %v", c.name, got)
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: cold is %v, want %v", c.name, got, c.want)
				break
			}
		}
	}
}

// TestDaysAreTheStudents: Monday 18:30 and Tuesday 09:00 UTC are both Tuesday
// in Auckland (UTC+13 in March), half past seven in the morning and ten at night.
func TestDaysAreTheStudents(t *testing.T) {
	auckland, err := practice.ParseZone("Pacific/Auckland")
	if err != nil {
		t.Fatal(err)
	}
	log := practice.Log{Attempts: []practice.Attempt{row(0, 30, "open-try"), row(0, 15*60, "open-try")}}
	s := subject(&log, monday+10)
	if got := Stand(s); len(got.Days) != 2 {
		t.Errorf("UTC: days %v, want two", got.Days)
	}
	s.Student.Zone = auckland
	if got := Stand(s); len(got.Days) != 1 || got.Days[0] != monday+1 {
		t.Errorf("Auckland: days %v, want Tuesday alone", got.Days)
	}
}

func TestTriesBeforeCountTallies(t *testing.T) {
	items := timelineOf(t, &practice.Log{
		Tallies:  []practice.Tally{{ID: "t", Student: "orla", At: at(0, 3), Drill: "kick-wall", Tries: 6}},
		Attempts: []practice.Attempt{row(0, 0, "open-try"), row(0, 1, "hollow-tuck"), row(0, 9, "open-try")}})
	if got := items[len(items)-1].before; got != 7 {
		t.Errorf("7 tries upside down came before, got %d", got)
	}
}
