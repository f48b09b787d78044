package planning

import (
	"cmp"
	"math"
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// FloorTest is a floor test that is worth more next week than practice in its
// minutes.
type FloorTest struct {
	ID        string
	Component practice.Component
	Day       practice.Weekday // of the session it belongs to, after its cold tries
	Minutes   float64
	// Worth is what the answer is expected to add to practice for as long as it
	// lasts, Cost what the minutes would have added, both as shares of what the
	// week's practice is worth.
	Worth, Cost float64
	// Between are the two components whose minutes the answer moves most.
	Between [2]practice.Component
}

const (
	// answerWeeks is for how many weeks an answer counts at the most.
	answerWeeks = 12
	// answerFades: what an answer is worth a week falls evenly to nothing while
	// it lasts.
	answerFades = 0.5
	// testHand is the part of a test's minutes that loads the hands, where it
	// does; testShare the most of a session's practice that tests may take.
	// Common practice, no source: of the library's drills a fifth does.
	testHand  = 0.25
	testShare = 0.5
)

// tests decides which floor tests next week has, takes their minutes from the
// sessions they belong to, and says how many of the minutes on the hands are
// left. The tests that gain most come first, one a component, each valued as if
// it were the only one.
func (in *Input) tests(offers []Offer, frames []frame, hand float64) ([]FloorTest, float64) {
	minutes := 0.0
	for _, f := range frames {
		minutes += f.practice
	}
	scales := in.scales(offers)
	var worth []FloorTest
	for i := range in.Standing.Foreseen {
		if t := in.appraise(&in.Standing.Foreseen[i], scales, minutes); t.Worth > t.Cost && !in.resting(t.Component) {
			worth = append(worth, t)
		}
	}
	slices.SortStableFunc(worth, func(a, b FloorTest) int { return cmp.Compare(b.Worth-b.Cost, a.Worth-a.Cost) })
	return in.fit(worth, frames, hand)
}

// appraise is what a test is worth and costs: a preposterior analysis (Raiffa &
// Schlaifer 1961, Applied Statistical Decision Theory, ch. 5). For each result it
// may have, the minutes are split anew; worth is by how much the best split then
// beats the split made without the answer, in the mean over the results, for the
// weeks the answer lasts. It is never negative, and 0 where no result would move
// a minute. The discount of what nobody has tested is left out on both sides.
func (in *Input) appraise(f *assess.TestForeseen, scales []float64, minutes float64) FloorTest {
	probe, ok := in.Library.Probe(f.Test)
	if !ok {
		panic("planning: no floor test " + f.Test)
	}
	now := in.wants(in.now(), f.Component, scales)
	without, more := split(now, minutes)
	t := FloorTest{ID: f.Test, Component: probe.Component, Minutes: probe.Minutes, Cost: probe.Minutes * more}
	moved := make([]float64, len(now))
	for _, r := range f.Results {
		after := in.wants(r, f.Component, scales)
		with, _ := split(after, minutes)
		t.Worth += r.Chance * (gain(after, with) - gain(after, without))
		for k := range moved {
			moved[k] += r.Chance * math.Abs(with[k]-without[k])
		}
	}
	// An answer is never worth less than nothing: what is under it is rounding.
	t.Worth = math.Max(0, t.Worth) * answerFades * math.Min(answerWeeks, f.LastsDays/7)
	if whole := gain(now, without); whole > 0 {
		t.Worth, t.Cost = t.Worth/whole, t.Cost/whole
	}
	t.Between = in.mostMoved(moved)
	return t
}

// now is where the components stand, as a test's result tells it.
func (in *Input) now() (r assess.TestResult) {
	for _, c := range in.Standing.Components {
		r.Mean, r.SD, r.P = append(r.Mean, c.Level), append(r.SD, c.SD), append(r.P, c.PLimits)
	}
	return r
}

// wants is what practice would be worth of components that stand so, once the
// tested one has been tested.
func (in *Input) wants(at assess.TestResult, tested int, scales []float64) []want {
	out := make([]want, len(scales))
	for k := range out {
		level := in.Standing.Components[k]
		level.Level, level.SD, level.PLimits = at.Mean[k], at.SD[k], at.P[k]
		if k == tested {
			level.N = max(1, level.N)
		}
		out[k] = want{need: in.need(level), scale: scales[k]}
	}
	return out
}

// scales is how many minutes of each component give 63% of what a week of it can
// give: tau sets, of the drill that is worth most a minute.
func (in *Input) scales(offers []Offer) []float64 {
	out := make([]float64, len(in.Library.Components))
	for k, info := range in.Library.Components {
		out[k] = math.Inf(1)
		for _, o := range offers {
			d := &in.Library.Drills[o.Index]
			if d.Component == info.Name && d.Kind != practice.Mobility && !practice.FreeTry(d.ID) {
				out[k] = math.Min(out[k], info.Tau*d.SetMinutes/(float64(in.value(o.Index))/100))
			}
		}
	}
	return out
}

// mostMoved are the two components with the largest figures, the larger first.
func (in *Input) mostMoved(moved []float64) (two [2]practice.Component) {
	order := make([]int, len(moved))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(moved[b], moved[a]) })
	for i := range min(2, len(order)) {
		two[i] = in.Library.Components[order[i]].Name
	}
	return two
}

// fit takes tests as long as there is room: one a component, no more than the
// week's minutes for tests, half of a session's practice, and the minutes on the
// hands that are left.
func (in *Input) fit(tests []FloorTest, frames []frame, hand float64) (taken []FloorTest, left float64) {
	week, used, have := in.Settings.TestMinutes, map[int]float64{}, map[practice.Component]bool{}
	for _, t := range tests {
		probe, _ := in.Library.Probe(t.ID)
		at := sessionOf(probe, frames)
		load := 0.0
		if slices.Contains(probe.Strains, practice.HandLoad) {
			load = testHand * t.Minutes
		}
		if at < 0 || have[t.Component] || t.Minutes > week || load > hand || t.Minutes > testShare*frames[at].practice-used[at] {
			continue
		}
		t.Day = frames[at].slot.Day
		week, hand, have[t.Component] = week-t.Minutes, hand-load, true
		used[at] += t.Minutes
		taken = append(taken, t)
	}
	for at, minutes := range used {
		frames[at].practice -= minutes
	}
	slices.SortStableFunc(taken, func(a, b FloorTest) int {
		p, _ := in.Library.Probe(a.ID)
		q, _ := in.Library.Probe(b.ID)
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(p.Day, q.Day), cmp.Compare(p.Order, q.Order))
	})
	return taken, hand
}

// sessionOf is the session a test belongs to: the first long one of the week for
// a test of the battery's first day, the second for one of the second; -1: none.
func sessionOf(p practice.Probe, frames []frame) int {
	at, day := -1, 0
	for i := range frames {
		if frames[i].long && day < p.Day {
			at, day = i, day+1
		}
	}
	return at
}
