package cli

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// pageWidth is how wide text runs, in characters.
const pageWidth = 96

// page writes paragraphs, wrapped and indented.
type page struct{ w *bufio.Writer }

func newPage(w io.Writer) *page { return &page{bufio.NewWriter(w)} }

func (p *page) flush() error { return p.w.Flush() }

// line writes one line as it is.
func (p *page) line(s string) { fmt.Fprintln(p.w, s) }

// par wraps sentences into one paragraph, indented by so many spaces; empty
// ones are left out, and nothing is written where all are.
func (p *page) par(indent int, sentences ...string) {
	p.hang(strings.Repeat(" ", indent), strings.Repeat(" ", indent), sentences...)
}

// hang is par with a first line that starts otherwise.
func (p *page) hang(first, rest string, sentences ...string) {
	words := strings.Fields(strings.Join(sentences, " "))
	if len(words) == 0 {
		return
	}
	line, empty := first, true
	for _, word := range words {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > pageWidth {
			fmt.Fprintln(p.w, line)
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	fmt.Fprintln(p.w, line)
}
