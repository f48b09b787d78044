package cli

import (
	"fmt"
	"math"
	"strings"

	"aplomb/internal/assess"
	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// drillsCommand prints the library, or what one student may do now.
type drillsCommand struct {
	Studio    string `arg:"" optional:""`
	Component string `placeholder:"NAME"`
	Student   string `placeholder:"ID"`
	AsOf      string `placeholder:"DATE"`
	JSON      bool   `name:"json"`
}

// Run prints the drills.
func (c *drillsCommand) Run(env *Env) error {
	b := words.English
	if (c.Studio == "") != (c.Student == "") {
		return &misuseError{fmt.Errorf("%s", b.Say("misuse.drills")), "drills"}
	}
	if c.Student != "" {
		return c.ofStudent(env, b)
	}
	lib := library.Builtin()
	drills, err := c.ofComponent(b, lib)
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env, drills)
	}
	p := newPage(env.Stdout)
	p.par(0, b.Say("drills.title", "n", len(drills), "version", lib.Version))
	for _, d := range drills {
		p.line("")
		printDrill(p, b, lib, &d)
	}
	return p.flush()
}

// ofComponent is the library's drills of the component asked for, or all.
func (c *drillsCommand) ofComponent(b *words.Book, lib *practice.Library) ([]practice.Drill, error) {
	if c.Component == "" {
		return lib.Drills, nil
	}
	var known []string
	for _, info := range lib.Components {
		known = append(known, string(info.Name))
	}
	if _, err := practice.Word(known, c.Component); err != nil {
		return nil, &misuseError{fmt.Errorf("%s", b.Say("misuse.component", "value", practice.Short(c.Component),
			"near", practice.Nearest(c.Component, known), "known", b.List(known))), "drills"}
	}
	var out []practice.Drill
	for _, d := range lib.Drills {
		if string(d.Component) == c.Component {
			out = append(out, d)
		}
	}
	return out, nil
}

func printDrill(p *page, b *words.Book, lib *practice.Library, d *practice.Drill) {
	p.par(0, b.Say("drills.name", "name", d.Name, "component", string(d.Component), "kind", string(d.Kind), "support", b.Say("support."+string(d.Support)), "id", d.ID))
	p.par(4, d.Purpose)
	p.par(4, b.Say("drills.setup", "text", d.Setup))
	p.par(4, b.Say("drills.criterion", "text", d.Criterion))
	for _, cue := range d.Cues {
		p.par(4, b.Say("cue."+string(cue.Kind), "text", cue.Text))
	}
	p.par(4, b.Say("drills.dose", "min", d.MinSets, "max", d.MaxSets, "minutes", d.SetMinutes, "hand", d.HandMinutes))
	var needs []string
	for i := range d.Needs {
		needs = append(needs, ways(b, lib, &d.Needs[i]))
	}
	if len(needs) > 0 {
		p.par(4, b.Say("drills.needs", "list", strings.Join(needs, "; ")))
	}
	if len(d.Kit) > 0 {
		p.par(4, b.Say("drills.kit", "list", b.List(texts(d.Kit))))
	}
	p.par(4, b.Say("drills.source", "text", d.Source))
}

func texts[T ~string](in []T) []string {
	out := make([]string, len(in))
	for i, v := range in {
		out[i] = string(v)
	}
	return out
}

// mayDo is one drill in the answer of `drills --student --json`.
type mayDo struct {
	Drill     string             `json:"drill"`
	Component practice.Component `json:"component"`
	May       bool               `json:"may"`
	P         *float64           `json:"p"`       // chance of success in one rep; null where it is not counted
	WhyNot    string             `json:"why_not"` // empty where it may be done
}

func (c *drillsCommand) ofStudent(env *Env, b *words.Book) error {
	studio, err := openStudio(c.Studio)
	if err != nil {
		return err
	}
	day, err := asOf(env, c.AsOf, studio)
	if err != nil {
		return err
	}
	students, err := pick(studio, c.Student)
	if err != nil {
		return err
	}
	wanted, err := c.ofComponent(b, studio.Library)
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
			out[i].May, out[i].WhyNot = false, refusalText(b, in.Library, no)
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
			p.hang("  ", "      ", b.Say("drills.line", "name", drillName(lib, a.Drill), "component", string(a.Component), "rest", likely))
		}
	}
	p.line("")
	p.par(0, b.Say("drills.not"))
	for _, a := range answer {
		if !a.May {
			p.hang("  ", "      ", b.Say("drills.no", "name", drillName(lib, a.Drill), "why", a.WhyNot))
		}
	}
	return p.flush()
}
