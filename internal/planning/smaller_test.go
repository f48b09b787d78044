package planning

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// aSession is an hour with something of every kind, as the planner writes it.
func aSession(t *testing.T) practice.PlannedSession {
	t.Helper()
	of := func(id string, sets int) practice.Item {
		d, ok := library.Builtin().Drill(id)
		if !ok {
			t.Fatalf("no drill %s", id)
		}
		return item(&d, sets)
	}
	block := func(kind practice.BlockKind, minutes float64, items ...practice.Item) practice.Block {
		if items == nil {
			items = []practice.Item{}
		}
		return practice.Block{Kind: kind, Minutes: max(minutes, minutesOf(items)), Items: items}
	}
	s := practice.PlannedSession{Day: 2, Start: "18:30", Blocks: []practice.Block{
		block(practice.PrepBlock, 8),
		block(practice.ColdBlock, 0.5, of(practice.ColdTry, 1)),
		block(practice.TriesBlock, 4.5, of(practice.OpenTry, 1)),
		block(practice.PracticeBlock, 0, of("kick-stop", 2), of("heel-float", 3), of("hollow-long", 2)),
		block(practice.StrengthBlock, 0, of("chest-wall-hold", 3)),
		block(practice.StretchBlock, 0, of("chair-sink", 2)),
		block(practice.LogBlock, 3),
	}}
	for _, b := range s.Blocks {
		s.Minutes += b.Minutes
	}
	return s
}

func drillsIn(s practice.PlannedSession) (out []string) {
	for _, b := range s.Blocks {
		for _, it := range b.Items {
			out = append(out, it.Drill)
		}
	}
	return out
}

// A tired day: no open drill, half the sets rounded up, prep as it was.
func TestTired(t *testing.T) {
	s := aSession(t)
	small := Tired(s, library.Builtin())
	if want := []string{"heel-float", "hollow-long", "chest-wall-hold", "chair-sink"}; !slices.Equal(drillsIn(small), want) {
		t.Errorf("keeps %v", drillsIn(small))
	}
	if small.Blocks[0].Minutes != 8 || small.Day != s.Day || small.Start != s.Start {
		t.Errorf("%+v", small)
	}
	float := small.Blocks[1].Items[0]
	d, _ := library.Builtin().Drill("heel-float")
	if float.Sets != 2 || float.Minutes != 2*d.SetMinutes+d.SetupMinutes || float.HandMinutes != 2*d.HandMinutes {
		t.Errorf("%+v", float)
	}
	if small.Minutes >= s.Minutes {
		t.Errorf("%v of %v minutes", small.Minutes, s.Minutes)
	}
}

// Five minutes: two of prep, then the first drill of the plan that is not in
// the open and fits.
func TestFiveMinutes(t *testing.T) {
	s := aSession(t)
	small := FiveMinutes(s, library.Builtin())
	if small.Minutes > 5 || small.Blocks[0].Minutes != 2 || len(drillsIn(small)) != 1 {
		t.Errorf("%v minutes with %v", small.Minutes, drillsIn(small))
	}
	long := aSession(t)
	for i := range long.Blocks[3].Items {
		long.Blocks[3].Items[i].Minutes += 10 // nothing to set up fits
	}
	if got := drillsIn(FiveMinutes(long, library.Builtin())); len(got) != 1 || got[0] != "chest-wall-hold" {
		t.Errorf("keeps %v", got)
	}
}

// Smaller versions only leave out: no drill, set, minute or block that was not
// there, and the session they come from stays as it is. So a stop holds.
func TestSmallerOnlyLeavesOut(t *testing.T) {
	lib := library.Builtin()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSession(t, lib)
		before := cloneSession(s)
		for name, small := range map[string]practice.PlannedSession{"tired": Tired(s, lib), "five minutes": FiveMinutes(s, lib)} {
			if !reflect.DeepEqual(s, before) {
				t.Fatalf("%s changed the session: %s", name, cmp.Diff(before, s))
			}
			if small.Minutes > s.Minutes+1e-9 || name == "five minutes" && small.Minutes > 5 {
				t.Fatalf("%s takes %v of %v minutes", name, small.Minutes, s.Minutes)
			}
			checkWithin(t, name, small, s, lib)
		}
	})
}

