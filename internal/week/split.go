package week

import "math"

// split branches on the drill that the linear program is least sure of, then
// on its dose, then on its short sessions.
func (s *search) split(bound int64) {
	d, change := s.choose()
	if change == nil {
		// One card a group is left, which no sweep fails at.
		panic("week: nothing to branch on")
	}
	was, must := s.price.dom[d], append([]int(nil), s.price.must...)
	for _, first := range []bool{true, false} {
		change(&s.price.dom[d], first)
		if s.price.dom[d].in && !was.in {
			s.price.must[s.m.groupOf(d)]++
		}
		s.branch(bound)
		s.price.dom[d] = was
		copy(s.price.must, must)
	}
}

// share is what the linear program does with a drill.
type share struct {
	in, k, y           float64
	kLo, kHi, yLo, yHi int16
}

func (s *search) shares() map[int32]*share {
	out := map[int32]*share{}
	for i, j := range s.lp.basis {
		x := s.lp.level[i]
		if j < s.lp.first || x < 1e-9 {
			continue
		}
		c := s.pool[j-s.lp.first]
		if !s.price.allowed(s.owner[j-s.lp.first], c) {
			continue // still basic, from another branch
		}
		for _, at := range []int32{c.a, c.b} {
			if at < 0 {
				continue
			}
			t := &s.m.parts[at]
			h := out[t.drill]
			if h == nil {
				h = &share{kLo: t.k, kHi: t.k, yLo: t.y, yHi: t.y}
				out[t.drill] = h
			}
			h.in += x
			h.k += x * float64(t.k)
			h.y += x * float64(t.y)
			h.kLo, h.kHi = min(h.kLo, t.k), max(h.kHi, t.k)
			h.yLo, h.yHi = min(h.yLo, t.y), max(h.yHi, t.y)
		}
	}
	return out
}

// choose picks a drill and how its domain is cut in two.
func (s *search) choose() (int, func(d *domain, first bool)) {
	shares := s.shares()
	best, at := 1e-6, -1
	for d := range s.m.p.Drills {
		h := shares[int32(d)]
		if h == nil || s.price.dom[d].in {
			continue
		}
		if v := math.Min(h.in, 1-h.in); v > best {
			best, at = v, d
		}
	}
	if at >= 0 {
		in := shares[int32(at)].in >= .5
		return at, func(d *domain, first bool) { d.in, d.out = first == in, first != in }
	}
	return s.chooseDose(shares)
}

// chooseDose cuts a dose or a number of short sessions that is not settled;
// failing that, anything that is not.
func (s *search) chooseDose(shares map[int32]*share) (int, func(d *domain, first bool)) {
	for d := range s.m.p.Drills {
		h := shares[int32(d)]
		switch {
		case h == nil:
		case h.kLo < h.kHi:
			return d, cutDose(int16(min(math.Floor(h.k/h.in), float64(h.kHi-1))))
		case h.yLo < h.yHi:
			return d, cutShorts(int16(min(math.Floor(h.y/h.in), float64(h.yHi-1))))
		}
	}
	for i, t := range s.m.parts {
		d := s.price.dom[t.drill]
		switch {
		case s.price.gone[i] || d.out || !d.allows(&t):
		case !d.in:
			return int(t.drill), func(d *domain, first bool) { d.in, d.out = first, !first }
		case d.kLo < t.k:
			return int(t.drill), cutDose(t.k - 1)
		case d.yLo < t.y:
			return int(t.drill), cutShorts(t.y - 1)
		}
	}
	return -1, nil
}

func cutDose(k int16) func(d *domain, first bool) {
	return func(d *domain, first bool) {
		if first {
			d.kHi = k
		} else {
			d.kLo = k + 1
		}
	}
}

func cutShorts(y int16) func(d *domain, first bool) {
	return func(d *domain, first bool) {
		if first {
			d.yHi = y
		} else {
			d.yLo = y + 1
		}
	}
}
