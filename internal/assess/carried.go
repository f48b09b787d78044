package assess

import (
	"math"
	"slices"

	"aplomb/internal/load"
	"aplomb/internal/practice"
)

// carried is the load up to the day AsOf and what pain allows.
func carried(s *Subject, ix index, items []item, clock Clock) Load {
	pain, sites := judgePain(s, clock)
	l := Load{Pain: pain.Verdict, Refer: pain.Refer, PainWhy: []PainEvidence{}, AskMorning: []practice.Date{}, PainSites: sites}
	if pain.Verdict != load.Go {
		since := practice.Date(pain.Since)
		l.PainSince = &since
	}
	for _, e := range pain.Evidence {
		why := PainEvidence{Day: practice.Date(e.Day), Reason: e.Reason}
		if !math.IsNaN(e.Level) {
			why.Level = &e.Level
		}
		l.PainWhy = append(l.PainWhy, why)
	}
	for _, day := range pain.Ask {
		l.AskMorning = append(l.AskMorning, practice.Date(day))
	}
	hand := handMinutes(s, ix, items, clock)
	step := load.NextWeek(wholeWeeks(hand, s.AsOf), load.DefaultStepRule(), pain.Verdict)
	l.UsualHandMinutes, l.Ceiling, l.Reason = round1(step.Usual), math.Floor(2*step.Ceiling)/2, step.Reason
	if n := len(step.Recent); n > 0 {
		l.WeekHandMinutes = round1(step.Recent[n-1])
	}
	l.sessions(s, clock)
	return l
}

// sessions fills the session loads, from sessions with minutes and effort.
func (l *Load) sessions(s *Subject, clock Clock) {
	daily := daily{}
	for i := range s.Log.Sessions {
		row := &s.Log.Sessions[i]
		if day := clock(row.At); day <= s.AsOf && row.Minutes.Known && row.Effort.Known {
			daily[day] += load.Session(row.Effort.Value, row.Minutes.Value)
		}
	}
	series := daily.series(s.AsOf)
	averages, err := load.Average(series)
	if err != nil {
		return
	}
	acute, chronic := round1(averages.Acute), round1(averages.Chronic)
	l.ThisWeek, l.Usually = &acute, &chronic
	if even, err := load.Monotony(series[max(0, len(series)-7):], load.Sample); err == nil {
		m := round1(even.Monotony)
		l.Monotony = &m
	}
}

func round1(v float64) float64 { return math.Round(10*v) / 10 }

// daily is an amount a day.
type daily map[practice.Date]float64

// series is one value a day from the first day there is up to the last given.
func (d daily) series(last practice.Date) []float64 {
	if len(d) == 0 {
		return nil
	}
	first := last
	for day := range d {
		first = min(first, day)
	}
	out := make([]float64, last-first+1)
	for day, v := range d {
		out[day-first] = v
	}
	return out
}

// wholeWeeks sums days into the ISO weeks that are over, oldest first.
func wholeWeeks(d daily, asOf practice.Date) []float64 {
	var weeks []float64
	if len(d) == 0 {
		return nil
	}
	first := asOf
	for day := range d {
		first = min(first, day)
	}
	first -= practice.Date(first.Weekday())
	end := asOf + 1 - practice.Date((asOf + 1).Weekday()) // the Monday after the last whole week
	for monday := first; monday < end; monday += 7 {
		sum := 0.0
		for day := monday; day < monday+7; day++ {
			sum += d[day]
		}
		weeks = append(weeks, sum)
	}
	return weeks
}

// handMinutes is the minutes of weight on the hands a day: what was logged, or
// what the handed-over week planned for a session that was done, if that is
// more, since nobody logs every set.
func handMinutes(s *Subject, ix index, items []item, clock Clock) daily {
	logged := daily{}
	for i := range items {
		if m := rowHandMinutes(s.Library, &items[i]); m > 0 {
			logged[items[i].day] += m
		}
	}
	for i := range s.Log.Sessions {
		row := &s.Log.Sessions[i]
		day := clock(row.At)
		if day > s.AsOf || row.Week == "" {
			continue
		}
		if planned := plannedHandMinutes(s.Log.Weeks, row, day); planned > logged[day] {
			logged[day] = planned
		}
	}
	return logged
}

// rowHandMinutes is the hand-loading minutes of one row: seconds held where
// they are known, else the drill's minutes for so many reps.
func rowHandMinutes(lib *practice.Library, it *item) float64 {
	if it.drill < 0 || lib.Drills[it.drill].HandMinutes == 0 {
		return 0
	}
	d := &lib.Drills[it.drill]
	perRep := d.HandMinutes / float64(max(1, d.Reps))
	if it.tally != nil {
		return perRep * float64(it.tally.Tries)
	}
	if it.attempt.Seconds.Known && d.Measure == practice.HoldFor {
		return it.attempt.Seconds.Value / 60
	}
	return perRep
}

