package assess

import (
	"math"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// TargetP is the chance of a cold try a forecast waits for.
const TargetP = 0.80

// components is the component filter of one student with the places of the
// library's drills and counted floor tests in it.
type components struct {
	filter *skill.Components
	place  map[practice.Component]int
	test   map[string]int  // item of a floor test that counts passes
	past   map[int][]past  // for a drill whose difficulty was changed
	worked []practice.Date // the last day with work on each component
}

// past is the item a drill was up to a day.
type past struct {
	until practice.Date
	item  int
}

// item is the filter's item of a drill on a day: a changed difficulty does not
// rewrite what was done before.
func (c *components) item(drill int, day practice.Date) int {
	for _, p := range c.past[drill] {
		if day <= p.until {
			return p.item
		}
	}
	return drill
}

func newComponents(lib *practice.Library) components {
	c := components{place: map[practice.Component]int{}, test: map[string]int{}, past: map[int][]past{}}
	at := make([]skill.Component, len(lib.Components))
	for i, info := range lib.Components {
		at[i] = skill.Component{Mean: info.PriorLogit, SD: skill.IntakeSD, Noise: skill.MotorNoise, Gain: skill.MotorGain, GainSD: skill.MotorGainSD}
		if info.Capacity {
			at[i].Noise, at[i].Gain, at[i].GainSD = skill.CapacityNoise, skill.CapacityGain, skill.CapacityGainSD
		}
		c.place[info.Name] = i
	}
	var items []skill.Item
	for _, d := range lib.Drills {
		items = append(items, skill.Item{Component: c.place[d.Component], Difficulty: d.Difficulty, Doubt: d.DifficultySD})
	}
	for i, d := range lib.Drills {
		for _, b := range d.Before {
			c.past[i] = append(c.past[i], past{b.Until, len(items)})
			items = append(items, skill.Item{Component: c.place[d.Component], Difficulty: b.Difficulty, Doubt: b.DifficultySD})
		}
	}
	for _, p := range lib.Probes {
		if p.Link == practice.OfN {
			c.test[p.ID] = len(items)
			items = append(items, skill.Item{Component: c.place[p.Component], Difficulty: p.Mid, Doubt: p.SD})
		}
	}
	c.worked = make([]practice.Date, len(at))
	c.filter = skill.NewComponents(at, skill.SharedAbility, items)
	return c
}

// spill is the part of a day's work that all components get alike, but for those
// nothing was done for in so many days: what is left alone does not come on.
// Guesses.
const (
	spill     = 0.3
	leftAlone = 21
)

// advance lets time pass from one day to another; what is left alone for long
// fades.
func (c *components) advance(from, to practice.Date) {
	c.filter.Advance(int(to - from))
	for k, worked := range c.worked {
		if idle := to - max(from, worked+leftAlone); idle > 0 {
			c.filter.Idle(k, int(idle))
		}
	}
}

// work is how much of the first day of the items went to each component, in the
// library's order: 1 is an even share. Free tries are shared out as the library's
// components say. It notes the day of those that had a drill.
func (c *components) work(lib *practice.Library, items []item) []float64 {
	out, all, day := make([]float64, len(lib.Components)), 0.0, items[0].day
	for i := 0; i < len(items) && items[i].day == day; i++ {
		it := &items[i]
		if it.drill < 0 {
			continue
		}
		d := &lib.Drills[it.drill]
		minutes := float64(it.tries()) * d.SetMinutes / float64(max(1, d.Reps))
		all += minutes
		if !it.free() {
			out[c.place[d.Component]] += minutes
			c.worked[c.place[d.Component]] = day
			continue
		}
		for k, info := range lib.Components {
			out[k] += info.TryWork * minutes
		}
	}
	for k := range out {
		share := 0.0
		if all > 0 {
			share = out[k] / all * float64(len(out))
		}
		out[k] = (1 - spill) * share
		if day-c.worked[k] <= leftAlone {
			out[k] += spill
		}
	}
	return out
}

// probe folds in one floor test.
func (c *components) probe(lib *practice.Library, test string, value float64) {
	p, ok := lib.Probe(test)
	if !ok {
		return
	}
	if p.Link == practice.OfN {
		passed := int(math.Round(min(max(value, 0), float64(p.N))))
		c.filter.Count(c.test[test], p.N, passed, 0)
		return
	}
	place, ability := c.place[p.Component], p.Ability(value)
	switch worst, best := p.Ends(); value {
	case best:
		c.filter.Bound(place, ability, p.SD, false)
	case worst:
		c.filter.Bound(place, ability, p.SD, true)
	default:
		c.filter.Measure(place, ability, p.SD)
	}
}

// estimator runs both filters through a log, day by day.
type estimator struct {
	s        *Subject
	headline skill.Headline
	comps    components
	day      practice.Date
	started  bool
	lastTry  practice.Date
	worked   practice.Date // last day with practice
	stall    skill.Stall
	weeks    int
	closed   int        // weeks that are over, with or without a try
	keep     bool       // whether the levels of every fourth week are kept
	months   []snapshot // what was kept
	rows     int        // folded in
	tests    int        // floor tests folded in
	fear     *float64   // at intake, folded in; nil: none was
}

// clone is an independent copy; what was kept of the months stays behind.
func (e *estimator) clone() *estimator {
	c := *e
	c.comps.filter, c.comps.worked = e.comps.filter.Clone(), slices.Clone(e.comps.worked)
	c.months = nil
	return &c
}

// snapshot is where the components stood at the end of a day.
type snapshot struct {
	day    practice.Date
	levels []skill.Level
}

// snapshotWeeks is how many weeks lie between two of them.
const snapshotWeeks = 4

// advance lets time pass to the day, closing every week on the way.
func (e *estimator) advance(day practice.Date) {
	if !e.started {
		e.day, e.started = day, true
		return
	}
	for e.day < day {
		next := min(day, e.day.NextMonday())
		e.headline.Advance(int(next - e.day))
		e.comps.advance(e.day, next)
		e.day = next
		if next.Weekday() == 0 {
			e.closeWeek()
		}
	}
}

func (e *estimator) closeWeek() {
	if r, err := e.headline.CloseWeek(); err == nil {
		e.stall.Add(r.Z)
		e.weeks++
	}
	if e.closed++; e.closed%snapshotWeeks == 0 {
		e.snap(e.day - 1)
	}
}

// snap keeps where the components stand, if that is asked for.
func (e *estimator) snap(day practice.Date) {
	if !e.keep {
		return
	}
	s := snapshot{day: day}
	for k := range e.s.Library.Components {
		s.levels = append(s.levels, e.comps.filter.Level(k))
	}
	e.months = append(e.months, s)
}

// newEstimator starts a student at intake.
func newEstimator(s *Subject, fear *float64) *estimator {
	e := &estimator{s: s, headline: skill.NewHeadline(), comps: newComponents(s.Library), stall: skill.NewStall(), fear: fear}
	if fear != nil {
		e.comps.probe(s.Library, practice.FearTest, *fear)
	}
	return e
}

// testsOf are the floor tests up to the day AsOf, in order of their days.
func testsOf(s *Subject, clock Clock) (out []dated) {
	for i := range s.Log.Probes {
		if t := &s.Log.Probes[i]; clock(t.At) <= s.AsOf {
			out = append(out, dated{clock(t.At), t})
		}
	}
	slices.SortStableFunc(out, func(a, b dated) int { return int(a.day) - int(b.day) })
	return out
}

// dated is a floor test with its day.
type dated struct {
	day  practice.Date
	test *practice.ProbeResult
}

// follow folds in the log, row by row and test by test, a day's tests before its
// rows, from where it stands up to the end of a day.
func (e *estimator) follow(items []item, tests []dated, last practice.Date) {
	for {
		row, test := e.rows < len(items) && items[e.rows].day <= last, e.tests < len(tests) && tests[e.tests].day <= last
		switch {
		case test && !(row && items[e.rows].day < tests[e.tests].day):
			t := tests[e.tests]
			e.advance(t.day)
			e.comps.probe(e.s.Library, t.test.Test, t.test.Value)
			e.tests++
		case row:
			e.row(items[e.rows:])
			e.rows++
		default:
			return
		}
	}
}

// row folds in the first of the items, and with the first of a day its work.
func (e *estimator) row(items []item) {
	day := items[0].day
	e.advance(day)
	if day != e.worked {
		e.worked = day
		e.comps.filter.Practised(e.comps.work(e.s.Library, items))
	}
	e.fold(&items[0])
}

// rest lets the time since the last row pass.
func (e *estimator) rest() {
	if e.started {
		e.advance(e.s.AsOf)
	}
	if n := len(e.months); n == 0 || e.s.AsOf-e.months[n-1].day > 7*snapshotWeeks/2 {
		e.snap(e.s.AsOf)
	}
}

// fear is how afraid the student said at intake they are of tipping over; nil
// where they did not, or a floor test asked again.
func fear(s *Subject, tests []dated) *float64 {
	if slices.ContainsFunc(tests, func(t dated) bool { return t.test.Test == practice.FearTest }) {
		return nil
	}
	return s.Student.Fear
}

// fold takes one row into both filters.
func (e *estimator) fold(it *item) {
	lib := e.s.Library
	if isHold(lib, it) && supportOf(lib, it) == practice.Open {
		e.foldHold(it)
	}
	if it.drill < 0 {
		return
	}
	if practice.FreeTry(lib.Drills[it.drill].ID) {
		return // a catch is the work of many components: the other filter has it
	}
	offset := e.headline.Tired(it.work)
	if tries, passes := passesOf(lib, it); tries > 0 {
		e.comps.filter.Count(e.comps.item(it.drill, it.day), tries, passes, offset)
	}
}

func (e *estimator) foldHold(it *item) {
	if t := it.tally; t != nil {
		if practice.FreeTry(t.Drill) && t.Caught.Known {
			e.headline.Tally(headlineTally(t, it))
			e.lastTry = it.day
		}
		return
	}
	o := outcomeOf(it.attempt)
	if o.excluded || !o.catchKnown {
		return
	}
	try := skill.Try{Caught: o.caught, Index: it.before + 1, Cold: it.fresh}
	if o.held {
		try.Seconds, try.Half, try.Fell = o.seconds, o.half, o.fell
	}
	e.headline.Try(try)
	e.lastTry = it.day
}

func headlineTally(t *practice.Tally, it *item) skill.Tally {
	out := skill.Tally{Tries: t.Tries, Caught: t.Caught.Value, First: it.before + 1, Cold: it.fresh}
	if best := t.Best.Or(0); best >= practice.CatchS && out.Caught > 0 {
		out.Best, out.Half = best, halfWidth(best, t.Timed)
		if second := t.SecondBest.Or(0); second >= practice.CatchS && out.Caught > 1 {
			out.Second = second
		}
	}
	return out
}

func (st *Standing) fromHeadline(e *estimator) {
	tries, _ := e.headline.Tries()
	st.Progress = progressOf(e)
	st.Tries = tries
	if tries > 0 {
		st.DaysSinceTry = int(e.s.AsOf - e.lastTry)
	}
	if tries < FewTries || st.DaysSinceTry > StaleDays || e.s.Brief {
		return
	}
	for _, seconds := range e.s.Milestones {
		st.Now = append(st.Now, chanceAt(&e.headline, seconds, false))
		st.NowCold = append(st.NowCold, chanceAt(&e.headline, seconds, true))
	}
	if st.Milestone.NextSeconds == 0 || st.Barred(practice.Inverted) || st.Barred(practice.HandLoad) {
		return // nothing to foretell, or no practice that would bring it
	}
	f, err := e.headline.Forecast(st.Milestone.NextSeconds, TargetP)
	if err != nil {
		return
	}
	st.Milestone.Forecast = &Forecast{WeeksLo: weeks(f.WeeksLo), WeeksMid: weeks(f.WeeksMid), WeeksHi: weeks(f.WeeksHi), Level: f.Level, Held: f.Held}
}

func weeks(n int) *int {
	if n == skill.Never {
		return nil
	}
	return &n
}

func chanceAt(h *skill.Headline, seconds float64, cold bool) Chance {
	p := h.AtLeast(seconds, cold, ScreenLevel)
	return Chance{Seconds: seconds, P: p.P, Lo: p.Lo, Hi: p.Hi, Level: p.Level, Method: p.Method}
}

// fromComponents fills levels, limiter and the success to expect at each drill.
func (st *Standing) fromComponents(e *estimator) {
	lib, filter := e.s.Library, e.comps.filter
	asked := asks(lib, st.Milestone.NextSeconds, e.comps.place)
	st.Components = make([]ComponentLevel, len(lib.Components))
	for i, info := range lib.Components {
		level := filter.Level(i)
		st.Components[i] = ComponentLevel{Name: info.Name, Level: level.Mean, SD: level.SD, N: level.N, Asked: Finite(asked[i])}
	}
	if limiter, err := filter.Limiter(asked); err == nil {
		for i, p := range limiter.P {
			st.Components[i].PLimits = p
		}
		st.Limiter = lib.Components[limiter.Most].Name
		st.LimiterKnown = limiter.Known && limiter.N[limiter.Most] > 0
		tests := e.mayTest(st)
		st.Foreseen = e.foresee(asked, tests)
		if !e.s.Brief {
			st.ProbeNext = e.probeNext(asked, tests)
		}
	}
	for j := range st.Drills {
		p := filter.Success(j, 0)
		st.Drills[j].P, st.Drills[j].Logit, st.Drills[j].SD = p.P, p.Logit, p.SD
	}
}

// asks is what the milestone asks of every component, in logits: the library's
// table for this many seconds, or the next longer one it has.
func asks(lib *practice.Library, seconds float64, place map[practice.Component]int) []float64 {
	asked := make([]float64, len(lib.Components))
	for i := range asked {
		asked[i] = math.Inf(-1)
	}
	if len(lib.Milestones) == 0 {
		return asked
	}
	table := lib.Milestones[len(lib.Milestones)-1]
	for i := len(lib.Milestones) - 1; i >= 0 && lib.Milestones[i].Seconds >= seconds && seconds > 0; i-- {
		table = lib.Milestones[i]
	}
	for _, ask := range table.Asks {
		if p, ok := lib.Probe(ask.Test); ok {
			asked[place[p.Component]] = p.Ability(ask.Value)
		}
	}
	return asked
}

// progressOf reads the watch over weekly residuals.
func progressOf(e *estimator) Progress {
	signal := e.stall.Signal()
	p := Progress{Weeks: e.weeks, Look: signal >= skill.Look, Act: signal >= skill.Act}
	if r, _, err := e.stall.Lag1(); err == nil {
		p.Lag1 = Finite(r)
	}
	return p
}
