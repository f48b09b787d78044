package holds

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Comparison is a log-rank test: do groups of holds end in falls alike?
type Comparison struct {
	Groups   []GroupFalls
	Variance [][]float64 // of Observed - Expected
	ChiSq    float64
	DF       int
	P        float64
	Rho      float64
}

// GroupFalls is one group's side of a [Comparison], summed over strata.
type GroupFalls struct {
	N        int
	Observed float64 // falls, weighted where Rho is not 0
	Expected float64 // were all groups alike
}

// LogRank tests whether two or more groups have the same survival curve, with the
// weights S(t-)^rho of Harrington & Fleming (1982, Biometrika 69:553): rho 0 is
// the log-rank test, rho 1 the Peto & Peto form of Wilcoxon's, which looks more at
// early falls. Assumes independent holds and censoring that does not depend on the
// group; many holds of one student are not independent of each other, and then p
// is too small. The chi-square law is good from about five expected falls a group.
// ErrNoContrast where fewer than two groups had a hold at risk at any fall.
func LogRank(groups [][]Hold, rho float64) (Comparison, error) {
	return LogRankStratified([][][]Hold{groups}, rho)
}

// LogRankStratified is [LogRank] with the groups compared within each stratum
// (strata[s][g], the same number of groups in each, some may be empty), as in
// months compared within students. Misshapen strata or a negative rho panic.
func LogRankStratified(strata [][][]Hold, rho float64) (Comparison, error) {
	if len(strata) == 0 {
		return Comparison{}, ErrNoContrast
	}
	checkSeconds("rho", rho)
	r := newRanks(len(strata[0]), rho)
	for _, s := range splitTies(strata) {
		r.addStratum(s)
	}
	return r.test()
}

// ending is one hold in a stratum's time order.
type ending struct {
	key   uint64
	group int
	tied  int // which run of equal times it belongs to
}

// splitTies sorts each stratum by time and marks equal times, judged over all
// holds together as R does.
func splitTies(strata [][][]Hold) [][]ending {
	var all []uint64
	out := make([][]ending, len(strata))
	for s, groups := range strata {
		if len(groups) != len(strata[0]) {
			panic("holds: strata with different numbers of groups")
		}
		for g, holds := range groups {
			for _, k := range sortedKeys(nil, holds) {
				out[s] = append(out[s], ending{key: k, group: g})
				all = append(all, k)
			}
		}
	}
	slices.Sort(all)
	tol := tieTolerance(all)
	run := make(map[uint64]int, len(all))
	for i := 0; i < len(all); {
		end := tieEnd(all, i, tol)
		for _, k := range all[i:end] {
			run[k] = i
		}
		i = end
	}
	for _, s := range out {
		for i := range s {
			s[i].tied = run[s[i].key]
		}
		slices.SortFunc(s, func(a, b ending) int { return cmp.Compare(a.tied, b.tied) })
	}
	return out
}

// ranks gathers the sums of the test over strata.
type ranks struct {
	rho      float64
	groups   []GroupFalls
	variance *mat.SymDense
}

func newRanks(groups int, rho float64) *ranks {
	if groups == 0 {
		panic("holds: no groups to compare")
	}
	return &ranks{rho: rho, groups: make([]GroupFalls, groups), variance: mat.NewSymDense(groups, nil)}
}

func (r *ranks) addStratum(s []ending) {
	risk := make([]float64, len(r.groups))
	for _, e := range s {
		risk[e.group]++
		r.groups[e.group].N++
	}
	survival := 1.0
	for i := 0; i < len(s); {
		end, falls, n := i, 0.0, float64(len(s)-i)
		weight := math.Pow(survival, r.rho)
		for ; end < len(s) && s[end].tied == s[i].tied; end++ {
			fell := float64(s[end].key & 1)
			falls += fell
			r.groups[s[end].group].Observed += weight * fell
		}
		r.addTime(weight, falls, n, risk)
		survival *= (n - falls) / n
		for ; i < end; i++ {
			risk[s[i].group]--
		}
	}
}

// addTime adds the falls at one time, hypergeometric over those at risk.
func (r *ranks) addTime(weight, falls, n float64, risk []float64) {
	for g, at := range risk {
		r.groups[g].Expected += weight * falls * at / n
		if n == 1 {
			continue
		}
		v := weight * weight * falls * (n - falls) / (n - 1) * at / n
		for h := g; h < len(risk); h++ {
			same := 0.0
			if h == g {
				same = 1
			}
			r.variance.SetSym(g, h, r.variance.At(g, h)+v*(same-risk[h]/n))
		}
	}
}

// test is the chi-square over the groups that could have fallen, the first of
// them left out because the differences sum to zero.
func (r *ranks) test() (Comparison, error) {
	c := Comparison{Groups: r.groups, Rho: r.rho}
	var live []int
	for g, f := range r.groups {
		if f.Expected > 0 {
			live = append(live, g)
		}
		row := make([]float64, len(r.groups))
		for h := range row {
			row[h] = r.variance.At(g, h)
		}
		c.Variance = append(c.Variance, row)
	}
	c.DF = len(live) - 1
	if c.DF < 1 {
		return Comparison{}, ErrNoContrast
	}
	diff, v := mat.NewVecDense(c.DF, nil), mat.NewSymDense(c.DF, nil)
	for i, g := range live[1:] {
		diff.SetVec(i, r.groups[g].Observed-r.groups[g].Expected)
		for j, h := range live[1:] {
			v.SetSym(i, j, r.variance.At(g, h))
		}
	}
	var factor mat.Cholesky
	if !factor.Factorize(v) {
		return Comparison{}, ErrNoContrast
	}
	var x mat.VecDense
	if err := factor.SolveVecTo(&x, diff); err != nil {
		return Comparison{}, ErrNoContrast
	}
	c.ChiSq = mat.Dot(&x, diff)
	c.P = distuv.ChiSquared{K: float64(c.DF)}.Survival(c.ChiSq)
	return c, nil
}
