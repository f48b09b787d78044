package rehearse

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/learner"
	"aplomb/internal/practice"
)

// flaw is one flaw of a log by name.
type flaw struct {
	name string
	of   func(*learner.Flaws) *float64
}

var flaws = []flaw{
	{"missed", func(f *learner.Flaws) *float64 { return &f.Missed }},
	{"forgotten", func(f *learner.Flaws) *float64 { return &f.Forgotten }},
	{"whole-seconds", func(f *learner.Flaws) *float64 { return &f.WholeS }},
	{"fives", func(f *learner.Flaws) *float64 { return &f.FiveS }},
	{"best-only", func(f *learner.Flaws) *float64 { return &f.BestOnly }},
	{"warm-as-cold", func(f *learner.Flaws) *float64 { return &f.WarmAsCold }},
	{"ill", func(f *learner.Flaws) *float64 { return &f.Ill }},
	{"quit", func(f *learner.Flaws) *float64 { return &f.Quit }},
}

// FlawNames are the flaws a log may have, each with a rate of 0 to 1.
func FlawNames() (names []string) {
	for _, f := range flaws {
		names = append(names, f.name)
	}
	return names
}

// ErrFlaw is a flaw that is not name=rate.
var ErrFlaw = errors.New("rehearse: not a flaw with a rate of 0 to 1")

// ParseFlaws reads flaws such as best-only=0.3.
func ParseFlaws(given []string) (out learner.Flaws, err error) {
	for _, g := range given {
		name, value, _ := strings.Cut(g, "=")
		rate, err := strconv.ParseFloat(value, 64)
		i := slices.IndexFunc(flaws, func(f flaw) bool { return f.name == name })
		if i < 0 || err != nil || !(rate >= 0 && rate <= 1) {
			return out, fmt.Errorf("%w: %q", ErrFlaw, g)
		}
		*flaws[i].of(&out) = rate
	}
	if out.WholeS+out.FiveS > 1 {
		return out, fmt.Errorf("%w: whole-seconds and fives come to 1 at most", ErrFlaw)
	}
	return out, nil
}

// absent says whether the student does not come to a session of a week, for
// whatever reason.
func (c *course) absent(week int) bool {
	c.session++
	misses := c.rng.Float64() >= c.who.Adherence() // drawn first: no flaw may shift it
	return misses || c.flaws.HasQuit(c.seed, week) || c.flaws.IsIll(c.seed, week) || c.flaws.Misses(c.seed, c.session)
}

// hidden is the session as a student does it whose warm-up is not in the log: the
// cold tries come last, and nothing of what came before is written.
func hidden(s practice.PlannedSession) practice.PlannedSession {
	s.Blocks = slices.Clone(s.Blocks)
	slices.SortStableFunc(s.Blocks, func(a, b practice.Block) int { return late(a) - late(b) })
	return s
}

func late(b practice.Block) int {
	if b.Kind == practice.ColdBlock {
		return 1
	}
	return 0
}
