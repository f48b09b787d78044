package assess

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"aplomb/internal/holds"
	"aplomb/internal/practice"
)

// tries sums the rows that count up for package holds.
func triesOf(lib *practice.Library, items []item, keep func(*item) bool) holds.Tries {
	var t holds.Tries
	for i := range items {
		it := &items[i]
		if !isHold(lib, it) || !keep(it) {
			continue
		}
		if it.tally != nil {
			addTally(&t, it.tally)
		} else {
			addAttempt(&t, it.attempt)
		}
	}
	return t
}

func addAttempt(t *holds.Tries, a *practice.Attempt) {
	o := outcomeOf(a)
	switch {
	case o.excluded:
		t.Excluded++
	case o.catchKnown:
		t.Attempts++
		if o.caught {
			t.Caught++
		}
		if o.held {
			t.Holds = append(t.Holds, holds.Hold{Seconds: o.seconds, Half: o.half, Fell: o.fell})
		}
	}
}

// addTally adds a counted set of free tries; of other drills a tally counts
// passes by the drill's own criterion, which are not catches.
func addTally(t *holds.Tries, row *practice.Tally) {
	if !practice.FreeTry(row.Drill) || !row.Caught.Known {
		return
	}
	t.Attempts += row.Tries
	t.Caught += row.Caught.Value
	if best := row.Best.Or(0); best >= practice.CatchS {
		second := row.SecondBest.Or(0)
		if second < practice.CatchS {
			second = 0
		}
		t.Tallies = append(t.Tallies, holds.Tally{Caught: row.Caught.Value, Best: best, Second: second, Half: halfWidth(best, row.Timed)})
	}
}

// recentHolds is the catch rate and the median of the last WindowDays, holds
// in the open only.
func recentHolds(lib *practice.Library, items []item, asOf practice.Date) Holds {
	t := triesOf(lib, items, func(it *item) bool {
		return it.day > asOf-WindowDays && supportOf(lib, it) == practice.Open
	})
	h := Holds{WindowDays: WindowDays, Attempts: t.Attempts, Caught: t.Caught, Excluded: t.Excluded, Ends: map[practice.End]int{}}
	for i := range items {
		if a := items[i].attempt; a != nil && a.End != "" && items[i].day > asOf-WindowDays && isHold(lib, &items[i]) && supportOf(lib, &items[i]) == practice.Open {
			h.Ends[a.End]++
		}
	}
	if share, err := t.Catch(holds.Wilson, ScreenLevel); err == nil {
		h.Catch = &Chance{P: share.P, Lo: share.Lo, Hi: share.Hi, Level: share.Level, Method: string(share.Method)}
	}
	curve, err := holds.KaplanMeier(t.Holds, holds.LogLog, ScreenLevel)
	if err != nil {
		return h
	}
	h.Falls, h.Censored = curve.Falls, curve.Censored
	q := curve.Quantile(0.5)
	h.Median = &Duration{Seconds: Finite(q.Seconds), Lo: Finite(q.Lo), Hi: Finite(q.Hi),
		Level: q.Level, Method: "kaplan-meier " + string(q.Band), Holds: q.N}
	return h
}

// Finite is v, or nil where it is not a number a file can hold.
func Finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// By is what a bare file of attempts may be grouped by.
type By string

// Groupings of a bare file.
const (
	ByNone    By = ""
	ByStudent By = "student"
	ByMonth   By = "month"
	BySupport By = "support"
	BySurface By = "surface"
)

// Group is the attempts of one group of a bare file.
type Group struct {
	Name  string
	Tries holds.Tries
	// Students is the cold free tries of each student, for what is proven.
	Cold []ColdTries
	// Unknown is rows of drills the library does not have: they are not counted.
	Unknown int
}

// ColdTries is one student's cold tries in order of time.
type ColdTries struct {
	Student  string
	Attempts []*practice.Attempt
	Days     []practice.Date
}

// Groups sorts a bare file's attempts into groups. Days are those the clock of
// each row showed. Only holds in the open count, unless the groups are
// supports.
func Groups(lib *practice.Library, attempts []practice.Attempt, by By) []Group {
	ix := indexDrills(lib)
	logs, order := byStudent(attempts)
	groups := map[string]*Group{}
	var names []string
	group := func(name string) *Group {
		if groups[name] == nil {
			groups[name] = &Group{Name: name}
			names = append(names, name)
		}
		return groups[name]
	}
	for _, student := range order {
		items := timeline(lib, ix, logs[student], math.MaxInt32, practice.Instant.Date)
		for i := range items {
			addBare(lib, &items[i], by, group)
		}
	}
	if by != ByStudent {
		slices.Sort(names)
	}
	out := make([]Group, len(names))
	for i, name := range names {
		out[i] = *groups[name]
	}
	return out
}

func byStudent(attempts []practice.Attempt) (map[string]*practice.Log, []string) {
	logs, order := map[string]*practice.Log{}, []string{}
	for i := range attempts {
		log := logs[attempts[i].Student]
		if log == nil {
			log = &practice.Log{}
			logs[attempts[i].Student] = log
			order = append(order, attempts[i].Student)
		}
		log.Attempts = append(log.Attempts, attempts[i])
	}
	for _, log := range logs {
		log.Sort()
	}
	return logs, order
}

func addBare(lib *practice.Library, it *item, by By, group func(string) *Group) {
	a := it.attempt
	support := supportOf(lib, it)
	if it.drill < 0 && !practice.FreeTry(a.Drill) {
		group(nameOf(it, by, support)).Unknown++
		return
	}
	if !isHold(lib, it) || by != BySupport && support != practice.Open {
		return
	}
	g := group(nameOf(it, by, support))
	addAttempt(&g.Tries, a)
	if !it.cold {
		return
	}
	if n := len(g.Cold); n == 0 || g.Cold[n-1].Student != a.Student {
		g.Cold = append(g.Cold, ColdTries{Student: a.Student})
	}
	c := &g.Cold[len(g.Cold)-1]
	c.Attempts = append(c.Attempts, a)
	c.Days = append(c.Days, it.day)
}

func nameOf(it *item, by By, support practice.Support) string {
	switch by {
	case ByStudent:
		return it.attempt.Student
	case ByMonth:
		return strings.Join(strings.SplitN(it.day.String(), "-", 3)[:2], "-")
	case BySupport:
		return cmp.Or(string(support), "unknown")
	case BySurface:
		return cmp.Or(string(it.attempt.Surface), "floor")
	}
	return ""
}
