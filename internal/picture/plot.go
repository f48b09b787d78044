package picture

import (
	"fmt"
	"html"
	"strings"
	"unicode/utf8"
)

// plot is an SVG drawing of a page: shapes have classes that [Sheet] paints,
// since a page's policy lets no drawing carry a style of its own.
type plot struct {
	b          strings.Builder
	wide, high float64
}

// begin opens a drawing of so many units; one unit is one pixel where the page
// has room. Alt is what a person who cannot see it is told.
func begin(class, alt string, wide, high float64) *plot {
	p := &plot{wide: wide, high: high}
	fmt.Fprintf(&p.b, `<svg class="plot %s" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%s" height="%s" role="img" aria-label="%s">`,
		class, unit(wide), unit(high), unit(wide), unit(high), escape(alt))
	return p
}

// escape makes a text safe in a drawing; what XML has no place for is left out.
func escape(s string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if r < ' ' || r == utf8.RuneError || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, s))
}

func (p *plot) end() string {
	p.b.WriteString("</svg>\n")
	return p.b.String()
}

// rect draws a box; one without height or width is not drawn.
func (p *plot) rect(class string, x, y, w, h float64) {
	if w > 0 && h > 0 {
		fmt.Fprintf(&p.b, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, class, unit(x), unit(y), unit(w), unit(h))
	}
}

func (p *plot) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(&p.b, `<path class="%s" d="M%s %sL%s %s"/>`, class, unit(x1), unit(y1), unit(x2), unit(y2))
}

func (p *plot) path(class, d string) { fmt.Fprintf(&p.b, `<path class="%s" d="%s"/>`, class, d) }

func (p *plot) disc(class string, x, y, r float64) {
	fmt.Fprintf(&p.b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`, class, unit(x), unit(y), unit(r))
}

// bob is the weight at the end of a plumb line, its point at y.
func (p *plot) bob(class string, x, y float64) {
	p.path(class, fmt.Sprintf("M%s %sh16l-8 14Z", unit(x-8), unit(y-14)))
}

// text writes from its start, around its middle or up to its end.
func (p *plot) text(class, anchor string, x, y float64, s string) {
	fmt.Fprintf(&p.b, `<text class="%s" text-anchor="%s" x="%s" y="%s">%s</text>`, class, anchor, unit(x), unit(y), escape(s))
}

// upright writes upwards, ending at y.
func (p *plot) upright(class string, x, y float64, s string) {
	fmt.Fprintf(&p.b, `<text class="%s" text-anchor="end" transform="translate(%s %s) rotate(-90)">%s</text>`, class, unit(x), unit(y), escape(s))
}

// beamHigh is how thick the beam is that everything hangs from.
const beamHigh = 8.0

func (p *plot) beam(y float64) { p.rect("beam", 0, y, p.wide, beamHigh) }

// charWide is the width of a letter as a share of the height of the type: that
// of Atkinson Hyperlegible over English text, measured in a browser, and a
// little over.
const charWide = 0.54

// fit breaks a text into at most two lines of so many units at a height of
// type; what is left over is cut with a mark.
func fit(s string, wide, size float64, lines int) []string {
	most := max(4, int(wide/(charWide*size)))
	var out []string
	for words := strings.Fields(s); len(words) > 0 && len(out) < lines; {
		row := words[0]
		words = words[1:]
		for len(words) > 0 && len([]rune(row))+1+len([]rune(words[0])) <= most {
			row, words = row+" "+words[0], words[1:]
		}
		if cut := []rune(row); len(cut) > most || len(out) == lines-1 && len(words) > 0 {
			row = string(cut[:min(len(cut), most-1)]) + "…"
		}
		out = append(out, row)
	}
	return out
}

// Size is the shape a picture is drawn in: for a page with room, or a phone.
type Size bool

// Sizes.
const (
	Wide   Size = false
	Narrow Size = true
)

func (s Size) class(name string) string {
	if s == Narrow {
		return name + " at-narrow"
	}
	return name + " at-wide"
}

// Sheet is the style sheet of the pictures on pages. The page sets the colours
// of the look as variables, light and dark.
func Sheet() string {
	return `.plot{display:block;max-width:100%;height:auto;font-family:inherit;font-variant-numeric:tabular-nums}
.plot text{fill:var(--ink);font-size:13px}.plot .small{font-size:12px}.plot .soft{fill:var(--soft)}.plot .strong{font-weight:700}
.plot .beam{fill:var(--ink)}.plot path{fill:none}.plot .string{stroke:var(--ink);stroke-width:1.5}
.plot .grid{stroke:var(--rule);stroke-width:1}.plot .asked{stroke:var(--soft);stroke-width:2}
.plot .doubt{fill:var(--doubt)}.plot .bob{fill:var(--bob)}.plot .limit{stroke:var(--ochre);stroke-width:1.5}.plot .limit-bob{fill:var(--ochre)}
.plot text.limit-name{fill:var(--ochre);font-weight:700}.plot .band{fill:var(--pale);fill-opacity:.45}.plot .curve-line{stroke:var(--deep);stroke-width:2.5}
.plot .caught{fill:var(--bob)}.plot .lowered{fill:var(--paper);stroke:var(--bob);stroke-width:1.5}.plot .fell{fill:var(--soft)}.plot .cold{stroke:var(--deep);stroke-width:2.5}
.plot .b-frame{fill:var(--frame)}.plot .b-easy{fill:var(--easy)}.plot .b-challenge{fill:var(--deep)}.plot .b-strength{fill:var(--strength)}
.plot text.on-challenge{fill:var(--on-deep)}.plot text.on-strength{fill:var(--on-strength)}.plot .load{fill:var(--easy)}.plot .load-now{fill:var(--deep)}.plot .ceiling{stroke:var(--ochre);stroke-width:2;stroke-dasharray:5 4}
`
}
