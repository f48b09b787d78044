package cli

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// drillsCommand prints the library, or what one student may do now.
type drillsCommand struct {
	Studio    string           `arg:"" optional:""`
	Component string           `placeholder:"NAME"`
	Support   practice.Support `placeholder:"WORD"`
	Student   string           `placeholder:"ID"`
	AsOf      string           `placeholder:"DATE"`
	Graph     bool             ``
	SVG       string           `name:"svg" placeholder:"DIR"`
	Language  string           `default:"en" placeholder:"LANGUAGE"`
	JSON      bool             `name:"json"`
}

// Run prints the drills: of the library, of a studio, or of a student.
func (c *drillsCommand) Run(env *Env) error {
	b := words.English
	if c.Student != "" {
		if c.Studio == "" || c.Graph || c.SVG != "" {
			return &misuseError{fmt.Errorf("%s", b.Say("misuse.drills")), "drills"}
		}
		return c.ofStudent(env, b)
	}
	lib, err := c.library(b)
	if err != nil {
		return err
	}
	drills, err := c.filtered(b, lib)
	if err != nil {
		return err
	}
	switch {
	case c.SVG != "":
		return drawDrills(env, b, c.SVG, drills)
	case c.Graph && c.JSON:
		return printJSON(env, steps(lib, drills))
	case c.Graph:
		return printGraph(env, b, lib, drills)
	case c.JSON:
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

// library is the built-in one in the language asked for, or a studio's: its
// own drills are then checked and among the others.
func (c *drillsCommand) library(b *words.Book) (*practice.Library, error) {
	if c.Studio != "" {
		studio, err := openStudio(c.Studio)
		if err != nil {
			return nil, err
		}
		return studio.Library, nil
	}
	book, ok := words.Books[c.Language]
	if !ok {
		languages := slices.Sorted(maps.Keys(words.Books))
		return nil, &misuseError{fmt.Errorf("%s", b.Say("misuse.choice", "value", practice.Short(c.Language),
			"known", b.List(languages), "near", practice.Nearest(c.Language, languages))), "drills"}
	}
	return library.In(book), nil
}

// filtered is the library's drills of the component and support asked for.
func (c *drillsCommand) filtered(b *words.Book, lib *practice.Library) ([]practice.Drill, error) {
	var known []string
	for _, info := range lib.Components {
		known = append(known, string(info.Name))
	}
	if !slices.Contains(known, c.Component) && c.Component != "" {
		return nil, &misuseError{fmt.Errorf("%s", b.Say("misuse.component", "value", practice.Short(c.Component),
			"near", practice.Nearest(c.Component, known), "known", b.List(known))), "drills"}
	}
	if !slices.Contains(practice.Supports, c.Support) && c.Support != "" {
		return nil, &misuseError{fmt.Errorf("%s", b.Say("misuse.choice", "value", practice.Short(string(c.Support)),
			"known", b.List(texts(practice.Supports)), "near", practice.Nearest(string(c.Support), texts(practice.Supports)))), "drills"}
	}
	out := []practice.Drill{}
	for _, d := range lib.Drills {
		if (c.Component == "" || string(d.Component) == c.Component) && (c.Support == "" || d.Support == c.Support) {
			out = append(out, d)
		}
	}
	return out, nil
}

// printDrill prints one drill as a student could follow it.
func printDrill(p *page, b *words.Book, lib *practice.Library, d *practice.Drill) {
	p.par(0, b.Say("drills.name", "name", d.Name, "component", string(d.Component), "kind", string(d.Kind), "support", b.Say("support."+string(d.Support)), "id", d.ID))
	p.par(4, d.Purpose)
	p.par(4, b.Say("drills.setup", "text", d.Setup))
	for i, step := range d.Steps {
		p.hang("    ", "       ", b.Say("drills.step", "n", i+1, "text", step))
	}
	for _, cue := range d.Cues {
		p.par(4, b.Say("cue."+string(cue.Kind), "text", cue.Text))
	}
	for _, slip := range d.Errors {
		p.par(4, b.Say("drills.error", "error", slip.Error, "change", slip.Change))
	}
	for _, line := range []struct{ id, text string }{
		{"drills.criterion", d.Criterion}, {"drills.out", d.Out}, {"drills.spot", d.Spot}, {"drills.notfor", d.NotFor},
	} {
		if line.text != "" {
			p.par(4, b.Say(line.id, "text", line.text))
		}
	}
	p.par(4, b.Say("drills.dose", "min", d.MinSets, "max", d.MaxSets, "minutes", d.SetMinutes, "hand", d.HandMinutes))
	printPlace(p, b, lib, d)
	p.par(4, b.Say("drills.source", "text", d.Source))
}

// printPlace says what comes before a drill and after it.
func printPlace(p *page, b *words.Book, lib *practice.Library, d *practice.Drill) {
	var needs []string
	for i := range d.Needs {
		needs = append(needs, telling.Ways(b, lib, &d.Needs[i]))
	}
	if len(needs) > 0 {
		p.par(4, b.Say("drills.needs", "list", strings.Join(needs, "; ")))
	}
	if len(d.Kit) > 0 {
		p.par(4, b.Say("drills.kit", "list", b.List(texts(d.Kit))))
	}
	if easier := library.Easier(lib)[d.ID]; len(easier) > 0 {
		p.par(4, b.Say("drills.easier", "list", b.List(names(lib, easier))))
	}
	if len(d.Harder) > 0 {
		p.par(4, b.Say("drills.harder", "list", b.List(names(lib, d.Harder))))
	}
}

func names(lib *practice.Library, ids []string) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = telling.DrillName(lib, id)
	}
	return out
}

func texts[T ~string](in []T) []string {
	out := make([]string, len(in))
	for i, v := range in {
		out[i] = string(v)
	}
	return out
}
