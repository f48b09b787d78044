package week

import "slices"

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
// placement itself is checked week by week. Beside the pooled minutes and hand
// minutes there are pairing cuts. For a size t of at most half the largest
// session T, count a drill twice if it is over T-t, once if it is t or more:
// no session holds more than a count of two, as a drill over T-t can only
// stand beside one under t. And drills over the limit h of some sessions must
// go to the others; over half of T no two of them meet.
func (m *model) shortRules() []rule {
	out := m.pairing(shortMinutes, func(s Session) HalfMinutes { return s.Minutes })
	return append(out, m.pairing(shortHand, func(s Session) HalfMinutes { return s.Hand })...)
}

// cuts is the most pairing cuts of each sort.
const cuts = 4

func (m *model) pairing(size func(*Drill) HalfMinutes, room func(Session) HalfMinutes) (out []rule) {
	add := func(rhs int64, each func(x HalfMinutes) int64) {
		out = append(out, rule{row: row{rhs: rhs}, use: func(t *part, d *Drill, _ []int, _ int) int64 {
			return int64(t.y) * each(size(d))
		}})
	}
	var rooms []HalfMinutes
	pooled := int64(0)
	for _, s := range m.p.Short {
		rooms = append(rooms, room(s))
		pooled += int64(room(s))
	}
	slices.Sort(rooms)
	add(pooled, func(x HalfMinutes) int64 { return int64(x) })
	n, most := len(rooms), rooms[len(rooms)-1]
	for _, t := range m.halves(size, most) {
		add(2*int64(n), func(x HalfMinutes) int64 {
			switch {
			case x > most-t:
				return 2
			case x >= t:
				return 1
			}
			return 0
		})
	}
	for i, h := range rooms {
		if i < n-1 && h < rooms[i+1] && 2*h+2 > most && len(out) < 2*cuts {
			add(int64(n-1-i), func(x HalfMinutes) int64 {
				if x > h {
					return 1
				}
				return 0
			})
		}
	}
	return out
}

// halves lists the sizes to cut at: the smallest of all, so that every drill
// counts, and the greatest up to half of most.
func (m *model) halves(size func(*Drill) HalfMinutes, most HalfMinutes) (out []HalfMinutes) {
	for i := range m.p.Drills {
		if d := &m.p.Drills[i]; !m.banned[i] && m.shortsFor(d) > 0 && 2*size(d) <= most {
			out = append(out, size(d))
		}
	}
	out = append(out, most/2)
	slices.Sort(out)
	out = slices.Compact(out)
	if len(out) > cuts {
		out = append(out[:1], out[len(out)-cuts+1:]...)
	}
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
