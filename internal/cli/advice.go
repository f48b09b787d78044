package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// adviceCommand prints what the library says beside its drills.
type adviceCommand struct {
	Page string `arg:"" optional:""`
	JSON bool   `name:"json"`
}

// Pages of advice that are not lessons.
const (
	lookForPage = "look-for"
	smallerPage = "smaller"
	laddersPage = "ladders"
	testsPage   = "floor-tests"
)

var otherPages = []string{lookForPage, testsPage, smallerPage, laddersPage}

// Run prints the list of pages, or one of them.
func (c *adviceCommand) Run(env *Env) error {
	b, a := words.English, library.Advice()
	lib := library.Builtin()
	pages := slices.Clone(otherPages)
	for _, l := range a.Lessons {
		pages = append(pages, l.ID)
	}
	p := newPage(env.Stdout)
	lesson, isLesson := a.Lesson(c.Page)
	switch {
	case c.JSON && c.Page == "":
		return printJSON(env, a)
	case c.JSON:
		return &misuseError{fmt.Errorf("%s", b.Say("misuse.advice")), "advice"}
	case c.Page == "":
		printPages(p, b, a)
	case c.Page == lookForPage:
		printTroubles(p, b, lib, a)
	case c.Page == smallerPage:
		printSmaller(p, b, a)
	case c.Page == testsPage:
		printTests(p, b, lib)
	case c.Page == laddersPage:
		printLadders(p, b, lib, a)
	case isLesson:
		printLesson(p, b, lib, lesson)
	default:
		_, err := choice(pages, c.Page)
		return &misuseError{err, "advice"}
	}
	return p.flush()
}

func printPages(p *page, b *words.Book, a *practice.Advice) {
	p.par(0, b.Say("advice.title"))
	for _, l := range a.Lessons {
		p.hang("  ", "      ", b.Say("advice.page", "id", l.ID, "name", l.Name, "for", l.For))
	}
	for _, id := range otherPages {
		p.hang("  ", "      ", b.Say("advice."+id))
	}
}

func printLesson(p *page, b *words.Book, lib *practice.Library, l practice.Lesson) {
	p.par(0, l.Name+".", l.For)
	for i, s := range l.Steps {
		p.line("")
		minutes := ""
		if s.Minutes > 0 {
			minutes = b.Say("advice.minutes", "minutes", s.Minutes)
		}
		p.hang("  ", "      ", b.Say("advice.step", "n", i+1, "head", s.Head, "minutes", minutes))
		p.par(6, s.Text)
		if len(s.Drills) > 0 {
			p.par(6, b.Say("advice.drills", "list", b.List(names(lib, s.Drills))))
		}
	}
	p.line("")
	p.par(0, b.Say("drills.source", "text", l.Source))
	p.par(0, b.Say("caution"))
}

func printTroubles(p *page, b *words.Book, lib *practice.Library, a *practice.Advice) {
	for _, end := range practice.Ends {
		titled := false
		for _, t := range a.Troubles {
			if t.Ends[0] != end { // under its first way alone
				continue
			}
			if !titled {
				p.line("")
				p.par(0, b.Say("advice.way", "way", b.Say("look.way."+string(end))))
				titled = true
			}
			p.hang("  ", "    ", t.Look, t.Check)
			p.par(4, b.Say("advice.try", "component", string(t.Component), "list", b.List(names(lib, t.Drills)), "cue", t.Cue.Text))
		}
	}
}

func printSmaller(p *page, b *words.Book, a *practice.Advice) {
	for _, v := range a.Smaller {
		p.par(0, v.Name+".", v.When)
		p.par(4, v.Do)
	}
	p.par(0, a.Stop.Name+".", a.Stop.When)
	p.par(4, a.Stop.Do)
}

func printLadders(p *page, b *words.Book, lib *practice.Library, a *practice.Advice) {
	for i, l := range a.Ladders {
		if i > 0 {
			p.line("")
		}
		p.par(0, l.Name+".", l.For)
		for _, r := range l.Rungs {
			p.hang("  ", "    ", b.Say("advice.rung", "name", r.Name))
			p.par(4, r.Setup, r.Counts)
			var needs []string
			for n := range r.Needs {
				needs = append(needs, telling.Ways(b, lib, &r.Needs[n]))
			}
			if len(needs) > 0 {
				p.par(4, b.Say("drills.needs", "list", strings.Join(needs, "; ")))
			}
			if len(r.Drills) > 0 {
				p.par(4, b.Say("advice.drills", "list", b.List(names(lib, r.Drills))))
			}
		}
		p.par(2, b.Say("drills.source", "text", l.Source))
	}
}

// printTests prints the floor tests in the order of their two days, and which
// of them make the short form.
func printTests(p *page, b *words.Book, lib *practice.Library) {
	p.par(0, b.Say("tests.intro"))
	tests := slices.Clone(lib.Probes)
	slices.SortFunc(tests, func(x, y practice.Probe) int {
		return cmp.Or(cmp.Compare(x.Day, y.Day), cmp.Compare(x.Order, y.Order))
	})
	day, short, minutes := 0, []string{}, 0.0
	for _, t := range tests {
		if t.Day != day {
			day = t.Day
			p.line("")
			p.par(0, b.Say("tests.day", "day", day))
		}
		if t.Short {
			short, minutes = append(short, t.Name), minutes+t.Minutes
		}
		p.hang("  ", "    ", b.Say("tests.test", "name", t.Name, "component", string(t.Component), "minutes", t.Minutes))
		p.par(4, t.Setup)
		p.par(4, t.Counts)
		p.par(4, b.Say("tests.norm", "unit", t.Unit, "norm", t.Norm, "doubt", t.Doubt()))
		p.par(4, b.Say("drills.source", "text", t.Source))
	}
	p.line("")
	p.par(0, b.Say("tests.short", "minutes", minutes, "list", b.List(short)))
}