func checkWithin(t *rapid.T, name string, small, s practice.PlannedSession, lib *practice.Library) {
	sum := 0.0
	for _, b := range small.Blocks {
		at := slices.IndexFunc(s.Blocks, func(o practice.Block) bool { return o.Kind == b.Kind })
		if at < 0 || b.Minutes > s.Blocks[at].Minutes+1e-9 || b.Minutes <= 0 {
			t.Fatalf("%s: block %s of %v minutes", name, b.Kind, b.Minutes)
		}
		sum += b.Minutes
		for _, it := range b.Items {
			was := slices.IndexFunc(s.Blocks[at].Items, func(o practice.Item) bool { return o.ID == it.ID && o.Drill == it.Drill })
			d, _ := lib.Drill(it.Drill)
			if was < 0 || d.Support == practice.Open || d.Support == practice.Spotter {
				t.Fatalf("%s: %s was not in the session or is not for it", name, it.Drill)
			}
			if o := s.Blocks[at].Items[was]; it.Sets > max(1, o.Sets) || it.Minutes > o.Minutes || it.HandMinutes > o.HandMinutes+1e-9 {
				t.Fatalf("%s: %+v of %+v", name, it, o)
			}
		}
	}
	if math.Abs(sum-small.Minutes) > 1e-9 {
		t.Fatalf("%s: blocks of %v minutes, session of %v", name, sum, small.Minutes)
	}
}

// drawSession is any session of drills of the library, one that is unknown
// among them.
func drawSession(t *rapid.T, lib *practice.Library) practice.PlannedSession {
	s := practice.PlannedSession{Blocks: []practice.Block{}}
	for _, kind := range practice.BlockKinds {
		b := practice.Block{Kind: kind, Items: []practice.Item{}}
		if kind == practice.PrepBlock || kind == practice.LogBlock {
			b.Minutes = float64(rapid.IntRange(0, 10).Draw(t, "minutes"))
		} else {
			for i, d := range rapid.SliceOfN(rapid.SampledFrom(lib.Drills), 0, 4).Draw(t, "drills") {
				it := item(&d, rapid.IntRange(1, 6).Draw(t, "sets"))
				it.ID = string(kind) + "-" + string(rune('a'+i))
				b.Items = append(b.Items, it)
			}
			if kind == practice.PracticeBlock {
				b.Items = append(b.Items, practice.Item{ID: "x", Drill: "long-gone", Sets: 1, Minutes: 2})
			}
			b.Minutes = minutesOf(b.Items)
		}
		s.Blocks = append(s.Blocks, b)
		s.Minutes += b.Minutes
	}
	return s
}

func cloneSession(s practice.PlannedSession) practice.PlannedSession {
	s.Blocks = slices.Clone(s.Blocks)
	for i := range s.Blocks {
		s.Blocks[i].Items = slices.Clone(s.Blocks[i].Items)
	}
	return s
}

// A planned week has its smaller versions, and under a stop they keep it.
func TestSmallerWeeksKeepStops(t *testing.T) {
	s := student()
	s.Stops = []practice.Stop{{No: []practice.Strain{practice.Inverted}, Since: sunday - 10}}
	in := input(s, shownLog())
	some := 0
	for _, session := range draft(t, in).Week.Sessions {
		for _, small := range []practice.PlannedSession{Tired(session, in.Library), FiveMinutes(session, in.Library)} {
			for _, id := range drillsIn(small) {
				some++
				if d, _ := in.Library.Drill(id); d.Inverted() {
					t.Errorf("%s is inverted", id)
				}
			}
		}
	}
	if some == 0 {
		t.Error("nothing is left to practise")
	}
}

func TestWorseAndWorse(t *testing.T) {
	for _, c := range []struct {
		sets []float64
		want bool
	}{
		{nil, false}, {[]float64{9}, false}, {[]float64{9, 8}, false}, {[]float64{9, 8, 7}, true},
		{[]float64{9, 8, 8}, false}, {[]float64{9, 8, 7, 8}, false}, {[]float64{3, 9, 8, 7}, true}, {[]float64{9, math.NaN(), 7}, false},
	} {
		if got := WorseAndWorse(c.sets); got != c.want {
			t.Errorf("%v: %v", c.sets, got)
		}
	}
}

func TestLastSet(t *testing.T) {
	s := aSession(t)
	easy, _ := library.Builtin().Drill("turn-walk")
	s.Blocks[3].Items = append(s.Blocks[3].Items, item(&easy, 3))
	last, ok := LastSet(s, library.Builtin())
	if !ok || last.Drill != "turn-walk" || last.Sets != 1 || last.Minutes != easy.SetMinutes+easy.SetupMinutes {
		t.Errorf("%+v %v", last, ok)
	}
	if _, ok := LastSet(practice.PlannedSession{}, library.Builtin()); ok {
		t.Error("an empty session has a last set")
	}
}
