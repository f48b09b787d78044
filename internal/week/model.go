package week

import (
	"cmp"
	"math"
	"slices"
)

// A model is a problem made ready for the search: every drill becomes its
// parts (the drill at one dose and a number of short sessions), every rule a
// row of integers over parts. Gains are folded (see fold).
type model struct {
	p        *Problem
	without  dropped // rules left out
	limit    int     // most drills a week can have
	fold     int64   // weight of one unit of gain
	lengths  []length
	groups   []group
	parts    []part
	byEffort []int32 // parts, each group's in its place, least effort first
	rows     []row
	use      []int32 // use[i*len(rows)+r]: what part i takes of row r
	overlap  []int64 // overlap[a*profiles+b]: massing lost when two dose profiles meet
	doses    [][]int // dose profiles: sets by length
	banned   []bool
	lock     []int // -1: none; 0: any dose; else the main dose
	twin     []int // the drill this one is a copy of, or -1
	floor    int64 // no week is worth less (folded)
}

// length is a distinct length of long session: all sessions of one length
// have the same doses, so one pair of rows serves them.
type length struct {
	minutes, hand HalfMinutes // hand: the tightest limit among them
	count         int
}

// part is one drill at main dose k in y short sessions.
type part struct {
	drill   int32
	profile int32
	k, y    int16
	effort  int64 // on its own, in 1e-4 sets
	gain    int64 // folded, effort apart
}

// group is one component: a range of parts and the worth of effort.
type group struct {
	component int
	lo, hi    int
	need, tau float64
	table     []int32 // gain of 0, 1, 2... hundredths of a set
	concave   bool    // gains of two parts together never exceed their sum (but for rounding)
}

// row is one rule: the use of all parts sums to at most rhs. Only a soft row
// may be exceeded, at a cost in folded gain for each unit.
type row struct {
	rhs    int64
	soft   bool
	cost   int64
	signed bool // parts may use it negatively
}

// folded gain: gain*fold - drills*(limit+1) + drills of last week, so that
// the first two tie-breaks are part of the objective.
func (m *model) folded(gain, drills, lastWeek int64) int64 {
	return gain*m.fold - drills*int64(m.limit+1) + lastWeek
}

