package week

import "math"

// An lp is the restricted master program of the column generation: over the
// cards found so far, maximise gain with one card a group and every row kept.
// It is a primal simplex with an explicit dense inverse. Its answer is used
// for prices and for branching only: every bound is worked out afterwards in
// integers from the prices, so neither rounding nor the iteration guard can
// make a false proof.
type lp struct {
	m       int       // equations: rows, then groups
	coef    []float64 // column j: coef[j*m : (j+1)*m]
	cost    []float64
	rhs     []float64
	basis   []int // column basic in equation i
	basic   []bool
	inverse []float64
	level   []float64 // value of basis[i]
	dual    []float64
	column  []float64 // scratch: inverse times the entering column
	first   int       // first card column
	penalty float64   // a column that costs so much never enters
	pivots  int
}

// newLP starts from the basis of slacks and of one artificial column a group,
// priced at -penalty.
func newLP(rows []row, groups int, penalty float64) *lp {
	m := len(rows) + groups
	s := &lp{m: m, penalty: penalty, inverse: make([]float64, m*m), column: make([]float64, m),
		dual: make([]float64, m), level: make([]float64, m), basis: make([]int, m)}
	for i := range m {
		cost, rhs := 0.0, 1.0
		if i < len(rows) {
			rhs = float64(rows[i].rhs)
		} else {
			cost = -penalty
		}
		s.rhs = append(s.rhs, rhs)
		s.coef[s.add(cost)*m+i] = 1
	}
	for r := range rows {
		if rows[r].soft {
			j := s.add(-float64(rows[r].cost))
			s.coef[j*m+r] = -1
		}
	}
	s.first = len(s.cost)
	s.reset()
	return s
}

// reset goes back to the first basis.
func (s *lp) reset() {
	clear(s.inverse)
	clear(s.basic)
	for i := range s.m {
		s.basis[i], s.basic[i] = i, true
		s.inverse[i*s.m+i] = 1
	}
	copy(s.level, s.rhs)
}

// add appends a column of zeros.
func (s *lp) add(cost float64) int {
	s.cost = append(s.cost, cost)
	s.basic = append(s.basic, false)
	for range s.m {
		s.coef = append(s.coef, 0)
	}
	return len(s.cost) - 1
}

const (
	entering  = 1e-4 // least reduced cost, in folded gain
	pivotSize = 1e-7
	guard     = 2000 // most pivots of one call
)

// solve improves the basis until no column enters, and leaves the duals. As
// every column is bounded, one that nothing limits means that rounding has
// spoilt the basis: it then starts afresh.
func (s *lp) solve() {
	for range guard {
		if s.pivots++; s.pivots%64 == 0 {
			s.refresh()
		}
		s.prices()
		j := s.enter()
		if j < 0 {
			return
		}
		if !s.pivot(j) {
			s.reset()
		}
	}
}

// prices computes dual = cost of basis times inverse.
func (s *lp) prices() {
	clear(s.dual)
	for i, b := range s.basis {
		if c := s.cost[b]; c != 0 {
			for k, v := range s.inverse[i*s.m : (i+1)*s.m] {
				s.dual[k] += c * v
			}
		}
	}
}

func (s *lp) enter() int {
	best, at := entering, -1
	for j, c := range s.cost {
		if s.basic[j] || c <= -s.penalty {
			continue
		}
		for k, v := range s.coef[j*s.m : (j+1)*s.m] {
			c -= s.dual[k] * v
		}
		if c > best {
			best, at = c, j
		}
	}
	return at
}

// pivot brings column j into the basis; false if nothing limits it.
func (s *lp) pivot(j int) bool {
	a := s.coef[j*s.m : (j+1)*s.m]
	leave, step, size := -1, math.Inf(1), 0.0
	for i := range s.m {
		w := 0.0
		for k, v := range s.inverse[i*s.m : (i+1)*s.m] {
			w += v * a[k]
		}
		s.column[i] = w
		if w <= pivotSize {
			continue
		}
		ratio := max(0, s.level[i]) / w
		if ratio < step-1e-12 || ratio < step+1e-12 && w > size {
			leave, step, size = i, min(step, ratio), w
		}
	}
	if leave < 0 {
		return false
	}
	s.basic[s.basis[leave]], s.basic[j] = false, true
	s.basis[leave] = j
	s.eliminate(leave, step)
	return true
}

// eliminate updates inverse and levels for the column in s.column entering at
// equation p with the given level.
func (s *lp) eliminate(p int, step float64) {
	row := s.inverse[p*s.m : (p+1)*s.m]
	f := 1 / s.column[p]
	for k := range row {
		row[k] *= f
	}
	for i := range s.m {
		w := s.column[i]
		if i == p || w == 0 {
			continue
		}
		for k, v := range row {
			s.inverse[i*s.m+k] -= w * v
		}
		s.level[i] -= w * step
	}
	s.level[p] = step
}

// refresh recomputes inverse and levels from the basis, to shed rounding
// errors. A basis that has become singular or infeasible is given up.
func (s *lp) refresh() {
	m := s.m
	b, inv := make([]float64, m*m), make([]float64, m*m)
	for i, j := range s.basis {
		for k := range m {
			b[k*m+i] = s.coef[j*m+k]
		}
		inv[i*m+i] = 1
	}
	if !invert(b, inv, m) {
		s.reset()
		return
	}
	copy(s.inverse, inv)
	for i := range m {
		s.level[i] = 0
		for k := range m {
			s.level[i] += inv[i*m+k] * s.rhs[k]
		}
		if s.level[i] < -1e-6 {
			s.reset()
			return
		}
	}
}

// invert turns b to the identity and inv to its inverse by Gauss-Jordan
// elimination with row exchanges.
func invert(b, inv []float64, m int) bool {
	swap := func(a []float64, i, j int) {
		for k := range m {
			a[i*m+k], a[j*m+k] = a[j*m+k], a[i*m+k]
		}
	}
	for c := range m {
		p := c
		for i := c; i < m; i++ {
			if math.Abs(b[i*m+c]) > math.Abs(b[p*m+c]) {
				p = i
			}
		}
		f := b[p*m+c]
		if math.Abs(f) < 1e-11 {
			return false
		}
		swap(b, p, c)
		swap(inv, p, c)
		for k := range m {
			b[c*m+k] /= f
			inv[c*m+k] /= f
		}
		for i := range m {
			g := b[i*m+c]
			if i == c || g == 0 {
				continue
			}
			for k := range m {
				b[i*m+k] -= g * b[c*m+k]
				inv[i*m+k] -= g * inv[c*m+k]
			}
		}
	}
	return true
}
