package week

// placeable says whether every chosen part can be put in as many different
// short sessions as it asks for, two drills a session at most, within the
// minutes and hand minutes of each.
type placer struct {
	m     *model
	left  []int // short sessions still to find, by drill of the list
	drill []*Drill
}

func (q *placer) placeable(parts []*part) bool {
	q.left, q.drill = q.left[:0], q.drill[:0]
	total := 0
	for _, t := range parts {
		if t.y > 0 {
			q.left = append(q.left, int(t.y))
			q.drill = append(q.drill, &q.m.p.Drills[t.drill])
			total += int(t.y)
		}
	}
	if q.m.without[shortSessions] {
		return true
	}
	return q.fill(0, total)
}

// fill tries every content of session s and goes on with the next.
func (q *placer) fill(s, total int) bool {
	if total == 0 {
		return true
	}
	shorts := q.m.p.Short
	if total > 2*(len(shorts)-s) || s == len(shorts) {
		return false
	}
	for _, n := range q.left {
		if n > len(shorts)-s {
			return false
		}
	}
	for i := range q.left {
		if q.left[i] == 0 || !shorts[s].fits(shortMinutes(q.drill[i]), shortHand(q.drill[i])) {
			continue
		}
		q.left[i]--
		for j := i + 1; j < len(q.left); j++ {
			if q.left[j] == 0 || !shorts[s].fits(shortMinutes(q.drill[i])+shortMinutes(q.drill[j]),
				shortHand(q.drill[i])+shortHand(q.drill[j])) {
				continue
			}
			q.left[j]--
			done := q.fill(s+1, total-2)
			q.left[j]++
			if done {
				q.left[i]++
				return true
			}
		}
		done := q.fill(s+1, total-1)
		q.left[i]++
		if done {
			return true
		}
	}
	return q.fill(s+1, total)
}
