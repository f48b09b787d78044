package holds

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Method names an interval for a share.
type Method string

// Intervals for a share of independent tries. Wilson's is the default: close to
// its level on average and short. Clopper-Pearson never covers less than its
// level and is the longest. Jeffreys' is the Bayesian one with prior Beta(.5, .5),
// its ends set to 0 and 1 where nothing or everything passed.
//
// References: Wilson (1927) JASA 22:209; Clopper & Pearson (1934) Biometrika
// 26:404; Brown, Cai & DasGupta (2001) Stat Sci 16:101.
const (
	Wilson         Method = "wilson"
	ClopperPearson Method = "clopper-pearson"
	Jeffreys       Method = "jeffreys"
)

// Share is a share of tries with its interval.
type Share struct {
	P      float64
	Lo, Hi float64
	Level  float64
	Method Method
	X, N   int
}

// Rate estimates the share x/n of independent tries with an equal chance, as in
// the catch rate: x caught of n attempts. No tries: ErrNoTries.
func Rate(x, n int, method Method, level float64) (Share, error) {
	if x < 0 || x > n {
		panic(fmt.Sprintf("holds: %d of %d tries", x, n))
	}
	checkOpen("level", level)
	if n == 0 {
		return Share{}, ErrNoTries
	}
	s := Share{P: float64(x) / float64(n), Level: level, Method: method, X: x, N: n}
	switch method {
	case Wilson:
		s.Lo, s.Hi = wilson(s.P, float64(n), level)
	case ClopperPearson:
		s.Lo, s.Hi = betaEnds(x, n, 0, 1, level)
	case Jeffreys:
		s.Lo, s.Hi = betaEnds(x, n, .5, .5, level)
	default:
		panic(fmt.Sprintf("holds: unknown interval %q, want wilson, clopper-pearson or jeffreys", string(method)))
	}
	return s, nil
}

// Catch is the catch rate of the tries.
func (t Tries) Catch(method Method, level float64) (Share, error) {
	t.check()
	return Rate(t.Caught, t.Attempts, method, level)
}

// wilson is the score interval for a share p seen in n tries; n need not be whole.
func wilson(p, n, level float64) (lo, hi float64) {
	z := normal(level)
	mid := p + z*z/(2*n)
	half := z * math.Sqrt((p*(1-p)+z*z/(4*n))/n)
	scale := 1 + z*z/n
	lo, hi = math.Max(0, (mid-half)/scale), math.Min(1, (mid+half)/scale)
	if p == 0 {
		lo = 0
	}
	if p == 1 {
		hi = 1
	}
	return lo, hi
}

// betaEnds takes the interval's ends from Beta(x+a, n-x+b) and Beta(x+b, n-x+a).
func betaEnds(x, n int, a, b, level float64) (lo, hi float64) {
	tail, passes, rest := (1-level)/2, float64(x), float64(n-x)
	hi = 1
	if x > 0 {
		lo = mathext.InvRegIncBeta(passes+a, rest+b, tail)
	}
	if x < n {
		hi = 1 - mathext.InvRegIncBeta(rest+a, passes+b, tail)
	}
	return lo, hi
}
