package holds

import (
	"math"
	"slices"
	"sort"
)

// Point is the curve at one time at which a hold ended.
type Point struct {
	Seconds  float64
	AtRisk   int // holds that lasted at least Seconds
	Falls    int // of them, ended here by a fall
	Censored int // of them, ended here in another way
	Survival float64
	StdErr   float64 // of Survival, Greenwood's; NaN where Survival is 0
	Lo, Hi   float64 // NaN where the interval has no value
}

// Curve is a Kaplan-Meier estimate of S(t) = P(a caught hold lasts longer than t).
type Curve struct {
	Points   []Point
	N        int
	Falls    int
	Censored int
	Band     Band
	Level    float64
	tie      float64 // times no further apart are one
}

// KaplanMeier estimates the survival curve of the holds with a pointwise
// interval at the level.
//
// It assumes that censored holds would have gone on like the others that lasted
// as long, and that holds are independent. Timing doubt (Half) is not used: a
// doubt of d blurs the curve by about d. Tallies cannot enter it. Times closer
// than 1.5e-8 (of the mean time, where that is over 1 s) are one time, with falls
// before censored holds; in all this it follows R's survfit. Below about ten
// falls every interval is optimistic in the right tail, the plain one most.
// No holds: ErrNoHolds.
//
// Reference: Kaplan & Meier (1958) JASA 53:457; Greenwood (1926).
func KaplanMeier(holds []Hold, band Band, level float64) (Curve, error) {
	if len(holds) == 0 {
		return Curve{}, ErrNoHolds
	}
	return Curves([][]Hold{holds}, band, level)[0], nil
}

// Curves is [KaplanMeier] for many groups, one after the other, with one
// allocation a curve. Equal times are judged within each group, where R's survfit
// by group looks at all together. A group without holds gets a curve without points (N = 0).
func Curves(groups [][]Hold, band Band, level float64) []Curve {
	band.check()
	checkOpen("level", level)
	z := normal(level)
	var keys []uint64
	curves := make([]Curve, len(groups))
	for i, holds := range groups {
		c := Curve{N: len(holds), Band: band, Level: level}
		keys = sortedKeys(keys[:0], holds)
		c.estimate(keys, z)
		curves[i] = c
	}
	return curves
}

// sortedKeys packs each hold into one integer that sorts by time: the bits of a
// float of 0 or more sort like the float, and its sign bit is free for the fall.
func sortedKeys(keys []uint64, holds []Hold) []uint64 {
	checkHolds(holds)
	for _, h := range holds {
		k := math.Float64bits(h.Seconds) << 1
		if h.Fell {
			k |= 1
		}
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func keySeconds(k uint64) float64 { return math.Float64frombits(k >> 1) }

// tieTolerance is R's rule (aeqSurv): the square root of the machine precision,
// times the mean of the distinct times where that is over 1.
func tieTolerance(sorted []uint64) float64 {
	sum, n, last := 0.0, 0.0, -1.0
	for _, k := range sorted {
		if v := keySeconds(k); v != last {
			sum, n, last = sum+v, n+1, v
		}
	}
	return 0x1p-26 * math.Max(1, sum/math.Max(1, n))
}

// tieEnd is the index after the run of times that starts at i and has no gap
// wider than tol.
func tieEnd(sorted []uint64, i int, tol float64) int {
	last := keySeconds(sorted[i])
	for i++; i < len(sorted); i++ {
		v := keySeconds(sorted[i])
		if v-last > tol {
			break
		}
		last = v
	}
	return i
}

func (c *Curve) estimate(sorted []uint64, z float64) {
	c.tie = tieTolerance(sorted)
	distinct := 0
	for i := 0; i < len(sorted); i = tieEnd(sorted, i, c.tie) {
		distinct++
	}
	c.Points = make([]Point, 0, distinct)
	state, varLog := c.start(), 0.0
	if c.Band == LogLog {
		state.Lo, state.Hi = math.NaN(), math.NaN()
	}
	for i := 0; i < len(sorted); {
		end := tieEnd(sorted, i, c.tie)
		state.Seconds, state.AtRisk, state.Falls = keySeconds(sorted[i]), len(sorted)-i, 0
		for _, k := range sorted[i:end] {
			state.Falls += int(k & 1)
		}
		state.Censored = end - i - state.Falls
		if state.Falls > 0 {
			d, n := float64(state.Falls), float64(state.AtRisk)
			state.Survival *= (n - d) / n
			varLog += d / (n * (n - d))
			se := math.Sqrt(varLog)
			state.StdErr = state.Survival * se
			state.Lo, state.Hi = c.Band.around(state.Survival, se, z)
		}
		c.Points = append(c.Points, state)
		c.Falls += state.Falls
		i = end
	}
	c.Censored = c.N - c.Falls
}

// start is the state before any hold has ended.
func (c *Curve) start() Point {
	return Point{AtRisk: c.N, Survival: 1, Lo: 1, Hi: 1}
}

// At gives the curve at t seconds: Survival is P(T > t), AtRisk the holds of at
// least t, Falls and Censored those that ended at t itself. ErrNotFollowed beyond
// the longest hold, unless that was a fall and the curve has reached 0.
func (c *Curve) At(t float64) (Point, error) {
	checkSeconds("time", t)
	i := sort.Search(len(c.Points), func(i int) bool { return c.Points[i].Seconds > t+c.tie })
	if i > 0 && c.Points[i-1].Seconds >= t-c.tie {
		return c.Points[i-1], nil
	}
	return c.after(i, t)
}

// Before gives the curve just before t seconds: Survival is P(T >= t), the chance
// that a caught hold reaches t. Errors as for [Curve.At].
func (c *Curve) Before(t float64) (Point, error) {
	checkSeconds("time", t)
	return c.after(sort.Search(len(c.Points), func(i int) bool { return c.Points[i].Seconds >= t-c.tie }), t)
}

func (c *Curve) fallsBefore(t float64) int {
	n := 0
	for i := range c.Points {
		if c.Points[i].Seconds < t-c.tie {
			n += c.Points[i].Falls
		}
	}
	return n
}

// after is the flat stretch of the curve after its first i points, read at t.
func (c *Curve) after(i int, t float64) (Point, error) {
	p := c.start()
	if i > 0 {
		p = c.Points[i-1]
		p.AtRisk -= p.Falls + p.Censored
	}
	if i == len(c.Points) && !(i > 0 && p.Survival == 0) {
		return Point{}, ErrNotFollowed
	}
	p.Seconds, p.Falls, p.Censored = t, 0, 0
	return p, nil
}
