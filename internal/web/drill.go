package web

import (
	"net/http"
	"slices"
	"strings"

	"aplomb/internal/library"
	"aplomb/internal/picture"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// drillsPage is the library, by component.
type drillsPage struct {
	frame
	Find       string
	Components []drillsOf
}

type drillsOf struct {
	Name, What string
	Drills     []drillLine
}

type drillLine struct{ ID, Name, Purpose, Tag string }

// drillPage is one drill as a coach would show it.
type drillPage struct {
	frame
	ID, Alt, About string
	Drawn          bool
	Drill          practice.Drill
	Cues           []string
	Facts          []string
	Easier, Harder []drillLine
	Lore           []string
	LoreAsOf       string // when that was worked out, and from how many
	Own, Retired   bool
	InTable        bool // of what to look for
	MayWrite       bool
}

func drills(v *visit) error {
	lib, err := v.Desk.Library(v.ctx(), v.who())
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "drills", v.drillsPage(lib, v.r.URL.Query().Get("find")))
}

// drillsPage lists the drills whose name or purpose has the text.
func (v *visit) drillsPage(lib *practice.Library, find string) drillsPage {
	p := drillsPage{frame: v.frame("drills.title"), Find: strings.TrimSpace(find)}
	for _, c := range lib.Components {
		one := drillsOf{Name: string(c.Name), What: c.What}
		for _, d := range lib.Drills {
			if d.Component == c.Name && strings.Contains(strings.ToLower(d.Name+" "+d.Purpose), strings.ToLower(p.Find)) {
				one.Drills = append(one.Drills, drillLine{d.ID, d.Name, d.Purpose, v.drillTag(d)})
			}
		}
		if len(one.Drills) > 0 {
			p.Components = append(p.Components, one)
		}
	}
	return p
}

// drillTag says of a drill that it is the studio's own, or not in use any more.
func (v *visit) drillTag(d practice.Drill) string {
	if d.Retired {
		return v.say("drill.retired")
	}
	if _, builtin := library.Builtin().Drill(d.ID); !builtin {
		return v.say("drill.own")
	}
	return ""
}

// drillAsked is the drill in the address.
func (v *visit) drillAsked() (*practice.Library, practice.Drill, error) {
	lib, err := v.Desk.Library(v.ctx(), v.who())
	if err != nil {
		return nil, practice.Drill{}, err
	}
	d, ok := lib.Drill(v.r.PathValue("id"))
	if !ok {
		return nil, d, errNoPage
	}
	return lib, d, nil
}

func drill(v *visit) error {
	lib, d, err := v.drillAsked()
	if err != nil {
		return err
	}
	p := v.drillPage(lib, d)
	if err := v.lore(&p, lib, d.ID); err != nil {
		return err
	}
	return v.render(http.StatusOK, "drill", p)
}

// lore fills what the drill has done in this studio.
func (v *visit) lore(p *drillPage, lib *practice.Library, id string) error {
	_, builtin := library.Builtin().Drill(id)
	p.Own, p.MayWrite = !builtin, v.may(practice.RunStudio) == nil
	l, err := v.Desk.Learned(v.ctx(), v.who())
	switch {
	case practice.HasCode(err, practice.NotFound):
		p.Lore = []string{v.say("drill.lore.none")}
		return nil
	case err != nil:
		return err
	}
	p.LoreAsOf = v.say("drill.lore.asof", "n", l.Students, "date", p.Day(l.AsOf))
	if p.Lore = telling.Lore(v.Words, lib, &l, id); len(p.Lore) == 0 {
		p.Lore = []string{v.say("drill.lore.unused")}
	}
	return nil
}

func (v *visit) drillPage(lib *practice.Library, d practice.Drill) drillPage {
	p := drillPage{frame: v.frame("drill.title", "name", d.Name), ID: d.ID, Drill: d, Retired: d.Retired,
		About: v.say("drill.about", "component", string(d.Component), "support", v.Words.Say("support."+string(d.Support)))}
	if d.Figure != nil {
		p.Drawn, p.Alt = true, d.Figure.Alt
	}
	for _, c := range d.Cues {
		p.Cues = append(p.Cues, v.Words.Say("cue."+string(c.Kind), "text", c.Text))
	}
	for _, line := range []struct{ id, text string }{
		{"drills.criterion", d.Criterion}, {"drills.out", d.Out}, {"drills.spot", d.Spot}, {"drills.notfor", d.NotFor},
	} {
		if line.text != "" {
			p.Facts = append(p.Facts, v.Words.Say(line.id, "text", line.text))
		}
	}
	p.Facts = append(p.Facts, v.Words.Say("drills.dose", "min", d.MinSets, "max", d.MaxSets, "minutes", d.SetMinutes, "hand", d.HandMinutes))
	for i := range d.Needs {
		p.Facts = append(p.Facts, v.Words.Say("drills.needs", "list", telling.Ways(v.Words, lib, &d.Needs[i])))
	}
	p.InTable = slices.ContainsFunc(library.Advice().Troubles, func(t practice.Trouble) bool { return slices.Contains(t.Drills, d.ID) })
	p.Easier, p.Harder = linesOf(lib, library.Easier(lib)[d.ID]), linesOf(lib, d.Harder)
	return p
}

func linesOf(lib *practice.Library, ids []string) (out []drillLine) {
	for _, id := range ids {
		if d, ok := lib.Drill(id); ok {
			out = append(out, drillLine{ID: d.ID, Name: d.Name, Purpose: d.Purpose})
		}
	}
	return out
}

// figure is the drawing of a drill, a picture by itself: it brings its own
// style sheet, which a page's policy would not let it have.
func figure(v *visit) error {
	_, d, err := v.drillAsked()
	if err != nil {
		return err
	}
	if d.Figure == nil {
		return errNoPage
	}
	svg, err := picture.Figure(d.Name, *d.Figure)
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "image/svg+xml")
	v.w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'")
	_, err = v.w.Write([]byte(svg))
	return err
}
