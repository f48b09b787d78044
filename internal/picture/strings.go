package picture

import "math"

// String is one component on its string: lengths from 0, at the beam, to 1.
type String struct {
	Name   string
	Length float64  // how far along
	Lo, Hi float64  // its interval
	Asked  *float64 // how far the next milestone asks; nil: it does not
	Limits bool     // the limiter
}

// Strings draws a component profile: the longer the string, the further along;
// the pale box around the bob is the interval, the limiter's string is ochre
// and its name bold, a short line across is what the next milestone asks.
func Strings(alt string, components []String, size Size) string {
	const top, drop = 6.0, 190.0
	wide, names := 600.0, 44.0
	if size == Narrow {
		wide, names = 342, 96
	}
	p := begin(size.class("strings"), alt, wide, top+beamHigh+drop+names)
	p.beam(top)
	column := wide / float64(max(1, len(components)))
	half := math.Min(9, column*0.3)
	y := func(share float64) float64 { return top + beamHigh + 18 + (drop-24)*clamp(share) }
	for i, c := range components {
		x := column * (float64(i) + 0.5)
		string, bob, name := "string", "bob", "name"
		if c.Limits {
			string, bob, name = "limit", "limit-bob", "limit-name"
		}
		p.rect("doubt", x-half, y(c.Lo)-7, 2*half, y(c.Hi)-y(c.Lo)+7)
		p.line(string, x, top+beamHigh, x, y(c.Length)-14)
		if c.Asked != nil {
			p.line("asked", x-half-4, y(*c.Asked), x+half+4, y(*c.Asked))
		}
		p.bob(bob, x, y(c.Length))
		bottom := top + beamHigh + drop
		if size == Narrow {
			p.upright(name, x+4, bottom+10, c.Name)
			continue
		}
		p.text(name, "middle", x, bottom+18+18*float64(i%2), c.Name)
	}
	return p.end()
}

func clamp(share float64) float64 { return math.Max(0, math.Min(1, share)) }
