package web

import (
	"html/template"
	"net/http"
	"slices"
	"strings"

	"aplomb/internal/picture"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// sheetPage is a week on paper: the picture, then a row for every drill and a
// column for every session, with the dose and room to write under it.
type sheetPage struct {
	frame
	Student string
	Stops   []string
	Hung    template.HTML
	Days    []sheetDay
	Rows    []sheetRow
	Off     []plannedItem
}

// sheetDay is a session's column: its day and start, its minutes and what it
// rides on.
type sheetDay struct{ Name, Minutes string }

// sheetRow is what is done, how, and how much in each session; empty where the
// session has none of it.
type sheetRow struct {
	Name, Cue, Text, Setup, Out string
	Cells                       []string
}

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
		Stops: v.newStops(t)}
	hung := v.hungDays(t)
	for _, day := range hung {
		for i := range day.Blocks {
			day.Blocks[i].Dose = "" // the table has it
		}
	}
	p.Hung = template.HTML(picture.HungWeek(v.say("review.hung.alt", "n", len(w.Sessions)), hung))
	for _, s := range w.Sessions {
		day := sheetDay{Name: strings.TrimSpace(telling.DayName(v.Words, s.Day) + " " + s.Start), Minutes: v.say("sheet.minutes", "n", s.Minutes)}
		if s.RidesOn != "" {
			day.Minutes += v.Words.Say("week.session.rides", "what", s.RidesOn)
		}
		p.Days = append(p.Days, day)
	}
	v.sheetRows(&p, t)
	for _, it := range w.DaysOff {
		p.Off = append(p.Off, plannedItem{it.Name, telling.Dose(v.Words, t.Library, it), it.Cue})
	}
	return v.render(http.StatusOK, "sheet", p)
}

// sheetRows fills the rows in the order of a session's blocks, floor tests last.
// What is logged has rows of its own on the sheet.
func (v *visit) sheetRows(p *sheetPage, t *telling.Review) {
	for _, kind := range practice.BlockKinds {
		for day, s := range t.Draft.Week.Sessions {
			for _, b := range s.Blocks {
				if b.Kind == kind && kind != practice.LogBlock {
					v.blockRows(p, t, day, b)
				}
			}
		}
	}
	for day, s := range t.Draft.Week.Sessions {
		for _, f := range telling.TestsOn(t, s.Day) {
			row := p.row(telling.TestName(t, f))
			row.Text, row.Cells[day] = v.Words.Say("block.test"), v.say("sheet.minutes", "n", f.Minutes)
		}
	}
}

func (v *visit) blockRows(p *sheetPage, t *telling.Review, day int, b practice.Block) {
	if len(b.Items) == 0 {
		row := p.row(v.Words.Say("block." + string(b.Kind)))
		row.Text, row.Cells[day] = telling.BlockText(v.Words, t, b.Kind), v.say("sheet.minutes", "n", b.Minutes)
	}
	for _, it := range b.Items {
		d, _ := t.Library.Drill(it.Drill) // one the library does not have any more has its name and cue alone
		row := p.row(it.Name)
		row.Cue, row.Setup, row.Out = it.Cue, strings.TrimSpace(d.Setup), strings.TrimSpace(d.Out)
		row.Cells[day] = telling.Dose(v.Words, t.Library, it)
	}
}

// row is the row of that name, made where there is none.
func (p *sheetPage) row(name string) *sheetRow {
	i := slices.IndexFunc(p.Rows, func(r sheetRow) bool { return r.Name == name })
	if i < 0 {
		i = len(p.Rows)
		p.Rows = append(p.Rows, sheetRow{Name: name, Cells: make([]string, len(p.Days))})
	}
	return &p.Rows[i]
}
