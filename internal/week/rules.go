package week

// A rule is a row of the program and what a part takes of it.
type rule struct {
	row
	use func(t *part, d *Drill, sets []int, inLong int) int64
}

// rules lists the rows of the model.
func (m *model) rules() []rule {
	var out []rule
	add := func(rhs int64, use func(t *part, d *Drill, sets []int, inLong int) int64) {
		out = append(out, rule{row: row{rhs: rhs}, use: use})
	}
	p := m.p
	for i, l := range m.lengths {
		if !m.without[sessionTime] {
			add(int64(l.minutes), func(_ *part, d *Drill, sets []int, _ int) int64 {
				return int64(sets[i])*int64(d.Set) + int64(d.Setup)
			})
		}
		if !m.without[handPerSession] {
			add(int64(l.hand), func(_ *part, d *Drill, sets []int, _ int) int64 {
				return int64(sets[i]) * int64(d.Hand)
			})
		}
	}
	if !m.without[handPerWeek] {
		add(int64(p.HandWeek), func(t *part, d *Drill, _ []int, inLong int) int64 {
			return int64(inLong+int(t.y)*d.MinSets) * int64(d.Hand)
		})
	}
	add(int64(m.limit), func(*part, *Drill, []int, int) int64 { return 1 })
	if !m.without[strengthShare] {
		all := int64(0)
		for _, s := range p.Long {
			all += int64(s.Minutes)
		}
		add(all/4, func(_ *part, d *Drill, _ []int, inLong int) int64 {
			return workOf(Strength, d, inLong)
		})
	}
	out = append(out, m.mixRules()...)
	if len(p.Short) > 0 && !m.without[shortSessions] {
		out = append(out, m.shortRules()...)
	}
	return out
}

// workOf is the set half-minutes in long sessions of a drill of that kind.
func workOf(k Kind, d *Drill, inLong int) int64 {
	if d.Kind != k {
		return 0
	}
	return int64(inLong) * int64(d.Set)
}

// mixRules keep easy and challenge work within 3 to 7 of each other, and put
// a price on more than 4 to 6.
func (m *model) mixRules() []rule {
	var out []rule
	add := func(cost, more, less int64, of, to Kind) {
		out = append(out, rule{
			row: row{soft: cost > 0, cost: cost, signed: true},
			use: func(_ *part, d *Drill, _ []int, inLong int) int64 {
				return more*workOf(of, d, inLong) - less*workOf(to, d, inLong)
			}})
	}
	if !m.without[mix] {
		add(0, 3, 7, Challenge, Easy)
		add(0, 3, 7, Easy, Challenge)
	}
	if price := int64(m.p.MixPenalty) * m.fold; price > 0 {
		add(price, 4, 6, Challenge, Easy)
		add(price, 4, 6, Easy, Challenge)
	}
	return out
}

// shortRules are necessary for a placement in the short sessions to exist; the
// placement itself is checked week by week. A drill that can share no short
// session takes both its slots, and no session holds two drills longer than
// half the longest of them.
func (m *model) shortRules() []rule {
	minutes, hand, longest := int64(0), int64(0), int64(0)
	for _, s := range m.p.Short {
		minutes += int64(s.Minutes)
		hand += int64(s.Hand)
		longest = max(longest, int64(s.Minutes))
	}
	alone := m.alone()
	var out []rule
	add := func(rhs int64, each func(t *part, d *Drill) int64) {
		out = append(out, rule{row: row{rhs: rhs},
			use: func(t *part, d *Drill, _ []int, _ int) int64 { return int64(t.y) * each(t, d) }})
	}
	add(minutes, func(_ *part, d *Drill) int64 { return int64(shortMinutes(d)) })
	add(hand, func(_ *part, d *Drill) int64 { return int64(shortHand(d)) })
	add(2*int64(len(m.p.Short)), func(t *part, _ *Drill) int64 {
		if alone[t.drill] {
			return 2
		}
		return 1
	})
	add(int64(len(m.p.Short)), func(_ *part, d *Drill) int64 {
		if 2*int64(shortMinutes(d)) > longest {
			return 1
		}
		return 0
	})
	return out
}

// shortMinutes and shortHand are what a drill takes of a short session.
func shortMinutes(d *Drill) HalfMinutes { return HalfMinutes(d.MinSets)*d.Set + d.Setup }
func shortHand(d *Drill) HalfMinutes    { return HalfMinutes(d.MinSets) * d.Hand }

// fits says whether a short session holds that much.
func (s Session) fits(minutes, hand HalfMinutes) bool {
	return minutes <= s.Minutes && hand <= s.Hand
}

// shortsFor is the number of short sessions that can hold the drill.
func (m *model) shortsFor(d *Drill) (n int) {
	if d.Kind == Strength {
		return 0
	}
	if m.without[shortSessions] {
		return len(m.p.Short)
	}
	for _, s := range m.p.Short {
		if s.fits(shortMinutes(d), shortHand(d)) {
			n++
		}
	}
	return n
}

// alone says of each drill whether no short session could hold it and even
// the least demanding of the candidates.
func (m *model) alone() []bool {
	const none = HalfMinutes(1 << 30)
	minutes, hand := none, none
	for i := range m.p.Drills {
		if d := &m.p.Drills[i]; !m.banned[i] && d.Kind != Strength {
			minutes, hand = min(minutes, shortMinutes(d)), min(hand, shortHand(d))
		}
	}
	out := make([]bool, len(m.p.Drills))
	for i := range m.p.Drills {
		d := &m.p.Drills[i]
		out[i] = true
		for _, s := range m.p.Short {
			if s.fits(shortMinutes(d)+minutes, shortHand(d)+hand) {
				out[i] = false
			}
		}
	}
	return out
}
