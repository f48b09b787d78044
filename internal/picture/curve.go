package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Step is the share of tries that last at least so many seconds, with its
// interval.
type Step struct{ Seconds, P, Lo, Hi float64 }

// Curve draws shares of tries by how long they lasted, a step line with its
// band, from the share that was caught on, and a thin upright at each
// milestone. Steps are in order of seconds, the first is the catch. The curve
// ends at its last step: beyond it nothing was seen.
func Curve(alt string, steps []Step, milestones []float64, size Size) string {
	wide, high := 600.0, 260.0
	if size == Narrow {
		wide, high = 342, 240
	}
	const left, right, top, bottom = 46.0, 12.0, 12.0, 30.0
	p := begin(size.class("curve"), alt, wide, high)
	to := 1.0
	for _, s := range steps {
		to = math.Max(to, s.Seconds)
	}
	for _, m := range milestones { // the next milestone beyond what was seen is on the page too
		if m > to {
			to = m
			break
		}
	}
	x := func(s float64) float64 { return left + (wide-left-right)*math.Sqrt(s/to) }
	y := func(share float64) float64 { return top + (high-top-bottom)*(1-share) }
	for _, share := range []float64{0, 0.5, 1} {
		p.line("grid", left, y(share), wide-right, y(share))
		p.text("small soft", "end", left-6, y(share)+4, strconv.Itoa(int(100*share))+"%")
	}
	last := math.Inf(-1)
	for _, m := range milestones {
		if m > to {
			break
		}
		p.line("grid", x(m), y(1), x(m), y(0))
		if x(m)-last > 30 {
			p.text("small soft", "middle", x(m), high-8, strconv.FormatFloat(m, 'f', -1, 64)+" s")
			last = x(m)
		}
	}
	if len(steps) > 0 {
		p.path("band", bandPath(steps, x, y))
		p.path("curve-line", stepPath(steps, x, y))
	}
	return p.end()
}

func stepPath(steps []Step, x, y func(float64) float64) string {
	var d strings.Builder
	for i, s := range steps {
		if i == 0 {
			fmt.Fprintf(&d, "M%s %s", unit(x(s.Seconds)), unit(y(s.P)))
			continue
		}
		fmt.Fprintf(&d, "H%sV%s", unit(x(s.Seconds)), unit(y(s.P)))
	}
	return d.String()
}

// bandPath goes along the upper ends and back along the lower ones.
func bandPath(steps []Step, x, y func(float64) float64) string {
	var d strings.Builder
	for i, s := range steps {
		if i == 0 {
			fmt.Fprintf(&d, "M%s %s", unit(x(s.Seconds)), unit(y(s.Hi)))
			continue
		}
		fmt.Fprintf(&d, "H%sV%s", unit(x(s.Seconds)), unit(y(s.Hi)))
	}
	for i := len(steps) - 1; i >= 0; i-- {
		fmt.Fprintf(&d, "V%s", unit(y(steps[i].Lo)))
		if i > 0 {
			fmt.Fprintf(&d, "V%sH%s", unit(y(steps[i-1].Lo)), unit(x(steps[i-1].Seconds)))
		}
	}
	return d.String() + "Z"
}
