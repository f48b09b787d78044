package web

import (
	"net/http"
	"slices"
	"strings"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// lookForPage is the table of what goes wrong, by the way a try ends.
type lookForPage struct {
	frame
	Find string
	Ways []troublesOf
}

type troublesOf struct {
	ID, Name string
	Troubles []troubleLine
}

type troubleLine struct {
	Look, Check, For, Cue string
	Drills                []drillLine
}

// lookFor shows the rows that have the text in them.
func lookFor(v *visit) error {
	lib, err := v.Desk.Library(v.ctx(), v.who())
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "lookfor", v.lookForPage(lib, strings.TrimSpace(v.r.URL.Query().Get("find"))))
}

func (v *visit) lookForPage(lib *practice.Library, find string) lookForPage {
	p := lookForPage{frame: v.frame("lookfor.title"), Find: find}
	for _, end := range practice.Ends {
		way := troublesOf{ID: string(end)}
		for _, t := range library.Advice().Troubles {
			one := troubleLine{t.Look, t.Check, v.say("lookfor.for", "component", string(t.Component)), v.say("lookfor.cue", "text", t.Cue.Text), linesOf(lib, t.Drills)}
			if slices.Contains(t.Ends, end) && one.has(find) {
				way.Troubles = append(way.Troubles, one)
			}
		}
		if len(way.Troubles) > 0 {
			way.Name = v.Words.Say("look.way." + string(end))
			p.Ways = append(p.Ways, way)
		}
	}
	return p
}

// has says whether the text is anywhere in the row.
func (t *troubleLine) has(find string) bool {
	text := t.Look + " " + t.Check + " " + t.For + " " + t.Cue
	for _, d := range t.Drills {
		text += " " + d.Name
	}
	return strings.Contains(strings.ToLower(text), strings.ToLower(find))
}
