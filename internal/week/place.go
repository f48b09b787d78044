package week

import "slices"

// A placer finds out whether chosen parts fit in the short sessions.
type placer struct {
	m     *model
	left  []int // short sessions still to find, by drill of the list
	drill []*Drill
	steps int
	known map[demand]bool
}

// demand is what the short sessions are asked for: the size and number of each
// drill, in order. Many weeks ask for the same.
type demand [maxSessions]uint32

// placeSteps is the most sessions that one trial fills before the dynamic
// program, which repeats no state, takes over.
const placeSteps = 5000

// knownDemands is the most answers that one search remembers.
const knownDemands = 4096

// placeable says whether every part can be put in as many different short
// sessions as it asks for, two drills a session at most, within the minutes
// and hand minutes of each.
func (q *placer) placeable(parts []*part) bool {
	if q.m.without[shortSessions] {
		return true
	}
	q.left, q.drill, q.steps = q.left[:0], q.drill[:0], 0
	total := 0
	for _, t := range parts {
		if t.y > 0 {
			q.left = append(q.left, int(t.y))
			q.drill = append(q.drill, &q.m.p.Drills[t.drill])
			total += int(t.y)
		}
	}
	key, ok := q.demand()
	if !ok {
		return q.decide(parts, total)
	}
	done, seen := q.known[key]
	if !seen {
		done = q.decide(parts, total)
		if len(q.known) < knownDemands {
			q.known[key] = done
		}
	}
	return done
}

// decide looks for a placement.
func (q *placer) decide(parts []*part, total int) bool {
	done := q.fill(0, total)
	if q.steps > placeSteps {
		_, done = arrange(q.m.p, parts, &Habits{HeavyHand: maxWeekTime})
	}
	return done
}

// demand makes the key; false where there is no room for it.
func (q *placer) demand() (key demand, ok bool) {
	if len(q.left) > len(key) {
		return key, false
	}
	for i, d := range q.drill {
		key[i] = uint32(shortMinutes(d))<<18 | uint32(shortHand(d))<<4 | uint32(q.left[i])
	}
	slices.Sort(key[:len(q.left)])
	return key, true
}

// fill tries every content of session s and goes on with the next.
func (q *placer) fill(s, total int) bool {
	shorts := q.m.p.Short
	if total == 0 {
		return true
	}
	if q.steps++; q.steps > placeSteps || total > 2*(len(shorts)-s) {
		return false
	}
	for _, n := range q.left {
		if n > len(shorts)-s {
			return false
		}
	}
	for i := range q.left {
		if !q.fits(s, i, i) {
			continue
		}
		for j := i + 1; j < len(q.left); j++ {
			if q.fits(s, i, j) && q.put(s, total, i, j) {
				return true
			}
		}
		if q.put(s, total, i) {
			return true
		}
	}
	return q.fill(s+1, total)
}

// fits says whether session s holds drills i and j, both still to be placed.
func (q *placer) fits(s, i, j int) bool {
	minutes, hand := shortMinutes(q.drill[i]), shortHand(q.drill[i])
	if j != i {
		minutes, hand = minutes+shortMinutes(q.drill[j]), hand+shortHand(q.drill[j])
	}
	return q.left[i] > 0 && q.left[j] > 0 && q.m.p.Short[s].fits(minutes, hand)
}

// put goes on with the next session after putting drills in this one.
func (q *placer) put(s, total int, drills ...int) bool {
	for _, i := range drills {
		q.left[i]--
	}
	done := q.fill(s+1, total-len(drills))
	for _, i := range drills {
		q.left[i]++
	}
	return done
}
