package week

import "strconv"

// dropped is a set of named groups of rules, left out of a model.
type dropped map[string]bool

// The named groups, in the order in which they are tried; each lock comes
// after them as "lock #1", "lock #2"... in file order.
const (
	sessionTime      = "session time"
	handPerSession   = "hand load per session"
	handPerWeek      = "hand load per week"
	drillsPerSession = "drills per session"
	drillsPerWeek    = "drills per week"
	strengthShare    = "strength share"
	mix              = "easy/challenge mix"
	setsPerWeek      = "minimum sets per week"
	shortSessions    = "short sessions"
	bans             = "bans"
)

func lockName(i int) string { return "lock #" + strconv.Itoa(i+1) }

// groupNames lists the groups of a problem in their order.
func (p *Problem) groupNames() []string {
	names := []string{sessionTime, handPerSession, handPerWeek, drillsPerSession, drillsPerWeek,
		strengthShare, mix, setsPerWeek, shortSessions, bans}
	for i := range p.Locks {
		names = append(names, lockName(i))
	}
	return names
}

// Conflict explains a problem without a week: the names of groups of rules
// that cannot all be kept, none of which can be left out of the list. It is a
// deletion filter in the order of the groups: one after the other is dropped
// for good if there is still no week without it. Proved is false if a step ran
// out of time; its group is then kept, and the list may be longer than needed.
// A problem that has a week gives an empty list.
func Conflict(p Problem, o Options) (names []string, proved bool, err error) {
	if err := p.Validate(); err != nil {
		return nil, false, err
	}
	without := dropped{}
	names = []string{}
	possible, proved := feasible(&p, without, o)
	if possible || !proved {
		return names, proved, nil
	}
	for _, name := range p.groupNames() {
		without[name] = true
		possible, sure := feasible(&p, without, o)
		if possible || !sure {
			names = append(names, name)
			delete(without, name)
		}
		proved = proved && (possible || sure)
	}
	return names, proved, nil
}

// feasible says whether any week keeps the other rules: the search for the
// best ends with the first one found.
func feasible(p *Problem, without dropped, o Options) (possible, sure bool) {
	late, _ := o.watch()
	s := newSearch(compile(p, without), late)
	s.enough = true
	s.run()
	return s.found, s.found || !s.stopped
}
