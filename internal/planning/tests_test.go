package planning

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"aplomb/internal/assess"
	"aplomb/internal/numtest"
	"aplomb/internal/practice"
	"aplomb/internal/skill"
	"pgregory.net/rapid"
)

// two is a student with two components, trained today, and a test of the first.
func two(levels ...assess.ComponentLevel) Input {
	lib := &practice.Library{Probes: []practice.Probe{{ID: "first", Component: "a", Minutes: 4, Day: 1, Order: 1}}}
	in := Input{Library: lib, Settings: DefaultSettings()}
	in.Standing.LastTrained = map[practice.Component]practice.Date{}
	for _, l := range levels {
		lib.Components = append(lib.Components, practice.ComponentInfo{Name: l.Name})
		in.Standing.LastTrained[l.Name] = in.Standing.AsOf
	}
	in.Standing.Components = levels
	return in
}

func TestAppraisalInClosedForm(t *testing.T) {
	in := two(assess.ComponentLevel{Name: "a", PLimits: .5, N: 1}, assess.ComponentLevel{Name: "b", PLimits: .5, N: 1})
	flat := []float64{0, 0}
	f := assess.TestForeseen{Test: "first", LastsDays: 42, Results: []assess.TestResult{
		{Chance: .5, Mean: flat, SD: flat, P: []float64{1, 0}},
		{Chance: .5, Mean: flat, SD: flat, P: []float64{0, 1}},
	}}
	// Needs are .35 and .35 without an answer, .6 and .1 with it. With scale s
	// and M minutes in all, the best split is worth a + b - 2·sqrt(ab)·e^(-M/2s).
	const s, m = 20., 100.
	left := math.Exp(-m / (2 * s))
	whole := .7 * (1 - left)
	got := in.appraise(&f, []float64{s, s}, m)
	numtest.Close(t, "worth", got.Worth, answerFades*6*left*(.7-2*math.Sqrt(.6*.1))/whole, 1e-12)
	numtest.Close(t, "cost", got.Cost, 4*.35/s*left/whole, 1e-12)
	if got.Between != [2]practice.Component{"a", "b"} || got.Minutes != 4 {
		t.Errorf("%+v", got)
	}
	f.LastsDays = math.Inf(1)
	numtest.Close(t, "for ever is capped", in.appraise(&f, []float64{s, s}, m).Worth, got.Worth*answerWeeks/6, 1e-12)
}

// foreseen is a student of two components, not alike, and what a test of the
// first with this error may show.
func foreseen(t testing.TB, sdA, sdB, sd float64) (Input, *skill.Components, assess.TestForeseen) {
	t.Helper()
	filter := skill.NewComponents([]skill.Component{{Mean: .2, SD: sdA, Noise: .006}, {SD: sdB, Noise: .006}}, 0, nil)
	asks := []float64{.4, .3}
	limiter, err := filter.Limiter(asks)
	if err != nil {
		t.Fatal(err)
	}
	seen, err := filter.Foresee(asks, []skill.Test{{Component: 0, SD: sd}})
	if err != nil {
		t.Fatal(err)
	}
	in := two(assess.ComponentLevel{Name: "a", Level: .2, SD: sdA, Asked: &asks[0], PLimits: limiter.P[0], N: 1},
		assess.ComponentLevel{Name: "b", SD: sdB, Asked: &asks[1], PLimits: limiter.P[1], N: 1})
	return in, filter, assess.TestForeseen{Test: "first", LastsDays: seen[0].Lasts, Results: seen[0].Results}
}

// Drawn results, each folded into the filter itself and the minutes split anew,
// come to what the five results do.
func TestAppraisalAgainstDrawnResults(t *testing.T) {
	const sdA, sdB, sd, n = .85, .6, .5, 20000
	in, filter, f := foreseen(t, sdA, sdB, sd)
	scales := []float64{25, 40}
	got := in.appraise(&f, scales, 80)
	now := in.wants(in.now(), 0, scales)
	without, _ := split(now, 80)
	rng, sum, squares := rand.New(rand.NewPCG(4, 4)), 0., 0.
	for range n {
		d := filter.Clone()
		d.Measure(0, .2+math.Hypot(sdA, sd)*rng.NormFloat64(), sd)
		l := d.Level(0)
		p := .5 * math.Erfc(-((0-.3)-(l.Mean-.4))/math.Hypot(l.SD, sdB)/math.Sqrt2)
		after := in.wants(assess.TestResult{Mean: []float64{l.Mean, 0}, SD: []float64{l.SD, sdB}, P: []float64{p, 1 - p}}, 0, scales)
		with, _ := split(after, 80)
		g := gain(after, with) - gain(after, without)
		sum += g
		squares += g * g
	}
	scale := answerFades * f.LastsDays / 7 / gain(now, without)
	if f.LastsDays/7 > answerWeeks {
		scale = answerFades * answerWeeks / gain(now, without)
	}
	mean := sum / n
	se := math.Sqrt((squares/n - mean*mean) / n)
	t.Logf("worth %.5f, drawn %.5f ± %.5f", got.Worth, scale*mean, scale*se)
	numtest.Close(t, "worth", got.Worth, scale*mean, .1*got.Worth+3*scale*se)
}

func TestAppraisalProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		sdA, sdB, sd := rapid.Float64Range(.2, 1).Draw(rt, "a"), rapid.Float64Range(.2, 1).Draw(rt, "b"), rapid.Float64Range(.2, 2).Draw(rt, "sd")
		scales, minutes := []float64{rapid.Float64Range(5, 60).Draw(rt, "scale"), 30}, rapid.Float64Range(10, 200).Draw(rt, "minutes")
		in, _, f := foreseen(t, sdA, sdB, sd)
		if got := in.appraise(&f, scales, minutes); got.Worth < 0 || got.Cost < 0 {
			rt.Errorf("%+v", got)
		}
	})
}

// The more doubtful a component, the more its test is worth; an answer that is
// all error is worth nothing, nor one that cannot move a minute.
func TestWorthGrowsWithDoubt(t *testing.T) {
	last := 0.
	for _, sd := range []float64{.1, .3, .5, .7, .9} {
		in, _, f := foreseen(t, sd, .5, .5)
		got := in.appraise(&f, []float64{25, 25}, 80)
		t.Logf("doubt %.1f: worth %.4f, cost %.4f", sd, got.Worth, got.Cost)
		if got.Worth <= last {
			t.Errorf("doubt %v: worth %v, with less doubt %v", sd, got.Worth, last)
		}
		last = got.Worth
	}
	in, _, f := foreseen(t, .8, .5, 1e4)
	numtest.Close(t, "an answer that is all error", in.appraise(&f, []float64{25, 25}, 80).Worth, 0, 1e-6)
	in, _, f = foreseen(t, .8, .5, .5)
	numtest.Close(t, "only one can be practised", in.appraise(&f, []float64{25, math.Inf(1)}, 80).Worth, 0, 1e-12)
	in.Standing.Components[0].N = 0
	f.Results = []assess.TestResult{in.now()}
	f.Results[0].Chance = 1
	numtest.Close(t, "nothing new of what nobody tested", in.appraise(&f, []float64{25, 25}, 80).Worth, 0, 1e-12)
}

// A student of whom little is known gets tests: none that is ruled out or wants
// kit they lack, in their minutes, which come off the practice of the session
// they belong to.
func TestTestsOfAWeek(t *testing.T) {
	in := input(student(), shownLog())
	d := draft(t, in)
	if len(d.Tests) == 0 {
		t.Fatal("no test is worth its minutes")
	}
	minutes := 0.
	for _, test := range d.Tests {
		minutes += test.Minutes
		if test.Worth <= test.Cost {
			t.Errorf("%+v costs more than it is worth", test)
		}
		if !slices.ContainsFunc(d.Week.Sessions, func(s practice.PlannedSession) bool { return s.Day == test.Day }) {
			t.Errorf("%s is on %s: no session", test.ID, test.Day)
		}
	}
	if minutes > in.Settings.TestMinutes {
		t.Errorf("%v minutes of tests", minutes)
	}
	for _, s := range d.Week.Sessions {
		sum := 0.
		for _, b := range s.Blocks {
			sum += b.Minutes
		}
		for _, test := range d.Tests {
			if test.Day == s.Day {
				sum += test.Minutes
			}
		}
		if sum > s.Minutes+1e-9 {
			t.Errorf("%s: %v minutes in a session of %v", s.Day, sum, s.Minutes)
		}
	}
	in.Settings.TestMinutes = 0
	if d := draft(t, in); len(d.Tests) != 0 {
		t.Errorf("no minutes for tests, yet %+v", d.Tests)
	}
}

func TestStopsHoldForTests(t *testing.T) {
	s := student()
	s.Stops = []practice.Stop{{No: []practice.Strain{practice.HandLoad}, Since: sunday - 3}}
	s.Kit = nil
	in := input(s, shownLog())
	in.Settings.TestMinutes = 60
	if len(in.Standing.Foreseen) == 0 {
		t.Error("no test is left, not even those on the feet")
	}
	tests := draft(t, in).Tests
	for _, f := range in.Standing.Foreseen {
		tests = append(tests, FloorTest{ID: f.Test})
	}
	for _, test := range tests {
		if p, _ := in.Library.Probe(test.ID); slices.Contains(p.Strains, practice.HandLoad) || len(p.Kit) > 0 {
			t.Errorf("%s, which %v and %v rule out", test.ID, p.Strains, p.Kit)
		}
	}
}

// A wish of the coach is worth more than any answer.
func TestTestsYieldToWishes(t *testing.T) {
	s := student()
	s.Slots = slots(34)
	plain := input(s, shownLog())
	plain.Settings.TestMinutes = 0
	for _, c := range draft(t, plain).Result.Drills {
		for sets := 1; sets <= 6; sets++ {
			wish := practice.Wish{Student: s.ID, Locks: []practice.WishLock{{Drill: c.ID, Sets: sets}}}
			without, with := input(s, shownLog(), wish), input(s, shownLog(), wish)
			without.Settings.TestMinutes = 0
			if len(draft(t, without).Unmet) == 0 && len(draft(t, with).Unmet) > 0 {
				t.Errorf("%d sets of %s are met without tests, not with them", sets, c.ID)
			}
		}
	}
}
