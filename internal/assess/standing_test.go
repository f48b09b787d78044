package assess

import (
	"encoding/json"
	"testing"

	"aplomb/internal/load"
	"aplomb/internal/numtest"
	"aplomb/internal/practice"
)

func TestWithoutTriesNothingIsClaimed(t *testing.T) {
	for _, c := range []struct {
		name string
		log  practice.Log
	}{
		{"no rows", practice.Log{}},
		{"two tries", practice.Log{Attempts: []practice.Attempt{
			row(0, 0, "open-try", held(3, practice.Over)), row(0, 1, "open-try", held(0.5, practice.Under))}}},
		{"only floor tests", practice.Log{Probes: []practice.ProbeResult{
			{ID: "p", Student: "orla", At: at(0, 0), Component: "shoulders", Test: "shoulder-overhead", Value: 160, Unit: "degrees"}}}},
	} {
		st := Stand(subject(&c.log, monday+6))
		if len(st.Now) != 0 || len(st.NowCold) != 0 || st.Milestone.Forecast != nil {
			t.Errorf("%s: a chance or forecast is claimed: %+v", c.name, st)
		}
		if st.Milestone.ReachedSeconds != 0 || st.Milestone.NextSeconds != 1 {
			t.Errorf("%s: milestone %+v", c.name, st.Milestone)
		}
		if c.name != "only floor tests" && st.LimiterKnown {
			t.Errorf("%s: the limiter is claimed to be known", c.name)
		}
		if len(st.Components) == 0 || len(st.Drills) == 0 {
			t.Errorf("%s: no ground for a first week", c.name)
		}
	}
}

func TestRowsAfterTheDayAreNotSeen(t *testing.T) {
	log := practice.Log{}
	for day := range 20 {
		log.Attempts = append(log.Attempts, row(day, 0, "cold-try", held(4, practice.Over)), row(day, 9, "open-try", held(6, practice.Over)))
	}
	early := log
	early.Attempts = log.Attempts[:22] // days 0 to 10
	a, b := Stand(subject(&log, monday+10)), Stand(subject(&early, monday+10))
	if a.Now[2] != b.Now[2] || a.Holds.Attempts != b.Holds.Attempts || a.Milestone.Proven != b.Milestone.Proven {
		t.Errorf("rows of later days changed the standing:\n%+v\n%+v", a, b)
	}
	if a.Holds.Attempts != 22 || a.Holds.Caught != 22 || a.Holds.Falls != 22 {
		t.Errorf("counts %+v", a.Holds)
	}
}

// TestProvenMilestone: ten passes of ten on five days prove (R: qbeta(.025, 11,
// 1) = 0.715), nine of nine do not (0.692).
func TestProvenMilestone(t *testing.T) {
	log := practice.Log{}
	for day := range 5 {
		log.Attempts = append(log.Attempts, row(day, 0, "cold-try", held(4, practice.Over)), row(day, 2, "cold-try", held(3.5, practice.Lowered)))
	}
	st := Stand(subject(&log, monday+4))
	if st.Milestone.ReachedSeconds != 3 || st.Milestone.NextSeconds != 5 {
		t.Errorf("ten of ten at 3 s on five days: %+v", st.Milestone)
	}
	if on := st.Milestone.ReachedOn; on == nil || *on != monday+4 {
		t.Errorf("proven on %v, want the fifth day", on)
	}
	log.Attempts = log.Attempts[:9]
	st = Stand(subject(&log, monday+4))
	if st.Milestone.ReachedSeconds != 0 || st.Milestone.NextSeconds != 1 {
		t.Errorf("nine of nine: %+v", st.Milestone)
	}
	numtest.Close(t, "lower bound of 9 of 9, R qbeta(.025, 10, 1)", st.Milestone.Proven.LowerBound, 0.6915028921812, 1e-9)
}

func TestMoreTriesAreSurer(t *testing.T) {
	width := func(days int) float64 {
		log := practice.Log{}
		for day := range days {
			for k := range 6 {
				end := held(0.5, practice.Under)
				if (day+k)%2 == 0 {
					end = held(3, practice.Over)
				}
				log.Attempts = append(log.Attempts, row(day, k, "open-try", end))
			}
		}
		st := Stand(subject(&log, monday+practice.Date(days)))
		return st.Now[0].Hi - st.Now[0].Lo
	}
	if few, many := width(2), width(60); many > 0.8*few {
		t.Errorf("interval of the catch: %.3f wide after 12 tries, %.3f after 360", few, many)
	}
}

func TestLimiterFollowsTheTests(t *testing.T) {
	probe := func(id, component, test string, value float64) practice.ProbeResult {
		return practice.ProbeResult{ID: id, Student: "orla", At: at(0, 0), Component: practice.Component(component), Test: test, Value: value}
	}
	log := practice.Log{Probes: []practice.ProbeResult{
		probe("1", "entry", "entry-kicks", 9), probe("2", "exit", "exit-both-sides", 10), probe("3", "confidence", "confidence-fear", 1),
		probe("4", "line", "line-wall", 10), probe("5", "tension", "tension-hollow", 60), probe("6", "balance", "balance-floats", 8),
		probe("7", "shoulders", "shoulder-overhead", 125), probe("8", "wrists", "wrist-bend", 95), probe("9", "endurance", "endurance-wall", 80)}}
	st := Stand(subject(&log, monday))
	if st.Limiter != "shoulders" || !st.LimiterKnown {
		t.Errorf("everything is fine but shoulders at 125 degrees, yet %s limits (known %t)", st.Limiter, st.LimiterKnown)
	}
	sum := 0.0
	for _, c := range st.Components {
		sum += c.PLimits
	}
	numtest.Close(t, "the chances to limit add up", sum, 1, 1e-9)
}

