package cli

import (
	"math"

	"aplomb/internal/assess"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// mayDo is one drill in the answer of `drills --student --json`.
type mayDo struct {
	Drill     string             `json:"drill"`
	Component practice.Component `json:"component"`
	May       bool               `json:"may"`
	P         *float64           `json:"p"`       // chance of success in one rep; null where it is not counted
	WhyNot    string             `json:"why_not"` // empty where it may be done
}

func (c *drillsCommand) ofStudent(env *Env, b *words.Book) error {
	studio, students, day, err := atDesk(env, c.Studio, c.Student, c.AsOf)
	if err != nil {
		return err
	}
	wanted, err := c.filtered(b, studio.Library)
	if err != nil {
		return err
	}
	s := students[0]
	log := studio.Logs[s.ID]
	standing := assess.Stand(assess.Subject{Student: s, Zone: studio.Zone, Log: log, Library: studio.Library,
		Milestones: studio.MilestonesS, AsOf: day})
	in := planning.For(s, standing, studio.Library, studio.Wishes, log)
	answer := c.answer(b, &in, wanted)
	if c.JSON {
		return printJSON(env, answer)
	}
	return printMayDo(env, b, s, studio.Library, answer)
}

func (c *drillsCommand) answer(b *words.Book, in *planning.Input, wanted []practice.Drill) []mayDo {
	_, refused := in.Offers()
	why := map[string]planning.Refusal{}
	for _, r := range refused {
		why[r.Drill] = r
	}
	place := map[string]int{}
	for i := range in.Library.Drills {
		place[in.Library.Drills[i].ID] = i
	}
	out := make([]mayDo, len(wanted))
	for i, d := range wanted {
		out[i] = mayDo{Drill: d.ID, Component: d.Component, May: true}
		if d.Kind != practice.Mobility {
			p := in.Standing.Drills[place[d.ID]].P
			out[i].P = &p
		}
		if no, is := why[d.ID]; is {
			out[i].May, out[i].WhyNot = false, telling.Refusal(b, in.Library, no)
		}
	}
	return out
}

func printMayDo(env *Env, b *words.Book, s practice.Student, lib *practice.Library, answer []mayDo) error {
	p := newPage(env.Stdout)
	p.par(0, b.Say("drills.may", "name", s.Name))
	for _, a := range answer {
		if a.May {
			likely := ""
			if a.P != nil {
				likely = b.Say("drills.likely", "n", int(math.Round(10**a.P)))
			}
			p.hang("  ", "      ", b.Say("drills.line", "name", telling.DrillName(lib, a.Drill), "component", string(a.Component), "rest", likely))
		}
	}
	p.line("")
	p.par(0, b.Say("drills.not"))
	for _, a := range answer {
		if !a.May {
			p.hang("  ", "      ", b.Say("drills.no", "name", telling.DrillName(lib, a.Drill), "why", a.WhyNot))
		}
	}
	return p.flush()
}
