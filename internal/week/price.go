package week

import "math"

// A card is what one component does in the week: nothing, one part, or two
// parts of different drills.
type card struct {
	a, b int32 // parts, or -1
	gain int64 // folded
}

var noCard = card{a: -1, b: -1}

// scale: prices are multiples of 1/scale of a folded gain, and all bounds are
// integers in that unit.
const scale = 1024

// A domain says which parts of a drill a branch of the search still allows.
type domain struct {
	out, in            bool
	kLo, kHi, yLo, yHi int16
}

func (d *domain) allows(t *part) bool {
	return !d.out && d.kLo <= t.k && t.k <= d.kHi && d.yLo <= t.y && t.y <= d.yHi
}

// A pricer works out reduced gains, those of cards after paying the price of
// what they take of each row, exactly.
type pricer struct {
	m     *model
	dom   []domain
	must  []int   // by group: drills that the branch forces in
	price []int64 // by row, in 1/scale
	most  []int64 // by row: greatest price, so that no sum overflows
	net   []int64 // by part: gain less price, effort apart
	rc    []int64 // by part: reduced gain alone
	gone  []bool  // by part: in no week better than the best
	order []int32 // allowed parts of the group at hand, least effort first
	found []partner
}

func newPricer(m *model) *pricer {
	n := len(m.parts)
	p := &pricer{m: m, dom: make([]domain, len(m.p.Drills)), must: make([]int, len(m.groups)),
		price: make([]int64, len(m.rows)), net: make([]int64, n), rc: make([]int64, n), gone: make([]bool, n)}
	for i := range p.dom {
		p.dom[i] = domain{kHi: 1 << 14, yHi: 1 << 14}
	}
	for r, row := range m.rows {
		use := max(1, row.rhs)
		for _, g := range m.groups {
			use = max(use, m.mostUse(g, r))
		}
		p.most = append(p.most, (1<<48)/use)
		if row.soft {
			p.most[r] = min(p.most[r], row.cost*scale)
		}
	}
	return p
}

// groupOf finds the group of a drill's parts, -1 where it has none.
func (m *model) groupOf(drill int) int {
	for g := range m.groups {
		if m.p.Components[m.groups[g].component].Name == m.p.Drills[drill].Component {
			return g
		}
	}
	return -1
}

// weigh gives the reduced gains of the allowed parts of group g.
func (p *pricer) weigh(g int) {
	m := p.m
	grp, rows := &m.groups[g], len(m.rows)
	p.order = p.order[:0]
	for _, i := range m.byEffort[grp.lo:grp.hi] {
		t := &m.parts[i]
		if p.gone[i] || !p.dom[t.drill].allows(t) {
			continue
		}
		v := t.gain * scale
		for r, u := range m.use[int(i)*rows : (int(i)+1)*rows] {
			v -= p.price[r] * int64(u)
		}
		p.net[i] = v
		p.rc[i] = v + scale*m.met(grp, t.effort)
		p.order = append(p.order, i)
	}
}

// singles calls yield with every allowed card of at most one part and its
// reduced gain; weigh must have been called for g.
func (p *pricer) singles(g int, yield func(c card, rc int64)) {
	m := p.m
	if p.must[g] == 0 {
		yield(noCard, 0)
	}
	if p.must[g] > 1 {
		return
	}
	for _, i := range p.order {
		t := &m.parts[i]
		if m.twin[t.drill] >= 0 || p.must[g] == 1 && !p.dom[t.drill].in {
			continue
		}
		yield(card{a: i, b: -1, gain: t.gain + m.met(&m.groups[g], t.effort)}, p.rc[i])
	}
}

// bucket is the number of parts whose partners are looked for together.
const bucket = 32

// pairs calls yield with every allowed card of two parts whose reduced gain is
// at least the threshold, which yield may raise.
//
// What a part adds to another is least where the other has most effort, as
// the worth of effort saturates. So the parts are taken in buckets by effort,
// each with the parts of no more effort as partners, and what a partner adds
// to the first of the bucket bounds what it adds to any: most partners fall
// at once. Rounding is allowed for: efforts are cut to hundredths of a set, so
// a sum can be a hundredth over the sum of both, and of four rounded gains
// each can be off by a half.
func (p *pricer) pairs(g int, threshold *int64, yield func(c card, rc int64)) {
	m := p.m
	grp := &m.groups[g]
	for lo := 0; lo < len(p.order); lo += bucket {
		hi := min(lo+bucket, len(p.order))
		partners := p.partners(grp, lo, hi, *threshold)
		for x := lo; x < hi; x++ {
			i := p.order[x]
			a := &m.parts[i]
			for _, q := range partners {
				if q.position >= x {
					break
				}
				j := p.order[q.position]
				b := &m.parts[j]
				if a.drill == b.drill || grp.concave && p.rc[i]+q.adds < *threshold {
					continue
				}
				met := m.met(grp, m.effort(a, b))
				rc := p.net[i] + p.net[j] + scale*met
				if rc >= *threshold && p.pairAllowed(g, a, b) {
					yield(card{a: i, b: j, gain: a.gain + b.gain + met}, rc)
				}
			}
		}
	}
}

// partner is a position in the order and the most that the part there adds.
type partner struct {
	position int
	adds     int64
}

// partners lists the parts that can reach the threshold with one of the bucket
// from lo to hi, in order.
func (p *pricer) partners(grp *group, lo, hi int, threshold int64) []partner {
	m := p.m
	base := m.parts[p.order[lo]].effort
	met := m.met(grp, base)
	most := int64(math.MinInt64)
	for _, i := range p.order[lo:hi] {
		most = max(most, p.rc[i])
	}
	p.found = p.found[:0]
	for x, j := range p.order[:hi] {
		adds := p.net[j] + scale*(m.met(grp, base+m.parts[j].effort+100)-met+2*m.fold)
		if !grp.concave || most+adds >= threshold {
			p.found = append(p.found, partner{x, adds})
		}
	}
	return p.found
}

// pairAllowed checks the forced drills and the twins.
func (p *pricer) pairAllowed(g int, a, b *part) bool {
	twin := func(t, other *part) bool {
		return p.m.twin[t.drill] < 0 || p.m.twin[t.drill] == int(other.drill)
	}
	return p.forcedIn(a)+p.forcedIn(b) == p.must[g] && twin(a, b) && twin(b, a)
}

func (p *pricer) forcedIn(t *part) int {
	if p.dom[t.drill].in {
		return 1
	}
	return 0
}

// allowed says whether a card is within the branch.
func (p *pricer) allowed(g int, c card) bool {
	m := p.m
	if c.a < 0 {
		return p.must[g] == 0
	}
	a := &m.parts[c.a]
	if p.gone[c.a] || !p.dom[a.drill].allows(a) {
		return false
	}
	if c.b < 0 {
		return p.forcedIn(a) == p.must[g] && m.twin[a.drill] < 0
	}
	b := &m.parts[c.b]
	return !p.gone[c.b] && p.dom[b.drill].allows(b) && p.pairAllowed(g, a, b)
}
