package desk

import (
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"aplomb/internal/assess"
	"aplomb/internal/library"
	"aplomb/internal/load"
	"aplomb/internal/practice"
)

var today = practice.DateOf(2026, 6, 7)

// noon is noon UTC some days before today.
func noon(daysAgo int) practice.Instant {
	return practice.Instant{UnixNano: (today - practice.Date(daysAgo)).Time().UnixNano() + 12*3600e9}
}

// calm is a student there is nothing to say of.
func calm() Subject {
	lib := library.Builtin()
	slots := []practice.Slot{{Day: 0, Minutes: 40}, {Day: 2, Minutes: 40}, {Day: 4, Minutes: 40}}
	st := assess.Standing{AsOf: today, LastDay: today - 1, Days: []practice.Date{today - 5, today - 3, today - 1},
		Drills: make([]assess.DrillStanding, len(lib.Drills))}
	st.Load.Pain = load.Go
	return Subject{Student: practice.Student{ID: "mira", Slots: slots}, Standing: st, Log: &practice.Log{}, Library: lib}
}

func ptr(d practice.Date) *practice.Date { return &d }

func kinds(ns []Notice) (out []Kind) {
	for _, n := range ns {
		out = append(out, n.Kind)
	}
	return out
}

func tries(drill string, daysAgo, n, failed int) (out []practice.Attempt) {
	for i := range n {
		out = append(out, practice.Attempt{ID: fmt.Sprintf("%s-%d-%d", drill, daysAgo, i), Drill: drill, At: noon(daysAgo), Set: 1 + i/5,
			Passed: practice.Known(i >= failed)})
	}
	return out
}

func TestEveryKindIsFoundAndTheCalmHaveNone(t *testing.T) {
	since := today - 3
	cases := []struct {
		name string
		do   func(*Subject)
		want []Kind
	}{
		{"nothing", func(*Subject) {}, nil},
		{"pain", func(s *Subject) { s.Standing.Load.Pain, s.Standing.Load.PainSince = load.StopHandLoad, &since }, []Kind{Hurts}},
		{"pain and away", func(s *Subject) {
			s.Standing.Load.Pain, s.Standing.Load.PainSince = load.StopHandLoad, &since
			s.Student.MinutesOff = []practice.Away{{From: today - 20, To: today}}
		}, []Kind{Hurts}},
		{"refer", func(s *Subject) {
			s.Standing.Load.Pain, s.Standing.Load.PainSince, s.Standing.Load.Refer = load.StopHandLoad, &since, true
		}, []Kind{Refer}},
		{"quiet", func(s *Subject) { s.Standing.LastDay, s.Standing.Days = today-10, []practice.Date{today - 10} }, []Kind{Quiet}},
		{"nine days", func(s *Subject) { s.Standing.LastDay, s.Standing.Days = today-9, []practice.Date{today - 9} }, nil},
		{"away meanwhile", func(s *Subject) {
			s.Standing.LastDay, s.Standing.Days = today-15, []practice.Date{today - 15}
			s.Student.MinutesOff = []practice.Away{{From: today - 14, To: today - 8}}
		}, nil},
		{"never came", func(s *Subject) {
			s.Standing.LastDay, s.Standing.Days = 0, nil
			s.Log.Weeks = []practice.Week{{ISOWeek: (today - 13).Week()}}
		}, []Kind{Quiet}},
		{"backwards", func(s *Subject) {
			s.Standing.Milestone.ReachedSeconds = 5
			s.Standing.NowCold = []assess.Chance{{Seconds: 5, P: .5, Lo: .4, Hi: .69}}
		}, []Kind{Backwards}},
		{"perhaps backwards", func(s *Subject) {
			s.Standing.Milestone.ReachedSeconds = 5
			s.Standing.NowCold = []assess.Chance{{Seconds: 5, P: .5, Lo: .4, Hi: .71}}
		}, nil},
		{"stalled", func(s *Subject) { s.Standing.Progress = assess.Progress{Look: true, Act: true} }, []Kind{Stalled}},
		{"slower", func(s *Subject) { s.Standing.Progress = assess.Progress{Look: true} }, []Kind{Slower}},
		{"ready", func(s *Subject) {
			s.Standing.Milestone.NextSeconds = 10
			s.Standing.NowCold = []assess.Chance{{Seconds: 10, P: .86, Lo: .76, Hi: .92}}
		}, []Kind{Ready}},
		{"ready, and stopped", func(s *Subject) {
			s.Standing.Milestone.NextSeconds = 10
			s.Standing.NowCold = []assess.Chance{{Seconds: 10, P: .86, Lo: .76, Hi: .92}}
			s.Standing.Stops = []assess.StopNow{{No: practice.Inverted}}
			s.Standing.Progress = assess.Progress{Look: true, Act: true}
		}, nil},
		{"back", func(s *Subject) { s.Standing.Days = []practice.Date{today - 18, today - 2} }, []Kind{Back}},
		{"muddy", func(s *Subject) {
			s.Log.Marks = []practice.DrillMark{{Drill: s.Library.Drills[3].ID, At: noon(2), Mark: practice.Confusing}}
			s.Standing.Drills[3].Confusing = 1
		}, []Kind{Muddy}},
		{"muddy, then helped", func(s *Subject) {
			s.Log.Marks = []practice.DrillMark{{Drill: s.Library.Drills[3].ID, At: noon(2), Mark: practice.Confusing}}
		}, nil},
		{"hard", func(s *Subject) { s.Log.Attempts = tries(practice.OpenTry, 3, 40, 24) }, []Kind{Hard}},
		{"not quite hard", func(s *Subject) { s.Log.Attempts = tries(practice.OpenTry, 3, 40, 23) }, nil},
		{"hard long ago", func(s *Subject) { s.Log.Attempts = tries(practice.OpenTry, 14, 40, 40) }, nil},
		{"bunched", func(s *Subject) {
			for i, m := range []float64{90, 90, 20, 20} {
				s.Log.Sessions = append(s.Log.Sessions, practice.Session{At: noon(7*(i%2) + i/2), Minutes: practice.Known(m)})
			}
		}, []Kind{Bunched}},
		{"one-sided", func(s *Subject) {
			for d := range 24 {
				s.Log.Tallies = append(s.Log.Tallies, practice.Tally{Drill: s.Library.Drills[5].ID, At: noon(d), Tries: 5, Caught: practice.Known(5)})
			}
		}, []Kind{OneSided}},
		{"thin", func(s *Subject) {
			for i := range 7 {
				s.Log.Tallies = append(s.Log.Tallies, practice.Tally{Drill: s.Library.Drills[10+i].ID, At: noon(i), Tries: 5})
			}
		}, []Kind{Thin}},
		{"thin, and new", func(s *Subject) {
			s.Standing.FirstDay = today - 13
			for i := range 7 {
				s.Log.Tallies = append(s.Log.Tallies, practice.Tally{Drill: s.Library.Drills[10+i].ID, At: noon(i), Tries: 5})
			}
		}, nil},
		{"archived", func(s *Subject) {
			s.Student.ArchivedOn = &today
			s.Standing.Load.Pain, s.Standing.Load.PainSince = load.StopHandLoad, &since
		}, nil},
	}
	found := map[Kind]bool{}
	for _, c := range cases {
		s := calm()
		c.do(&s)
		got := kinds(Notices(s))
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
		for _, k := range got {
			found[k] = true
		}
	}
	for _, k := range Kinds {
		if !found[k] {
			t.Errorf("no case finds %s", k)
		}
	}
}