// gain takes the tie-breaks off a folded gain again.
func (m *model) gain(folded int64) int {
	return int(-floorDiv(-folded, m.fold))
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// compile makes the model of p without the named groups of rules.
func compile(p *Problem, without dropped) *model {
	m := &model{p: p, without: without}
	components := map[string]int{}
	for i, c := range p.Components {
		components[c.Name] = i
	}
	m.wishes()
	m.limit = 2 * len(p.Components)
	if !without[drillsPerWeek] {
		m.limit = min(m.limit, p.MaxDrills)
	}
	if !without[drillsPerSession] {
		m.limit = min(m.limit, p.MaxDrillsLong)
	}
	m.fold = int64(m.limit+1) * int64(m.limit+1)
	m.measure()
	m.findTwins()
	rules := m.rules()
	for _, r := range rules {
		m.rows = append(m.rows, r.row)
	}
	m.reserve(len(rules))
	for i := range p.Components {
		lo := len(m.parts)
		for d := range p.Drills {
			if components[p.Drills[d].Component] == i && !m.banned[d] {
				m.addDrill(int32(d), rules)
			}
		}
		if len(m.parts) > lo {
			m.groups = append(m.groups, group{component: i, lo: lo, hi: len(m.parts)})
		}
	}
	m.overlaps()
	for i := range m.groups {
		m.tabulate(&m.groups[i])
	}
	m.sortByEffort()
	m.setFloor()
	return m
}

func (m *model) wishes() {
	n := len(m.p.Drills)
	position := make(map[string]int, n)
	for i, d := range m.p.Drills {
		position[d.ID] = i
	}
	m.banned, m.lock = make([]bool, n), make([]int, n)
	for i := range m.lock {
		m.lock[i] = -1
	}
	if !m.without[bans] {
		for _, id := range m.p.Bans {
			m.banned[position[id]] = true
		}
	}
	for i, l := range m.p.Locks {
		if !m.without[lockName(i)] {
			m.lock[position[l.Drill]] = l.Sets
		}
	}
}

// measure collects the distinct lengths of the long sessions, longest first.
func (m *model) measure() {
	for _, s := range m.p.Long {
		i := slices.IndexFunc(m.lengths, func(l length) bool { return l.minutes == s.Minutes })
		if i < 0 {
			m.lengths = append(m.lengths, length{minutes: s.Minutes, hand: s.Hand})
			i = len(m.lengths) - 1
		}
		m.lengths[i].hand = min(m.lengths[i].hand, s.Hand)
		m.lengths[i].count++
	}
	slices.SortFunc(m.lengths, func(a, b length) int { return int(b.minutes - a.minutes) })
}

// dose is the number of sets in a long session of length l.
func (m *model) dose(d *Drill, k int, l length) int {
	longest := int(m.lengths[0].minutes)
	return max(d.MinSets, (2*k*int(l.minutes)+longest)/(2*longest))
}

// massed is the worth of n sets in one session, in hundredths of a set.
func (m *model) massed(n int) int64 {
	return int64(m.p.Massing[min(n, len(m.p.Massing)-1)])
}

// profile finds or adds the dose profile of d at main dose k.
func (m *model) profile(d *Drill, k int) int32 {
	sets := make([]int, len(m.lengths))
	for i, l := range m.lengths {
		sets[i] = m.dose(d, k, l)
	}
	for i, have := range m.doses {
		if slices.Equal(have, sets) {
			return int32(i)
		}
	}
	m.doses = append(m.doses, sets)
	return int32(len(m.doses) - 1)
}

// reserve makes room for all parts there can be.
func (m *model) reserve(rows int) {
	n := 0
	for i := range m.p.Drills {
		if d := &m.p.Drills[i]; !m.banned[i] {
			n += (d.MaxSets - d.MinSets + 1) * (1 + m.shortsFor(d))
		}
	}
	m.parts, m.use = make([]part, 0, n), make([]int32, 0, n*rows+rows)
}

// addDrill adds the parts of a drill that no rule alone forbids.
func (m *model) addDrill(di int32, rules []rule) {
	d := &m.p.Drills[di]
	lo, hi := d.MinSets, d.MaxSets
	if m.lock[di] > 0 {
		lo, hi = m.lock[di], m.lock[di]
	}
	shorts := m.shortsFor(d)
	for k := lo; k <= hi; k++ {
		profile := m.profile(d, k)
		for y := 0; y <= shorts; y++ {
			m.addPart(part{drill: di, profile: profile, k: int16(k), y: int16(y)}, d, rules)
		}
	}
}

func (m *model) addPart(t part, d *Drill, rules []rule) {
	inLong := 0
	for i, sets := range m.doses[t.profile] {
		inLong += sets * m.lengths[i].count
		t.effort += int64(m.lengths[i].count) * m.massed(sets) * int64(d.Value)
	}
	n := inLong + int(t.y)*d.MinSets
	if n < d.WeekSets && !m.without[setsPerWeek] {
		return
	}
	t.effort += int64(t.y) * m.massed(d.MinSets) * int64(d.Value)
	gain, last := int64(n*d.Bonus-m.p.DrillCost), int64(0)
	if d.LastWeek {
		gain += int64(m.p.ContinuityBonus)
		last = 1
	}
	t.gain = m.folded(gain, 1, last)
	at := len(m.use)
	for _, r := range rules {
		use := r.use(&t, d, m.doses[t.profile], inLong)
		if !r.signed && use > r.rhs {
			m.use = m.use[:at]
			return
		}
		m.use = append(m.use, int32(use))
	}
	m.parts = append(m.parts, t)
}

// overlaps tabulates the effort, per hundredth of value, that the less
// valuable of two drills loses by coming after the other.
func (m *model) overlaps() {
	n := len(m.doses)
	m.overlap = make([]int64, n*n)
	for a := range m.doses {
		for b := range m.doses {
			for i, l := range m.lengths {
				x, y := m.doses[a][i], m.doses[b][i]
				m.overlap[a*n+b] += int64(l.count) * (m.massed(x) + m.massed(y) - m.massed(x+y))
			}
		}
	}
}

// effort of two parts of a component together.
func (m *model) effort(a, b *part) int64 {
	lost := m.overlap[int(a.profile)*len(m.doses)+int(b.profile)]
	return a.effort + b.effort - lost*int64(min(m.p.Drills[a.drill].Value, m.p.Drills[b.drill].Value))
}

const tableLimit = 1 << 13

// tabulate fills the worth of effort up to what two drills can reach, or as
// far as the table may go.
func (m *model) tabulate(g *group) {
	c := m.p.Components[g.component]
	g.need, g.tau = c.Need, c.Tau
	most := int64(0)
	for _, t := range m.parts[g.lo:g.hi] {
		most = max(most, t.effort)
	}
	g.concave = true
	for _, lost := range m.overlap {
		g.concave = g.concave && lost >= 0
	}
	n := min(2*most/100+1, tableLimit)
	g.table = make([]int32, n)
	for i := range g.table {
		g.table[i] = int32(g.worth(int64(i)))
	}
}

// worth is the gain of an effort given in hundredths of a set.
func (g *group) worth(hundredths int64) int64 {
	met := 1e4 * g.need * (1 - math.Exp(-float64(hundredths)/100/g.tau))
	return int64(math.Floor(float64(met) + 0.5))
}

// met is the folded gain of an effort in 1e-4 sets.
func (m *model) met(g *group, effort int64) int64 {
	if i := effort / 100; i < int64(len(g.table)) {
		return m.fold * int64(g.table[i])
	}
	return m.fold * g.worth(effort/100)
}

func (m *model) sortByEffort() {
	for i := range m.parts {
		m.byEffort = append(m.byEffort, int32(i))
	}
	for _, g := range m.groups {
		slices.SortStableFunc(m.byEffort[g.lo:g.hi], func(a, b int32) int {
			return cmp.Compare(m.parts[a].effort, m.parts[b].effort)
		})
	}
}

// findTwins marks drills that equal an earlier one in every figure. The
// tie-break takes the earlier first, so a twin is used only beside it, and a
// third of a kind never: two drills of a component are the most.
func (m *model) findTwins() {
	m.twin = make([]int, len(m.p.Drills))
	first := make(map[Drill]int, len(m.p.Drills))
	used := make(map[Drill]bool)
	for i, d := range m.p.Drills {
		m.twin[i] = -1
		if m.banned[i] || m.lock[i] >= 0 {
			continue
		}
		d.ID = ""
		if earlier, seen := first[d]; !seen {
			first[d] = i
		} else if !used[d] {
			m.twin[i], used[d] = earlier, true
		} else {
			m.banned[i] = true
		}
	}
}

// setFloor bounds any week from below, so that "no week" is a value under it.
func (m *model) setFloor() {
	for _, g := range m.groups {
		least := int64(0)
		for i := g.lo; i < g.hi; i++ {
			least = min(least, m.parts[i].gain)
		}
		m.floor += 2 * least
		for r, row := range m.rows {
			if row.soft {
				m.floor -= 2 * row.cost * m.mostUse(g, r)
			}
		}
	}
	m.floor--
}

// mostUse is the most a part of g takes of row r, or gives to it.
func (m *model) mostUse(g group, r int) (most int64) {
	for i := g.lo; i < g.hi; i++ {
		u := int64(m.use[i*len(m.rows)+r])
		most = max(most, u, -u)
	}
	return most
}
