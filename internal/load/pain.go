package load

import (
	"cmp"
	"math"
	"slices"
)

// Report is what a student said of pain around one session. Levels are 0 to
// 10, NaN where the student did not say; flags are false where nobody knows.
type Report struct {
	Day      int
	Wrist    bool // the pain was in a wrist
	Before   float64
	During   float64 // the most during or after
	Morning  float64 // next morning
	Night    bool    // pain at night
	Numbness bool
	Swelling bool
}

// worst is the highest level said, NaN where none was.
func (r Report) worst() float64 {
	worst := math.NaN()
	for _, v := range []float64{r.Before, r.During, r.Morning} {
		if !math.IsNaN(v) && !(v <= worst) {
			worst = v
		}
	}
	return worst
}

// PainRule is where the bands lie and whom they are for.
type PainRule struct {
	// GoUpTo is the upper end of the band in which work goes on. The sources
	// disagree: 2 (Thomee 1997, from memory) or 3 (as a secondary source quotes
	// Silbernagel 2007); the default is the careful one.
	GoUpTo   float64
	StopOver float64 // over this, no hand load
	Minor    bool    // under 18 or still growing
	Monday   int     // the number of any Monday: weeks are counted from there
}

// DefaultPainRule has the bands 0 to 2, over 2 to 5, over 5; monday is the
// number of any Monday in the caller's count of days.
func DefaultPainRule(minor bool, monday int) PainRule {
	return PainRule{GoUpTo: 2, StopOver: 5, Minor: minor, Monday: monday}
}

// Verdict is what pain allows.
type Verdict string

// Verdicts, mildest first.
const (
	Go           Verdict = "go"
	NoIncrease   Verdict = "no-increase"
	StopHandLoad Verdict = "stop-hand-load" // until the coach clears it
)

// PainReason is what in a report led to a verdict.
type PainReason string

// Reasons of a verdict.
const (
	AboveGo      PainReason = "above-go"      // over GoUpTo, and nothing that stops
	OverLimit    PainReason = "over-limit"    // over StopOver
	NotSettled   PainReason = "not-settled"   // next morning above the level before and above GoUpTo
	NightPain    PainReason = "night-pain"    // pain at night
	Numb         PainReason = "numbness"      // numbness
	Swollen      PainReason = "swelling"      // swelling
	RisingWeeks  PainReason = "rising-weeks"  // the week's worst rose twice running
	MinorMorning PainReason = "minor-morning" // a minor's wrist hurt next morning
)

// Evidence is one report's part in a verdict.
type Evidence struct {
	Day    int
	Reason PainReason
	Level  float64 // the worst level of that report, 0 to 10, NaN where only a flag was told
}

// Pain is the verdict with its reasons.
type Pain struct {
	Verdict  Verdict
	Since    int        // first day of the evidence; 0 with Go
	Evidence []Evidence // by day
	// Ask lists the days whose next morning was not told and matters.
	Ask []int
	// Refer: a clinician should look before the coach clears it: night pain,
	// numbness, swelling, or a minor's wrist.
	Refer bool
}

// recentDays is how long a report in the middle band holds the load level.
const recentDays = 7

// Judge applies the pain rule to everything reported up to today, reports of no
// pain included; their order does not matter. A report before cleared was seen by the coach
// when they cleared the last stop (nil: nothing was cleared): it stops nothing
// any more, but its week may still not be followed by a bigger one. A report of
// the clearing day itself counts: nobody knows which came first.
//
// A stop does not lapse. No increase lasts while a report over GoUpTo is less
// than seven days old or is the latest there is.
//
// After Silbernagel KG et al. (2007) Am J Sports Med 35(6):897-906, which is
// about Achilles tendons: for wrists it is common practice, no source. That
// pain in the middle band which has not settled by next morning is a stop is
// our reading of "only if back to baseline by next morning".
func Judge(reports []Report, today int, cleared *int, rule PainRule) Pain {
	rule.mustBeSound()
	reports = slices.Clone(reports)
	slices.SortStableFunc(reports, func(a, b Report) int { return cmp.Compare(a.Day, b.Day) })
	for _, r := range reports {
		r.mustBeSound(today)
	}
	stops := rule.stops(reports)
	if cleared != nil {
		stops = slices.DeleteFunc(stops, func(e Evidence) bool { return e.Day < *cleared })
	}
	if p := (Pain{Verdict: StopHandLoad, Evidence: stops}); len(stops) > 0 {
		p.Since = stops[0].Day
		p.Refer = slices.ContainsFunc(stops, func(e Evidence) bool { return e.Reason.refers() })
		return p
	}
	return rule.middle(reports, today)
}

