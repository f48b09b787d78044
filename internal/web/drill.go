package web

import (
	"net/http"
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

type drillLine struct{ ID, Name, Purpose string }

// drillPage is one drill as a coach would show it.
type drillPage struct {
	frame
	ID, Alt, About string
	Drawn          bool
	Drill          practice.Drill
	Cues           []string
	Facts          []string
	Easier, Harder []drillLine
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
				one.Drills = append(one.Drills, drillLine{d.ID, d.Name, d.Purpose})
			}
		}
		if len(one.Drills) > 0 {
			p.Components = append(p.Components, one)
		}
	}
	return p
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
	return v.render(http.StatusOK, "drill", v.drillPage(lib, d))
}

func (v *visit) drillPage(lib *practice.Library, d practice.Drill) drillPage {
	p := drillPage{frame: v.frame("drill.title", "name", d.Name), ID: d.ID, Drill: d,
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
	p.Easier, p.Harder = linesOf(lib, library.Easier(lib)[d.ID]), linesOf(lib, d.Harder)
	return p
}

func linesOf(lib *practice.Library, ids []string) (out []drillLine) {
	for _, id := range ids {
		if d, ok := lib.Drill(id); ok {
			out = append(out, drillLine{d.ID, d.Name, d.Purpose})
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
