package assess

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// drawDay adds a day of practice: drills, free tries, a set counted, floor tests.
func drawDay(t *rapid.T, log *practice.Log, day int) {
	minute := rapid.IntRange(0, 3).Draw(t, "minute")
	for range rapid.IntRange(0, 5).Draw(t, "tries") {
		minute++
		drill := rapid.SampledFrom([]string{practice.ColdTry, practice.OpenTry}).Draw(t, "try")
		log.Attempts = append(log.Attempts, row(day, minute, drill, held(float64(rapid.IntRange(0, 200).Draw(t, "seconds"))/10, practice.Over)))
	}
	for range rapid.IntRange(0, 2).Draw(t, "sets") {
		minute++
		drill := rapid.SampledFrom(library.Builtin().Drills).Draw(t, "drill").ID
		log.Tallies = append(log.Tallies, practice.Tally{Student: "orla", At: at(day, minute), Drill: drill, Tries: 6,
			Caught: practice.Known(rapid.IntRange(0, 6).Draw(t, "caught"))})
	}
	for range rapid.IntRange(0, 2).Draw(t, "tests") {
		minute++
		p := rapid.SampledFrom(library.Builtin().Probes).Draw(t, "test")
		log.Probes = append(log.Probes, practice.ProbeResult{Student: "orla", At: at(day, minute), Component: p.Component, Test: p.ID,
			Value: (p.Min + p.Max) / 2, Unit: p.Unit})
	}
}

// Standing again and again gives what standing once from the start gives, to the
// last bit, whatever was added, where, and however the days asked for lie.
func TestFollowingIsStanding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		log, day, f := &practice.Log{}, 0, Following{}
		var feared *float64
		for range rapid.IntRange(1, 6).Draw(t, "looks") {
			day += rapid.IntRange(0, 9).Draw(t, "later")
			for range rapid.IntRange(0, 2).Draw(t, "days") {
				back := rapid.SampledFrom([]int{0, 0, 0, 1, 5}).Draw(t, "back")
				drawDay(t, log, max(0, day-back))
			}
			if rapid.IntRange(0, 9).Draw(t, "told") == 0 {
				v := float64(rapid.IntRange(0, 10).Draw(t, "fear"))
				feared = &v
			}
			s := subject(log, monday+practice.Date(day-rapid.SampledFrom([]int{0, 0, 0, 3}).Draw(t, "earlier")))
			s.Student.Fear, s.Brief = feared, rapid.Bool().Draw(t, "brief")
			if got, want := f.Stand(s), Stand(s); !reflect.DeepEqual(got, want) {
				t.Fatalf("on day %d\n%+v\nwant\n%+v", day, got, want)
			}
		}
	})
}

// What was folded in is not folded in again.
func TestFollowingGoesOn(t *testing.T) {
	log, f := &practice.Log{}, Following{}
	for day := range 10 {
		log.Attempts = append(log.Attempts, row(day, 0, practice.ColdTry, held(3, practice.Over)), row(day, 1, practice.ColdTry, held(2, practice.Over)))
		f.Stand(subject(log, monday+practice.Date(day)))
	}
	at := f.at
	if at.rows != 18 {
		t.Errorf("%d rows kept of the nine days before, want 18", at.rows)
	}
	if f.Stand(subject(log, monday+20)); f.at != at || at.rows != 20 {
		t.Errorf("it began anew, or has %d rows and not 20", f.at.rows)
	}
	f.at.rows = 19
	if f.Stand(subject(log, monday+20)); f.at == at || f.at.rows != 20 {
		t.Error("a row of the past was taken out unseen")
	}
}