func TestDecisionsHoldForTheirOccasion(t *testing.T) {
	n := Notice{Student: "mira", Kind: Quiet, About: "since 2026-05-20"}
	again := Notice{Student: "mira", Kind: Quiet, About: "since 2026-07-01"}
	for _, c := range []struct {
		d    practice.Decision
		n    Notice
		day  practice.Date
		want int
	}{
		{practice.Decision{Student: "mira", Kind: string(Quiet), About: n.About, Answer: practice.AnswerDone, Until: nil, Reason: ""}, n, today, 0},
		{practice.Decision{Student: "mira", Kind: string(Quiet), About: n.About, Answer: practice.AnswerDone, Until: nil, Reason: ""}, again, today, 1},
		{practice.Decision{Student: "tobias", Kind: string(Quiet), About: n.About, Answer: practice.AnswerDone, Until: nil, Reason: ""}, n, today, 1},
		{practice.Decision{Student: "mira", Kind: string(Ready), About: n.About, Answer: practice.AnswerDone, Until: nil, Reason: ""}, n, today, 1},
		{practice.Decision{Student: "mira", Kind: string(Quiet), About: n.About, Answer: practice.AnswerPostponed, Until: ptr(today + 1), Reason: ""}, n, today, 0},
		{practice.Decision{Student: "mira", Kind: string(Quiet), About: n.About, Answer: practice.AnswerPostponed, Until: ptr(today), Reason: ""}, n, today, 1},
		{practice.Decision{Student: "mira", Kind: string(Quiet), About: n.About, Answer: practice.AnswerMuted, Until: nil, Reason: "travels"}, again, today, 0},
	} {
		if r := Rank([]Notice{c.n}, []practice.Decision{c.d}, c.day, Cap); len(r.Shown) != c.want || r.Settled != 1-c.want {
			t.Errorf("%+v on %s: %d shown", c.d, c.day, len(r.Shown))
		}
	}
}

// However many there are: pain is never held back, the cap holds for the rest,
// nothing is lost from the count, and the order is that of the kinds.
func TestRankCapsAllButPain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var ns []Notice
		for i := range rapid.IntRange(0, 80).Draw(t, "n") {
			ns = append(ns, Notice{Student: fmt.Sprint("s", i%17), Kind: rapid.SampledFrom(Kinds).Draw(t, "kind"),
				Evidence: Evidence{Share: rapid.Float64Range(0, 1).Draw(t, "share")}})
		}
		most := rapid.IntRange(0, 15).Draw(t, "most")
		r := Rank(ns, nil, today, most)
		if len(r.Shown)+r.Held != len(ns) {
			t.Fatalf("%d of %d", len(r.Shown)+r.Held, len(ns))
		}
		pain, others := 0, 0
		for _, n := range r.Shown {
			if n.Kind.Mutable() {
				others++
			} else {
				pain++
			}
		}
		for _, n := range ns {
			if !n.Kind.Mutable() {
				pain--
			}
		}
		if pain != 0 || others > most {
			t.Fatalf("%d of pain too few or many, %d others under a cap of %d", pain, others, most)
		}
		if !slices.IsSortedFunc(r.Shown, func(a, b Notice) int { return a.rank() - b.rank() }) {
			t.Fatal("out of order")
		}
	})
}