func TestPainStopsHandLoad(t *testing.T) {
	session := func(day int, pain, morning float64) practice.Session {
		return practice.Session{ID: "s", Student: "orla", At: at(day, 60), PainSite: "wrist", Pain: practice.Known(pain), PainMorning: practice.Known(morning)}
	}
	log := practice.Log{Sessions: []practice.Session{session(0, 0, 0), session(2, 7, 0)}}
	s := subject(&log, monday+3)
	if st := Stand(s); !st.Barred(practice.HandLoad) || st.Load.Ceiling != 0 || st.Load.Pain != load.StopHandLoad {
		t.Errorf("pain of 7: %+v, stops %+v", st.Load, st.Stops)
	}
	cleared := monday + 3
	s.Student.Stops = []practice.Stop{{No: []practice.Strain{practice.HandLoad}, Since: monday + 2, ClearedOn: &cleared, ClearedBy: "Ines Marlow"}}
	if st := Stand(s); st.Barred(practice.HandLoad) {
		t.Errorf("cleared on the day after, yet stopped: %+v", st.Stops)
	}
	born := practice.DateOf(2011, 5, 1)
	log.Sessions = []practice.Session{session(0, 0, 0), session(2, 1, 1)}
	s.Student = practice.Student{ID: "orla", Born: &born}
	if st := Stand(s); !st.Barred(practice.HandLoad) || !st.Load.Refer {
		t.Errorf("a minor's wrist hurt next morning: %+v", st.Load)
	}
}

// Numbness and swelling stop without any pain, and the standing can be written
// down.
func TestSignsStopHandLoad(t *testing.T) {
	for _, signs := range []practice.Session{{Numb: practice.Known(true)}, {Swollen: practice.Known(true), PainSite: "wrist"}} {
		signs.ID, signs.Student, signs.At = "s", "orla", at(2, 60)
		st := Stand(subject(&practice.Log{Sessions: []practice.Session{signs}}, monday+3))
		if !st.Barred(practice.HandLoad) || !st.Load.Refer || len(st.Load.PainWhy) != 1 || st.Load.PainWhy[0].Level != nil {
			t.Errorf("%+v: %+v", signs, st.Load)
		}
		if _, err := json.Marshal(st.Load); err != nil {
			t.Error(err)
		}
	}
	none := practice.Session{ID: "s", Student: "orla", At: at(2, 60), Numb: practice.Known(false), Swollen: practice.Known(false)}
	if st := Stand(subject(&practice.Log{Sessions: []practice.Session{none}}, monday+3)); st.Barred(practice.HandLoad) || st.Load.Pain != load.Go {
		t.Errorf("no sign: %+v", st.Load)
	}
}

func TestHandMinutes(t *testing.T) {
	lib := subject(&practice.Log{}, monday).Library
	i := indexDrills(lib)
	support, ok := lib.Drill("support-hold") // one hold a set, on the hands
	if !ok || support.Measure != practice.HoldFor {
		t.Fatal("the library has no support-hold measured by its hold")
	}
	a := row(0, 0, "support-hold", held(45, practice.Lowered))
	numtest.Close(t, "45 s of support", rowHandMinutes(lib, &item{attempt: &a, drill: i["support-hold"]}), 0.75, 1e-12)
	kick, _ := lib.Drill("kick-wall")
	tally := practice.Tally{Drill: "kick-wall", Tries: 2 * kick.Reps}
	numtest.Close(t, "two sets of kicks", rowHandMinutes(lib, &item{tally: &tally, drill: i["kick-wall"]}), 2*kick.HandMinutes, 1e-12)
}

func TestWholeWeeks(t *testing.T) {
	d := daily{monday: 5, monday + 3: 2, monday + 7: 4, monday + 14: 9}
	numtest.CloseAll(t, "Sunday closes the week", wholeWeeks(d, monday+13), []float64{7, 4}, 0)
	numtest.CloseAll(t, "Saturday does not", wholeWeeks(daily{monday: 5, monday + 7: 4}, monday+12), []float64{5}, 0)
	if got := wholeWeeks(nil, monday); got != nil {
		t.Errorf("no days: %v", got)
	}
}

func TestPlannedMinutesCountWhereFewerRowsWereLogged(t *testing.T) {
	week := practice.Week{Student: "orla", ISOWeek: monday.Week(), Version: 1, Sessions: []practice.PlannedSession{
		{Day: 0, Minutes: 40, Blocks: []practice.Block{{Items: []practice.Item{{Drill: "kick-wall", HandMinutes: 6}}}}}}}
	log := practice.Log{Weeks: []practice.Week{week}, Sessions: []practice.Session{
		{ID: "s", Student: "orla", At: at(0, 60), Week: monday.Week().String(), Minutes: practice.Known(20.0)}}}
	s := subject(&log, monday+6)
	got := handMinutes(&s, indexDrills(s.Library), nil, s.clock())
	numtest.Close(t, "half the minutes, half the load", got[monday], 3, 1e-12)
}
