package skill

import "math"

// law is how long a caught hold lasts: link(T-1) ~ Logistic(h, scale). Early on
// every link is ln(T-1), so that S(1) = 1 and the hazard may rise and fall; with
// wear it grows like T/wear besides, and the tail is an exponential, as of a
// tiring body, and not a power.
type law struct {
	wear  float64 // s; +Inf: none, the log-logistic
	scale float64
}

// wearS is a guess: the seconds after which the arms decide more than balance.
const wearS = 17

// laws are those the bank chooses among.
var laws = [...]law{
	{math.Inf(1), .6},
	{wearS, .5}, {wearS, 1}, {wearS / 2, 1}, {wearS / 2, 1.8},
}

// link is the logistic variable of a hold of so many seconds; -Inf up to 1 s.
func (l law) link(seconds float64) float64 {
	x := math.Max(seconds-1, 0)
	return math.Log(x) + x/l.wear
}

// exact is link for an exact time, which is at least floorBeyond past 1 s.
func (l law) exact(seconds float64) float64 { return l.link(math.Max(seconds, 1+floorBeyond)) }

// span is where the variable of a hold of seconds ± half lies.
func (l law) span(seconds, half float64) (lo, hi float64) {
	if half == 0 {
		y := l.exact(seconds)
		return y, y
	}
	return l.link(seconds - half), l.link(seconds + half)
}
