package picture

import (
	"fmt"
	"html"
	"math"
	"strings"
)

// Rising is a share that grows step by step, from step 0 on, 0 to 1.
type Rising struct {
	Name   string
	Shares []float64
}

// The plot's frame, in its units.
const (
	plotWide, plotHigh          = 640.0, 360.0
	plotLeft, plotTop           = 44.0, 36.0
	plotRight, plotBottom       = 190.0, 32.0
	plotInnerWide, plotInnerTop = plotWide - plotLeft - plotRight, plotHigh - plotTop - plotBottom
)

// dashes tell lines apart without colour.
var dashes = []string{"", "6 3", "2 3", "10 3 2 3", "1 5", "12 4", "4 2 1 2"}

// Outcome draws shares that grow by week as step lines, each named at its end,
// with a text alternative that gives where each ended. Colours are those of the
// look, with a dark scheme; lines differ by their dashes as well.
func Outcome(title string, rising []Rising) string {
	last, alt := 1, []string{}
	for _, r := range rising {
		last = max(last, len(r.Shares)-1)
		alt = append(alt, fmt.Sprintf("%s %.0f%%", r.Name, 100*r.Shares[len(r.Shares)-1]))
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="outcome" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" role="img" aria-label="%s">`,
		plotWide, plotHigh, html.EscapeString(title+": at the end "+strings.Join(alt, ", ")+"."))
	b.WriteString("<style>" + outcomeSheet() + "</style>")
	fmt.Fprintf(&b, `<text x="%g" y="20">%s</text>`, plotLeft, html.EscapeString(title))
	frame(&b, last)
	ends := apart(rising)
	for i, r := range rising {
		fmt.Fprintf(&b, `<path class="line" stroke-dasharray="%s" d="%s"/>`, dashes[i%len(dashes)], steps(r.Shares, last))
		fmt.Fprintf(&b, `<text x="%s" y="%s">%s</text>`, unit(plotLeft+plotInnerWide+8), unit(ends[i]+4), html.EscapeString(r.Name))
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// outcomeSheet paints the plot; a colour is written plain first, for what reads no
// variables.
func outcomeSheet() string {
	var light, dark strings.Builder
	for _, r := range []struct {
		marks, property string
		of              ink
	}{{"", "background", inkSheet}, {" text", "fill", inkNear}, {" path", "stroke", inkNear}, {" .grid", "stroke", inkPale}, {" .line", "stroke", inkPlumb}} {
		fmt.Fprintf(&light, ".outcome%s{%s:%s;%s:var(%s,%s)}", r.marks, r.property, r.of.light, r.property, r.of.variable, r.of.light)
		fmt.Fprintf(&dark, ".outcome%s{%s:var(%s,%s)}", r.marks, r.property, r.of.variable, r.of.dark)
	}
	return ".outcome{font:13px sans-serif}.outcome path{fill:none;stroke-width:1}.outcome .line{stroke-width:2}" +
		light.String() + "@media(prefers-color-scheme:dark){" + dark.String() + "}"
}

func plotX(step, last int) float64 { return plotLeft + plotInnerWide*float64(step)/float64(last) }
func plotY(share float64) float64  { return plotTop + plotInnerTop*(1-share) }

// frame draws quarters across and, below, steps by thirteen: quarters of a year.
func frame(b *strings.Builder, last int) {
	for q := range 5 {
		y := plotY(float64(q) / 4)
		fmt.Fprintf(b, `<path class="grid" d="M%s %sH%s"/><text x="4" y="%s">%d%%</text>`, unit(plotLeft), unit(y), unit(plotLeft+plotInnerWide), unit(y+4), 25*q)
	}
	for step := 0; step <= last; step += 13 {
		fmt.Fprintf(b, `<text x="%s" y="%s" text-anchor="middle">%d</text>`, unit(plotX(step, last)), unit(plotHigh-10), step)
	}
	fmt.Fprintf(b, `<path d="M%s %sV%sH%s"/>`, unit(plotLeft), unit(plotTop), unit(plotTop+plotInnerTop), unit(plotLeft+plotInnerWide))
}

func steps(shares []float64, last int) string {
	var d strings.Builder
	for i, s := range shares {
		if i == 0 {
			fmt.Fprintf(&d, "M%s %s", unit(plotX(0, last)), unit(plotY(s)))
			continue
		}
		fmt.Fprintf(&d, "H%sV%s", unit(plotX(i, last)), unit(plotY(s)))
	}
	return d.String()
}

// apart is where the names stand: at their line's end, no two on one another.
func apart(rising []Rising) []float64 {
	const least = 15.0
	out := make([]float64, len(rising))
	for i, r := range rising {
		out[i] = plotY(r.Shares[len(r.Shares)-1])
	}
	for range 100 {
		moved := false
		for i := range out {
			for j := range out {
				if gap := out[j] - out[i]; i != j && math.Abs(gap) < least && (gap > 0 || gap == 0 && j > i) {
					push := (least - gap) / 2
					out[i], out[j], moved = out[i]-push, out[j]+push, true
				}
			}
		}
		if !moved {
			break
		}
	}
	return out
}
