package holds

import (
	"fmt"
	"math"
)

// Band is the scale on which the pointwise interval of a survival curve is
// symmetric.
type Band string

// The three intervals of a survival curve: S ± z se(S); exp(log S ± z se(log S));
// and the same on log(-log S), which stays inside 0 to 1 by itself and covers
// best in small samples (Kalbfleisch & Prentice 1980; Borgan & Liestøl 1990).
// The first two are cut off at 0 and 1, as in R's survfit.
const (
	Plain  Band = "plain"
	Log    Band = "log"
	LogLog Band = "log-log"
)

func (b Band) check() {
	if b != Plain && b != Log && b != LogLog {
		panic(fmt.Sprintf("holds: unknown interval %q, want plain, log or log-log", string(b)))
	}
}

// around gives the interval about s, whose logarithm has standard error se, at z
// standard errors. NaN where the scale has no value: at s = 0 always, at s = 1
// for log-log.
func (b Band) around(s, se, z float64) (lo, hi float64) {
	switch {
	case s == 0 || b == LogLog && s == 1:
		return math.NaN(), math.NaN()
	case b == Plain:
		return math.Max(s-z*se*s, 0), math.Min(s+z*se*s, 1)
	case b == Log:
		f := math.Exp(z * se)
		return s / f, math.Min(s*f, 1)
	}
	log := math.Log(s)
	f := math.Exp(z * se / log)
	return math.Exp(log / f), math.Exp(log * f)
}

// normal is the z of a two-sided normal interval at the level.
func normal(level float64) float64 { return math.Sqrt2 * math.Erfinv(level) }
