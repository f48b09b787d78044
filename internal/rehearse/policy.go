package rehearse

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/practice"
)

// Content is what a policy puts into the minutes it has.
type Content string

// Contents of a policy.
const (
	Planned     Content = "planner"      // the exact planner on the estimator's standing, with the floor tests it finds worth their minutes
	Battery     Content = "battery"      // the planner with a whole round of floor tests every fifth week instead
	Untested    Content = "untested"     // the planner without any floor test
	Randomised  Content = "randomised"   // the planner with a tenth of its drills drawn by chance
	Timetable   Content = "timetable"    // every component in turn, easy and hard in equal minutes, strength late
	Drawn       Content = "random"       // drills drawn by chance among those that may be begun
	BalanceOnly Content = "balance-only" // balance drills alone
	MaximalOnly Content = "maximal-only" // free tries alone, once a way out was shown
)

// Contents is the vocabulary of contents.
var Contents = []Content{Planned, Battery, Untested, Randomised, Timetable, Drawn, BalanceOnly, MaximalOnly}

// DefaultSchedule is three long and two short sessions, 150 minutes a week.
const DefaultSchedule = "3x40+2x15"

// Policy is a way to spend the minutes of a week.
type Policy struct {
	Name    string
	Content Content
	Slots   []practice.Slot
}

// aliases are policies with a name of their own.
var aliases = map[string]string{"once": "timetable@1x150", "daily-short": "timetable@7x21"}

// ParsePolicy reads a policy: a content, or one at a schedule such as
// timetable@5x30 (five sessions of thirty minutes) or planner@3x40+2x15; or
// once (timetable@1x150) or daily-short (timetable@7x21).
func ParsePolicy(s string) (Policy, error) {
	full := s
	if a, ok := aliases[s]; ok {
		full = a
	}
	content, schedule, given := strings.Cut(full, "@")
	if !given {
		schedule = DefaultSchedule
	}
	word, err := practice.Word(Contents, content)
	if err != nil {
		return Policy{}, err
	}
	slots, err := parseSchedule(schedule)
	return Policy{Name: s, Content: word, Slots: slots}, err
}

// ScheduleError is a schedule that cannot be read.
type ScheduleError struct{ Schedule string }

func (e *ScheduleError) Error() string {
	return fmt.Sprintf("rehearse: schedule %q is not sessions x minutes, such as 3x40+2x15", e.Schedule)
}

// spread is which days so many sessions fall on, as far apart as they go.
var spread = [8][]practice.Weekday{{}, {2}, {0, 3}, {0, 2, 4}, {0, 1, 3, 5}, {0, 1, 3, 4, 6}, {0, 1, 2, 4, 5, 6}, {0, 1, 2, 3, 4, 5, 6}}

// parseSchedule lays the sessions over the week, the long ones first and as far
// apart as they go.
func parseSchedule(s string) ([]practice.Slot, error) {
	var minutes []int
	for part := range strings.SplitSeq(s, "+") {
		times, each, ok := strings.Cut(part, "x")
		n, err := strconv.Atoi(times)
		m, err2 := strconv.Atoi(each)
		if !ok || err != nil || err2 != nil || n < 1 || n > 7 || m < 10 || m > 300 {
			return nil, &ScheduleError{s}
		}
		minutes = append(minutes, slices.Repeat([]int{m}, n)...)
	}
	if len(minutes) > 7 {
		return nil, &ScheduleError{s}
	}
	slices.SortStableFunc(minutes, func(a, b int) int { return b - a })
	long := 0
	for long < len(minutes) && minutes[long] == minutes[0] {
		long++
	}
	var slots []practice.Slot
	taken := map[practice.Weekday]bool{}
	for i, day := range spread[long] {
		slots = append(slots, practice.Slot{Day: day, Minutes: minutes[i]})
		taken[day] = true
	}
	for _, m := range minutes[long:] {
		day := freest(taken)
		slots = append(slots, practice.Slot{Day: day, Minutes: m})
		taken[day] = true
	}
	slices.SortFunc(slots, func(a, b practice.Slot) int { return int(a.Day - b.Day) })
	return slots, nil
}

// freest is the free day furthest from every taken one, the first of equals.
func freest(taken map[practice.Weekday]bool) (best practice.Weekday) {
	far := -1
	for day := practice.Weekday(0); day < 7; day++ {
		near := 7
		for t := range taken {
			d := (int(day-t) + 7) % 7
			near = min(near, d, 7-d)
		}
		if near > far && !taken[day] {
			far, best = near, day
		}
	}
	return best
}

// plans says whether the policy needs an estimate every week.
func (p Policy) plans() bool {
	return p.Content == Planned || p.Content == Battery || p.Content == Untested || p.Content == Randomised
}

// chooses says whether the planner decides on floor tests after those at intake.
func (p Policy) chooses() bool { return p.Content == Planned || p.Content == Randomised }

// tested says whether floor tests are taken.
func (p Policy) tested() bool { return p.Content != Untested }

// WithBattery is the policy with a battery of floor tests every fifth week where
// it chooses its own: a roster can be learned from only if its abilities are told
// apart from the difficulties of drills.
func (p Policy) WithBattery() Policy {
	if p.Content == Planned {
		p.Content = Battery
	}
	return p
}

// MinutesAWeek is what the policy has.
func (p Policy) MinutesAWeek() (sum int) {
	for _, s := range p.Slots {
		sum += s.Minutes
	}
	return sum
}

// sessions is what the policy prescribes for a week.
func (p Policy) sessions(c *course, w int) []practice.PlannedSession {
	switch p.Content {
	case Planned, Battery, Untested:
		return c.planned(w).Sessions
	case Randomised:
		week := c.planned(w)
		c.randomise(&week)
		return week.Sessions
	}
	return c.timetable(w)
}
