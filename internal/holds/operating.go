package holds

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// Operating is one point of a bar's operating curve.
type Operating struct {
	Q        float64 // true chance of a cold try
	Declared float64 // share of students with that chance who are declared
	StdErr   float64 // Monte-Carlo standard error of Declared
	Days     float64 // mean days until declared, of those who are; NaN where none
	N        int     // simulated students
}

// OperatingCurve tells what a bar lets through: the share of students with a
// constant true chance q who are ever declared when they make so many cold tries
// every day for so many weeks and the bar is looked at every evening. It simulates
// n students for each q from the seed, with independent tries. ErrBar for a bar
// that cannot be met.
func OperatingCurve(b Bar, q []float64, triesPerDay, weeks int, seed uint64, n int) ([]Operating, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	if triesPerDay < 1 || weeks < 1 || n < 1 {
		panic(fmt.Sprintf("holds: %d tries a day, %d weeks, %d students", triesPerDay, weeks, n))
	}
	met := map[[2]int]bool{}
	curve := make([]Operating, len(q))
	for i, q := range q {
		if !(q >= 0 && q <= 1) {
			panic(fmt.Sprintf("holds: a chance of %v", q))
		}
		rng := rand.New(rand.NewPCG(seed, uint64(i)))
		curve[i] = b.simulate(q, make([]ColdTry, 7*weeks*triesPerDay), triesPerDay, rng, n, met)
	}
	return curve, nil
}

func (b Bar) simulate(q float64, tries []ColdTry, triesPerDay int, rng *rand.Rand, n int, met map[[2]int]bool) Operating {
	declared, total := 0.0, 0.0
	for range n {
		for j := range tries {
			tries[j] = ColdTry{Day: 1 + j/triesPerDay, Passed: rng.Float64() < q}
		}
		if day, ok := b.watch(tries, tries[len(tries)-1].Day, met); ok {
			declared++
			total += float64(day)
		}
	}
	share := declared / float64(n)
	return Operating{Q: q, Declared: share, StdErr: math.Sqrt(share * (1 - share) / float64(n)), Days: total / declared, N: n}
}
