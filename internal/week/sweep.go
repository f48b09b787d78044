package week

import (
	"math"
	"slices"
)

// A sweep lists, for every group, the cards that lose little against the
// bound, and walks through their combinations.
type sweep struct {
	s      *search
	groups []pack
	bound  int64
	limit  int64 // most that a week may lose against the bound
	nodes  int
	cards  []card // chosen so far, by depth
	left   []int64
	minUse []int64 // by depth and row: least and most use of the groups from there on
	maxUse []int64
	use    []int32
}

// pack is the listed cards of a group, least loss first.
type pack struct {
	cards []listed
}

type listed struct {
	card
	loss int64
	use  int // position in sweep.use
}

const (
	cardLimit = 6000
	nodeLimit = 20000
)

// run widens the cut-off until no better week can be outside it; false if
// that took more cards or nodes than a branch should.
func (w *sweep) run(bound int64) bool {
	s := w.s
	w.bound = bound
	w.limit = max(scale*s.m.fold, bound/256)
	for {
		w.clip()
		if !w.list() {
			return false
		}
		at := w.limit
		w.nodes = 0
		if !w.walk(0, 0) {
			return false
		}
		if at >= bound-s.best*scale {
			return true
		}
		w.limit = 3 * at
	}
}

// clip lowers the limit to the distance of the best week.
func (w *sweep) clip() {
	w.limit = min(w.limit, w.bound-w.s.best*scale)
}

func (w *sweep) list() bool {
	s := w.s
	w.use = w.use[:0]
	if w.groups == nil {
		w.groups = make([]pack, len(s.m.groups))
	}
	total := 0
	for g := range s.m.groups {
		h := &w.groups[g]
		h.cards = h.cards[:0]
		threshold := s.sigma[g] - w.limit
		add := func(c card, rc int64) {
			if rc >= threshold && total <= cardLimit {
				h.cards = append(h.cards, listed{card: c, loss: s.sigma[g] - rc, use: len(w.use)})
				w.addUse(c)
				if total++; total > cardLimit {
					threshold = math.MaxInt64
				}
			}
		}
		s.price.weigh(g)
		s.price.singles(g, add)
		s.price.pairs(g, &threshold, add)
		if total > cardLimit {
			return false
		}
		slices.SortFunc(h.cards, func(a, b listed) int {
			if a.loss != b.loss {
				if a.loss < b.loss {
					return -1
				}
				return 1
			}
			return a.use - b.use
		})
	}
	slices.SortStableFunc(w.groups, func(a, b pack) int { return len(a.cards) - len(b.cards) })
	w.suffixes()
	return true
}

func (w *sweep) addUse(c card) {
	m := w.s.m
	at, rows := len(w.use), len(m.rows)
	for range rows {
		w.use = append(w.use, 0)
	}
	for _, i := range []int32{c.a, c.b} {
		if i < 0 {
			continue
		}
		for r, u := range m.use[int(i)*rows : (int(i)+1)*rows] {
			w.use[at+r] += u
		}
	}
}

func (w *sweep) suffixes() {
	rows, depth := len(w.s.m.rows), len(w.groups)
	if w.cards == nil {
		w.minUse = make([]int64, (depth+1)*rows)
		w.maxUse = make([]int64, (depth+1)*rows)
		w.left = make([]int64, (depth+1)*rows)
		w.cards = make([]card, depth)
	}
	for d := depth - 1; d >= 0; d-- {
		for r := range rows {
			lo, hi := int64(math.MaxInt64), int64(math.MinInt64)
			for i := range w.groups[d].cards {
				u := int64(w.use[w.groups[d].cards[i].use+r])
				lo, hi = min(lo, u), max(hi, u)
			}
			if len(w.groups[d].cards) == 0 {
				lo, hi = 0, 0
			}
			w.minUse[d*rows+r] = lo + w.minUse[(d+1)*rows+r]
			w.maxUse[d*rows+r] = hi + w.maxUse[(d+1)*rows+r]
		}
	}
	for r := range rows {
		w.left[r] = w.s.m.rows[r].rhs
	}
}

// walk goes through the cards of the groups from depth on; false if the node
// limit ended it.
func (w *sweep) walk(depth int, loss int64) bool {
	if depth == len(w.groups) {
		w.s.offer((w.bound-loss)/scale, w.cards)
		w.clip()
		return true
	}
	for i := range w.groups[depth].cards {
		c := &w.groups[depth].cards[i]
		if loss+c.loss > w.limit {
			break
		}
		if w.nodes++; w.nodes > nodeLimit {
			return false
		}
		waste, ok := w.take(depth, c.use)
		if !ok || loss+c.loss+waste > w.limit {
			continue
		}
		w.cards[depth] = c.card
		if depth+1 < len(w.groups) {
			waste = 0 // what is left then is counted anew
		}
		if !w.walk(depth+1, loss+c.loss+waste) {
			return false
		}
	}
	return true
}

// take subtracts a card from what is left of each row, and gives the loss
// that the later groups can no longer avoid: priced rows that will not be
// used up, or soft rows that will be exceeded.
func (w *sweep) take(depth, at int) (waste int64, ok bool) {
	rows := w.s.m.rows
	n := len(rows)
	left, next := w.left[depth*n:(depth+1)*n], w.left[(depth+1)*n:(depth+2)*n]
	lo, hi := w.minUse[(depth+1)*n:], w.maxUse[(depth+1)*n:]
	use, price := w.use[at:at+n], w.s.price.price
	for r := range next {
		v := left[r] - int64(use[r])
		next[r] = v
		if v < lo[r] {
			if !rows[r].soft {
				return 0, false
			}
			waste += (rows[r].cost*scale - price[r]) * (lo[r] - v)
		} else if v > hi[r] {
			waste += price[r] * (v - hi[r])
		}
	}
	return waste, true
}
