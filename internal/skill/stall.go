package skill

import (
	"errors"
	"math"
)

// CUSUM is a two-sided tabular cumulative sum: High gathers values above Target
// by more than K, Low values below it by more than K, neither falls under 0, and
// past H either is a signal (Page 1954, Biometrika 41:100; Montgomery & Runger,
// Applied Statistics and Probability for Engineers, 3rd ed., 16-7). Target, K
// and H are in the units of the values.
type CUSUM struct {
	Target, K, H float64
	High, Low    float64
}

// Add takes the next value and says whether either sum is past H.
func (c *CUSUM) Add(x float64) bool {
	c.High = math.Max(0, c.High+x-c.Target-c.K)
	c.Low = math.Max(0, c.Low+c.Target-c.K-x)
	return c.High > c.H || c.Low > c.H
}

// Reset empties both sums.
func (c *CUSUM) Reset() { c.High, c.Low = 0, 0 }

// Signal is what a run of weeks calls for.
type Signal int

const (
	Quiet Signal = iota
	Look         // the coach should look
	Act          // the plan should change
)

// Bars of the two sums, guesses, in standard deviations of a weekly residual.
// While the model holds, Look comes falsely every 39 weeks and Act every 118 on
// average; of a weekly shortfall of one sd they tell after 4.7 and 6.5 weeks
// (stall_test.go computes these). With 300 students even that is seven false
// looks a week: rank and cap them.
const (
	lookK, actK, alarmH = .25, .5, 3
	leastWeeks          = 8 // for a lag-1 correlation
)

// ErrFewWeeks is returned where under eight weeks stand behind a correlation.
var ErrFewWeeks = errors.New("skill: fewer than 8 weeks")

// Stall watches for a student who gains less than foretold, or goes backwards,
// by a lower CUSUM of the weekly residuals of [Headline.CloseWeek]. Its run
// lengths hold for independent residuals: see [Stall.Lag1]. Weeks without tries
// are left out. Start with [NewStall].
type Stall struct {
	look, act CUSUM
	lag       lag
}

// NewStall is a watch with nothing gathered.
func NewStall() Stall {
	return Stall{look: CUSUM{K: lookK, H: alarmH}, act: CUSUM{K: actK, H: alarmH}}
}

// Add takes the residual of the next week and says what it calls for. A signal
// lasts while its sum stays past the bar.
func (s *Stall) Add(z float64) Signal {
	check(!math.IsNaN(z) && !math.IsInf(z, 0), "a residual is finite")
	s.lag.add(z)
	s.look.Add(z)
	s.act.Add(z)
	return s.Signal()
}

// Signal is what the weeks so far call for. Better than foretold is no signal.
func (s *Stall) Signal() Signal {
	switch {
	case s.act.Low > s.act.H:
		return Act
	case s.look.Low > s.look.H:
		return Look
	}
	return Quiet
}

// Severity is how far the shortfall has gathered: the "look" sum over its bar, 1
// and more is a signal. For ranking.
func (s *Stall) Severity() float64 { return s.look.Low / s.look.H }

// Reset starts afresh after an event that explains a shortfall: a lighter week,
// illness, pain, a new drill, a signal the coach has dealt with.
func (s *Stall) Reset() {
	s.look.Reset()
	s.act.Reset()
}

// Lag1 is the correlation of each week's residual with the next, over all weeks
// since the start, and their number. Beyond ±2/sqrt(weeks) the residuals are not
// independent and the signals come more often (positive) or later (negative)
// than stated. ErrFewWeeks under eight.
func (s *Stall) Lag1() (r float64, weeks int, err error) { return s.lag.correlation() }

// lag gathers what a lag-1 autocorrelation needs.
type lag struct {
	n                   int
	first, last         float64
	sum, squares, cross float64
}

func (l *lag) add(z float64) {
	if l.n == 0 {
		l.first = z
	} else {
		l.cross += l.last * z
	}
	l.n++
	l.last = z
	l.sum += z
	l.squares += z * z
}

// correlation is sum (z_t - mean)(z_t+1 - mean) / sum (z_t - mean)².
func (l *lag) correlation() (float64, int, error) {
	n := float64(l.n)
	mean := l.sum / n
	around := l.squares - n*mean*mean
	if l.n < leastWeeks || !(around > 0) {
		return 0, l.n, ErrFewWeeks
	}
	cross := l.cross - mean*(2*l.sum-l.first-l.last) + (n-1)*mean*mean
	return cross / around, l.n, nil
}