// plannedHandMinutes is what the week a session names had planned for its day,
// in the share of the minutes that were done.
func plannedHandMinutes(weeks []practice.Week, row *practice.Session, day practice.Date) float64 {
	for i := len(weeks) - 1; i >= 0; i-- {
		w := &weeks[i]
		if w.ISOWeek.String() != row.Week {
			continue
		}
		for _, session := range w.Sessions {
			if session.Day != day.Weekday() {
				continue
			}
			sum := 0.0
			for _, b := range session.Blocks {
				for _, it := range b.Items {
					sum += it.HandMinutes
				}
			}
			if row.Minutes.Known && session.Minutes > 0 {
				sum *= min(1, row.Minutes.Value/session.Minutes)
			}
			return sum
		}
		return 0
	}
	return 0
}

// judgePain applies the pain rule to what the sessions report, each part of the
// body by itself: a sore shoulder after a sore wrist is not getting worse. The
// answer is the gravest verdict with the evidence that led to it.
func judgePain(s *Subject, clock Clock) (worst load.Pain, sites []string) {
	rule := load.DefaultPainRule(s.Student.Minor(s.AsOf), int(practice.DateOf(1970, 1, 5)))
	cleared := clearedOn(s.Student, s.AsOf)
	worst = load.Judge(nil, int(s.AsOf), cleared, rule)
	for _, site := range painSites(s.Log) {
		p := load.Judge(painReports(s, clock, site), int(s.AsOf), cleared, rule)
		switch {
		case gravity(p.Verdict) > gravity(worst.Verdict):
			worst, sites = p, []string{site}
		case p.Verdict == worst.Verdict && p.Verdict != load.Go:
			worst.Since = min(worst.Since, p.Since)
			worst.Evidence = append(worst.Evidence, p.Evidence...)
			worst.Ask = append(worst.Ask, p.Ask...)
			worst.Refer = worst.Refer || p.Refer
			sites = append(sites, site)
		}
	}
	return worst, sites
}

func gravity(v load.Verdict) int {
	return slices.Index([]load.Verdict{load.Go, load.NoIncrease, load.StopHandLoad}, v)
}

// painSites are the sites reported with pain, in order; one nobody named is
// empty.
func painSites(log *practice.Log) (sites []string) {
	for i := range log.Sessions {
		if row := &log.Sessions[i]; hurt(row) && !slices.Contains(sites, row.PainSite) {
			sites = append(sites, row.PainSite)
		}
	}
	return sites
}

func hurt(row *practice.Session) bool {
	return row.PainBefore.Or(0) > 0 || row.Pain.Or(0) > 0 || row.PainMorning.Or(0) > 0 || row.Numb.Or(false) || row.Swollen.Or(false)
}

// painReports are the reports of one site, with those without pain.
func painReports(s *Subject, clock Clock, site string) (reports []load.Report) {
	for i := range s.Log.Sessions {
		row := &s.Log.Sessions[i]
		day := clock(row.At)
		told := row.PainBefore.Known || row.Pain.Known || row.PainMorning.Known || row.Numb.Known || row.Swollen.Known
		if day > s.AsOf || !told || hurt(row) && row.PainSite != site {
			continue
		}
		reports = append(reports, load.Report{Day: int(day), Wrist: site == "wrist", Before: row.PainBefore.Or(math.NaN()),
			During: row.Pain.Or(math.NaN()), Morning: row.PainMorning.Or(math.NaN()), Numbness: row.Numb.Or(false), Swelling: row.Swollen.Or(false)})
	}
	return reports
}

// clearedOn is the last day on which a stop of hand load was cleared.
func clearedOn(student practice.Student, asOf practice.Date) *int {
	var last *int
	for _, stop := range student.Stops {
		if stop.ClearedOn == nil || *stop.ClearedOn > asOf || !slices.Contains(stop.No, practice.HandLoad) {
			continue
		}
		if day := int(*stop.ClearedOn); last == nil || day > *last {
			last = &day
		}
	}
	return last
}

// stopsFor lists what is ruled out in the week to come, with where it comes from.
func stopsFor(s *Subject, l *Load) []StopNow {
	out := []StopNow{}
	monday, sunday := s.nextWeek()
	for day := monday; day <= sunday; day++ {
		for _, stop := range s.Student.Stops {
			if stop.In(day) {
				out = addStops(out, stop.No, StopNow{Since: stop.Since, Source: SourceStop})
			}
		}
		for _, r := range s.Student.Restrictions {
			if r.In(day) {
				out = addStops(out, r.No, StopNow{Since: r.Since, Source: SourceRestriction, Site: r.Site})
			}
		}
	}
	if l.Pain == load.StopHandLoad {
		for _, site := range l.PainSites {
			out = addStops(out, []practice.Strain{practice.HandLoad}, StopNow{Since: *l.PainSince, Source: SourcePain, Site: site})
		}
	}
	return out
}

// addStops adds the strains that are not there yet from the same source.
func addStops(out []StopNow, no []practice.Strain, with StopNow) []StopNow {
	for _, strain := range no {
		with.No = strain
		if !slices.Contains(out, with) {
			out = append(out, with)
		}
	}
	return out
}
