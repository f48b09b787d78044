package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// xy is a place on the drawing, in its units, y downwards.
type xy struct{ x, y float64 }

// mark is one thing drawn: a line through points, a filled or outlined shape, a
// curve over a control point, or a disc.
type mark struct {
	class string
	shape shape
	at    []xy
	r     float64 // of a disc
}

type shape int

const (
	line shape = iota
	area
	curve // from, control, to
	disc
)

// panel is a set of marks that share one floor.
type panel []mark

// box is the smallest rectangle around everything.
func (p panel) box() (lo, hi xy) {
	lo, hi = xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}
	for _, m := range p {
		for _, a := range m.at {
			lo = xy{math.Min(lo.x, a.x-m.r), math.Min(lo.y, a.y-m.r)}
			hi = xy{math.Max(hi.x, a.x+m.r), math.Max(hi.y, a.y+m.r)}
		}
	}
	return lo, hi
}

func (p panel) shift(dx, dy float64) {
	for _, m := range p {
		for i := range m.at {
			m.at[i] = xy{m.at[i].x + dx, m.at[i].y + dy}
		}
	}
}

// write prints the mark as one SVG element.
func (m mark) write(b *strings.Builder) {
	if m.shape == disc {
		fmt.Fprintf(b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`, m.class, unit(m.at[0].x), unit(m.at[0].y), unit(m.r))
		return
	}
	var d strings.Builder
	for i, a := range m.at {
		switch {
		case i == 0:
			d.WriteString("M")
		case i == 1 && m.shape == curve:
			d.WriteString("Q")
		case i == 1:
			d.WriteString("L")
		default:
			d.WriteString(" ")
		}
		d.WriteString(unit(a.x) + " " + unit(a.y))
	}
	if m.shape == area {
		d.WriteString("Z")
	}
	fmt.Fprintf(b, `<path class="%s" d="%s"/>`, m.class, d.String())
}

// unit prints a coordinate to a tenth.
func unit(v float64) string {
	v = math.Round(v*10) / 10
	return strconv.FormatFloat(v+0, 'f', -1, 64)
}
