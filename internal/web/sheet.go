package web

import (
	"html/template"
	"net/http"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// sheetPage is a week on paper: the picture, then each session with room to
// write, then how each drill is done.
type sheetPage struct {
	frame
	Student string
	Stops   []string
	Hung    template.HTML
	Days    []sheetDay
	Off     []plannedItem
	Drills  []sheetDrill
}

type sheetDay struct {
	Name  string
	Frame []string // blocks without drills, in a line each
	Items []plannedItem
}

type sheetDrill struct{ Name, Setup, Out, Cue string }

// sheet is the week to print.
func sheet(v *visit) error {
	all, at, err := v.handedWeeks()
	if err != nil {
		return err
	}
	t, err := v.frozen(all[at])
	if err != nil {
		return err
	}
	w := t.Draft.Week
	p := sheetPage{frame: v.frame("sheet.title", "date", telling.LongDate(v.Words, w.ISOWeek.Monday())), Student: t.Student.Name,
		Stops: v.newStops(t), Hung: v.hung(t)}
	for i, day := range v.days(t) {
		one := sheetDay{Name: day.Name}
		for _, b := range day.Blocks {
			one.Items = append(one.Items, b.Items...)
			if len(b.Items) == 0 && b.Text != "" && b.Kind != practice.LogBlock { // what to log has lines of its own
				one.Frame = append(one.Frame, b.Name+": "+b.Text)
			}
		}
		p.Days = append(p.Days, one)
		p.drills(t.Library, w.Sessions[i])
	}
	for _, it := range w.DaysOff {
		p.Off = append(p.Off, plannedItem{it.Name, telling.Dose(v.Words, t.Library, it), it.Cue})
	}
	return v.render(http.StatusOK, "sheet", p)
}

// drills adds what the session has that is not there yet. A drill the library
// does not have any more has its name and cue alone.
func (p *sheetPage) drills(lib *practice.Library, s practice.PlannedSession) {
	for _, b := range s.Blocks {
		for _, it := range b.Items {
			if p.has(it.Name) {
				continue
			}
			d, _ := lib.Drill(it.Drill)
			p.Drills = append(p.Drills, sheetDrill{it.Name, strings.TrimSpace(d.Setup), strings.TrimSpace(d.Out), it.Cue})
		}
	}
}

func (p *sheetPage) has(name string) bool {
	for _, d := range p.Drills {
		if d.Name == name {
			return true
		}
	}
	return false
}
