package picture

import (
	"math"
	"strconv"
)

// Try is one try on its string.
type Try struct {
	Day     int // from the first day of the picture
	Seconds float64
	Caught  bool
	Lowered bool // came down by choice: it could have lasted longer
	Cold    bool
}

// Month names a day of the picture where a month begins.
type Month struct {
	Day  int
	Name string
}

// Tries draws the tries of some months as strings: length is seconds, the bob
// filled when caught, hollow when lowered by choice, grey and small when not
// caught, and a cold try's string is the thick one. Lines across are the
// milestones. Days is how many days the picture spans.
func Tries(alt string, tries []Try, months []Month, days int, milestones []float64, size Size) string {
	wide, high := 1080.0, 240.0
	if size == Narrow {
		wide, high = 342, 240
	}
	const top, left, bottom = 24.0, 40.0, 12.0
	p := begin(size.class("tries"), alt, wide, high)
	to := 5.0
	for _, t := range tries {
		to = math.Max(to, t.Seconds)
	}
	x := func(day int) float64 { return left + (wide-left-10)*(float64(day)+0.5)/float64(max(1, days)) }
	y := func(s float64) float64 { return top + beamHigh + (high-top-beamHigh-bottom-8)*math.Sqrt(clamp(s/to)) }
	last := math.Inf(-1)
	for _, m := range milestones {
		if m > to {
			break
		}
		p.line("grid", left, y(m), wide, y(m))
		if y(m)-last > 14 {
			p.text("small soft", "end", left-6, y(m)+4, strconv.FormatFloat(m, 'f', -1, 64)+" s")
			last = y(m)
		}
	}
	p.beam(top)
	for _, m := range months {
		p.text("small", "start", x(m.Day), 16, m.Name)
	}
	of := map[int]int{}
	for _, t := range tries {
		// Tries of one day stand beside each other.
		offset := float64(of[t.Day]%5) * math.Min(3, (wide-left)/float64(max(1, days))/5)
		of[t.Day]++
		at, end := x(t.Day)+offset, y(t.Seconds)
		string := "string"
		if t.Cold {
			string = "cold"
		}
		p.line(string, at, top+beamHigh, at, end)
		switch {
		case !t.Caught:
			p.disc("fell", at, end, 2)
		case t.Lowered:
			p.disc("lowered", at, end, 4)
		default:
			p.disc("caught", at, end, 4)
		}
	}
	return p.end()
}