func (r PainReason) refers() bool {
	return r == NightPain || r == Numb || r == Swollen || r == MinorMorning
}

// stops is all evidence for a stop, by day.
func (p PainRule) stops(reports []Report) (es []Evidence) {
	for _, r := range reports {
		for _, sign := range []struct {
			seen   bool
			reason PainReason
		}{
			{r.worst() > p.StopOver, OverLimit},
			{r.Night, NightPain},
			{r.Numbness, Numb},
			{r.Swelling, Swollen},
			{p.Minor && r.Wrist && r.Morning > 0, MinorMorning},
			{p.unsettled(r), NotSettled},
		} {
			if sign.seen {
				es = append(es, Evidence{Day: r.Day, Reason: sign.reason, Level: r.worst()})
			}
		}
	}
	es = append(es, p.rising(reports)...)
	slices.SortStableFunc(es, func(a, b Evidence) int { return cmp.Compare(a.Day, b.Day) })
	return es
}

func (p PainRule) unsettled(r Report) bool {
	baseline := p.GoUpTo
	if r.Before > baseline {
		baseline = r.Before
	}
	return r.Morning > baseline
}

// rising finds the weeks whose worst level is at least a point over the week
// before, which itself was at least a point over the one before that. A week
// without a report breaks the run.
func (p PainRule) rising(reports []Report) (es []Evidence) {
	worst := map[int]float64{}
	told := map[int]bool{}
	for _, r := range reports {
		week, level := p.week(r.Day), r.worst()
		if math.IsNaN(level) {
			continue
		}
		before, ok := worst[week-1]
		earlier, ok2 := worst[week-2]
		if ok && ok2 && before >= earlier+1 && level >= before+1 && !told[week] {
			told[week] = true
			es = append(es, Evidence{Day: r.Day, Reason: RisingWeeks, Level: level})
		}
		if known, seen := worst[week]; !seen || level > known {
			worst[week] = level
		}
	}
	return es
}

func (p PainRule) week(day int) int {
	return int(math.Floor(float64(day-p.Monday) / 7))
}

// middle is the verdict where nothing stops.
func (p PainRule) middle(reports []Report, today int) Pain {
	out := Pain{Verdict: Go}
	told := slices.DeleteFunc(reports, func(r Report) bool { return math.IsNaN(r.worst()) })
	for i, r := range told {
		current := today-r.Day < recentDays || i == len(told)-1
		if !current || r.worst() <= p.GoUpTo {
			continue
		}
		out.Evidence = append(out.Evidence, Evidence{Day: r.Day, Reason: AboveGo, Level: r.worst()})
		if math.IsNaN(r.Morning) {
			out.Ask = append(out.Ask, r.Day)
		}
	}
	if len(out.Evidence) > 0 {
		out.Verdict, out.Since = NoIncrease, out.Evidence[0].Day
	}
	return out
}

func (p PainRule) mustBeSound() {
	if !(p.GoUpTo >= 0 && p.GoUpTo <= p.StopOver && p.StopOver <= 10) {
		panic("load: the bands of pain run upwards between 0 and 10")
	}
}

func (r Report) mustBeSound(today int) {
	if r.Day > today {
		panic("load: a report of pain lies after today")
	}
	for _, v := range []float64{r.Before, r.During, r.Morning} {
		if v < 0 || v > 10 {
			panic("load: pain is 0 to 10, or NaN where it was not told")
		}
	}
}
