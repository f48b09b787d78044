// Package picture turns typed values into SVG drawings in the look of the
// program: figures of bodies in a pose.
package picture

import (
	"fmt"
	"html"
	"math"
	"strings"

	"aplomb/internal/practice"
)

// The drawing's measures, in its units.
const (
	perMetre  = 100.0
	halfLimb  = 3.0 // the floor lies this far under a limb's line
	margin    = 12.0
	overhang  = 10.0 // of the floor past what stands on it
	between   = 40.0 // from one panel to the next, where the arrow is
	arrowHigh = 70.0 // of the arrow over the floor
)

// Figure draws a pose, or two with an arrow between them, as an SVG document
// that can stand alone or in a page: title and alt are its text alternative. The
// poses are sound ([practice.Figure.Check]); the error says which of them no
// body can take, and wraps the cause.
func Figure(title string, f practice.Figure) (string, error) {
	start, err := settle(f.Start)
	if err != nil {
		return "", fmt.Errorf("start: %w", err)
	}
	all := start.panel()
	if f.End != nil {
		end, err := settle(*f.End)
		if err != nil {
			return "", fmt.Errorf("end: %w", err)
		}
		all = beside(all, end.panel())
	}
	return document(title, f.Alt, all), nil
}

// beside joins two panels on one floor with an arrow from the first to the next.
func beside(first, next panel) panel {
	_, right := first.box()
	left, _ := next.box()
	next.shift(right.x+between-left.x, 0)
	from, to := xy{right.x + 8, -arrowHigh}, xy{right.x + between - 8, -arrowHigh}
	all := append(first, next...)
	return append(all,
		mark{class: "arrow", shape: line, at: []xy{from, to}},
		mark{class: "bob", shape: area, at: []xy{to, {to.x - 8, to.y - 5}, {to.x - 8, to.y + 5}}})
}

// document is the whole SVG text around the marks.
func document(title, alt string, p panel) string {
	lo, hi := p.box()
	p.shift(margin-lo.x, margin-lo.y)
	width, height := math.Ceil(hi.x-lo.x+2*margin), math.Ceil(hi.y-lo.y+2*margin)
	sheet := mark{class: "sheet", shape: area, at: []xy{{0, 0}, {width, 0}, {width, height}, {0, height}}}
	used := map[string]bool{sheet.class: true}
	for _, m := range p {
		used[m.class] = true
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" class="figure" role="img" width="%[1]s" height="%[2]s" viewBox="0 0 %[1]s %[2]s">`,
		unit(width), unit(height))
	fmt.Fprintf(&b, "\n<title>%s</title>\n<desc>%s</desc>\n<style>%s</style>\n",
		html.EscapeString(title), html.EscapeString(alt), sheetOf(used))
	sheet.write(&b)
	for _, m := range p {
		b.WriteString("\n")
		m.write(&b)
	}
	b.WriteString("\n</svg>\n")
	return b.String()
}
