package cli

import (
	"math"
	"strings"

	"aplomb/internal/assess"
	"aplomb/internal/folder"
	"aplomb/internal/practice"
	"aplomb/internal/skill"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// learnedPage prints what was learned, in five parts.
type learnedPage struct {
	*page
	b       *words.Book
	lib     *practice.Library
	names   map[string]string // of students, by id
	learned *assess.Learned
}

func printLearned(env *Env, b *words.Book, studio *folder.Studio, l *assess.Learned) error {
	p := &learnedPage{newPage(env.Stdout), b, studio.Library, map[string]string{}, l}
	for _, s := range studio.Students {
		p.names[s.ID] = s.Name
	}
	p.par(0, b.Say("learn.title", "n", l.Students, "date", longDate(b, l.AsOf)), b.Say("learn.level", "in", math.Round(10*l.Level)))
	if l.Students > 0 {
		p.difficulties()
		p.effects()
		p.marks()
		p.milestones()
		p.open()
	}
	return p.flush()
}

func (p *learnedPage) head(id string) {
	p.line("")
	p.par(0, p.b.Say(id))
}

// row is one line of a part.
func (p *learnedPage) row(sentences ...string) { p.hang("  ", "      ", sentences...) }

// difficulties says how hard drills are: of tries that the guess has passing half
// the time, how many pass.
func (p *learnedPage) difficulties() {
	p.head("learn.difficulty")
	few, thin, none := 0, 0, 0
	for _, d := range p.learned.Difficulties {
		switch {
		case d.Status == skill.Enough:
			p.row(telling.Difficulty(p.b, p.lib, &d))
		case d.Status == skill.None:
			none++
		case d.Students < skill.LeastStudents:
			few++
		default:
			thin++
		}
	}
	p.counted("learn.difficulty.few", few)
	p.counted("learn.difficulty.thin", thin)
	p.counted("learn.difficulty.none", none)
}

func (p *learnedPage) counted(id string, n int) {
	if n > 0 {
		p.row(p.b.Say(id, "n", n, "least", skill.LeastStudents))
	}
}

func (p *learnedPage) effects() {
	p.head("learn.effect")
	counts := map[skill.Evidence]int{}
	few := 0
	for _, e := range p.learned.Effects {
		switch {
		case e.Status == skill.Enough:
			p.effect(&e)
		case e.Status == skill.Few && e.Students < skill.LeastStudents:
			few++
		default:
			counts[e.Status]++
		}
	}
	p.counted("learn.effect.few", few)
	p.counted("learn.effect.thin", counts[skill.Few])
	p.counted("learn.effect.untested", counts[skill.Untested])
	p.counted("learn.effect.apart", counts[skill.Together]+counts[skill.Steady]+counts[skill.Returns])
	p.counted("learn.effect.none", counts[skill.None])
}

func (p *learnedPage) effect(e *assess.DrillEffect) {
	p.row(telling.Effect(p.b, p.lib, e))
	for _, own := range e.Own {
		if own.Lo <= 0 && own.Hi >= 0 {
			continue
		}
		id := "learn.effect.more"
		if own.Hi < 0 {
			id = "learn.effect.less"
		}
		p.hang("      ", "      ", p.b.Say(id, "name", p.names[own.Student], "weight", words.Percent(own.Weight)))
	}
}

func (p *learnedPage) marks() {
	p.head("learn.marks")
	m := &p.learned.Marks
	if m.All.Voices() == 0 {
		p.row(p.b.Say("learn.marks.nobody"))
		return
	}
	p.row(p.b.Say("learn.marks.all", "n", m.All.Voices(), "helps", telling.Share(p.b, m.All.Helps), "confuses", telling.Share(p.b, m.All.Confuses)))
	silent, few := 0, 0
	for _, s := range m.Drills {
		switch {
		case s.Helped+s.Confusing == 0:
			silent++
		case s.Status == skill.Enough:
			p.row(telling.Said(p.b, p.lib, &s))
		default:
			few++
		}
	}
	p.counted("learn.marks.few", few)
	p.counted("learn.marks.silent", silent)
	few = 0
	for _, s := range m.Cues {
		if s.Status == skill.Enough {
			p.row(telling.Said(p.b, p.lib, &s))
		} else {
			few++
		}
	}
	p.counted("learn.marks.cues.few", few)
}

func (p *learnedPage) milestones() {
	p.head("learn.milestone")
	for _, m := range p.learned.Milestones {
		told := 0
		for _, a := range m.Asks {
			if a.Status == skill.Enough {
				p.row(p.ask(&m, &a))
				told++
			}
		}
		id := "learn.milestone.rest"
		switch {
		case m.Reached+m.NotYet == 0:
			id = "learn.milestone.nobody"
		case m.Reached == 0 || m.NotYet == 0:
			id = "learn.milestone.one-side"
		case told == 0:
			id = "learn.milestone.few"
		case told == len(m.Asks):
			continue
		}
		p.row(p.b.Say(id, "seconds", m.Seconds, "reached", m.Reached, "notyet", m.NotYet))
	}
}

func (p *learnedPage) ask(m *assess.MilestoneTold, a *assess.AskTold) string {
	t, _ := p.lib.Probe(a.Test)
	unit, _, _ := strings.Cut(t.Unit, ",")
	return p.b.Say("learn.milestone.asks", "seconds", m.Seconds, "component", string(a.Component), "test", t.Name, "value", a.Value,
		"lo", a.ValueLo, "hi", a.ValueHi, "unit", unit, "table", a.Table, "reached", m.Reached, "notyet", m.NotYet)
}

// open names what the logs cannot tell, with who and what it concerns here.
func (p *learnedPage) open() {
	p.head("learn.open")
	for _, o := range p.learned.CannotTell {
		p.row(p.b.Say("learn.open."+string(o.Code), "component", string(o.Component), "students", p.people(o.Students), "n", len(o.Students),
			"drills", p.b.List(names(p.lib, o.Drills))))
	}
}

// manyNames is how many students are named before the rest are counted.
const manyNames = 8

func (p *learnedPage) people(ids []string) string {
	var who []string
	for i, id := range ids {
		if i == manyNames {
			who = append(who, p.b.Say("learn.others", "n", len(ids)-i))
			break
		}
		who = append(who, p.names[id])
	}
	return p.b.List(who)
}
