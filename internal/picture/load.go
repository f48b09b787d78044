package picture

import (
	"math"
	"strconv"
)

// LoadWeek is the minutes on the hands of one week.
type LoadWeek struct {
	Name    string
	Minutes float64
}

// Load draws minutes on the hands week by week, hung from the beam, the last
// one dark; the dashed line is the most there may be next week.
func Load(alt string, weeks []LoadWeek, ceiling float64, size Size) string {
	wide, high := 600.0, 200.0
	if size == Narrow {
		wide = 342
	}
	const top, bottom = 6.0, 24.0
	p := begin(size.class("hands"), alt, wide, high)
	to := math.Max(10, ceiling)
	for _, w := range weeks {
		to = math.Max(to, w.Minutes)
	}
	y := func(m float64) float64 { return (high - top - beamHigh - bottom - 16) * m / to }
	column := wide / float64(max(1, len(weeks)))
	p.beam(top)
	for i, w := range weeks {
		class := "load"
		if i == len(weeks)-1 {
			class = "load-now"
		}
		x := column * float64(i)
		p.rect(class, x+column*0.2, top+beamHigh, column*0.6, y(w.Minutes))
		if column > 26 || i%2 == len(weeks)%2 {
			under := top + beamHigh + y(w.Minutes) + 13
			if line := top + beamHigh + y(ceiling); ceiling > 0 && math.Abs(under-4-line) < 9 {
				under = line + 13 // not on the dashed line
			}
			p.text("small", "middle", x+column/2, under, strconv.Itoa(int(math.Round(w.Minutes))))
		}
		if column > 44 || (len(weeks)-1-i)%3 == 0 {
			p.text("small soft", "middle", math.Min(x+column/2, wide-16), high-6, w.Name)
		}
	}
	if ceiling > 0 {
		p.line("ceiling", 0, top+beamHigh+y(ceiling), wide, top+beamHigh+y(ceiling))
	}
	return p.end()
}
