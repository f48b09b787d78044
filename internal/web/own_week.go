package web

import (
	"net/http"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// ownWeekPage is a student's week, today first.
type ownWeekPage struct {
	frame
	Coach string
	Stops []string
	Today ownDay
	Days  []ownDay // the next seven
}

// ownDay is a day of a student in a few lines.
type ownDay struct {
	Path, Start, Name string
	Sessions          []ownSession
	Line              string // of a day without a session
	Off               []phoneItem
}

type ownSession struct {
	Head   string // minutes, when, on top of what
	Drills string
}

// ownDayPages is a day whole.
type ownDayView struct {
	frame
	Day      ownDay
	Stops    []string
	Sessions []ownSessionView
	Off      []ownItem
}

type ownSessionView struct {
	Head   string
	Blocks []ownBlock
	Tests  []phoneTest
}

type ownBlock struct {
	Name, Text string
	Items      []ownItem
}

type ownItem struct {
	phoneItem
	Drill phoneDrill
}

// ownWeek is the student's first page.
func ownWeek(v *visit) error {
	plan, err := v.plan()
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "me_week", v.ownWeekPage(plan))
}

func (v *visit) ownWeekPage(plan phonePlan) ownWeekPage {
	p := ownWeekPage{frame: v.frame("own.week.title"), Coach: plan.Coach, Stops: stopTexts(plan)}
	for i, day := range plan.Days {
		one := v.ownDay(plan, day)
		if i == 0 {
			p.Today = one
		} else {
			p.Days = append(p.Days, one)
		}
	}
	return p
}

func stopTexts(plan phonePlan) (out []string) {
	for _, s := range plan.Stops {
		out = append(out, s.Text)
	}
	return out
}

func (v *visit) ownDay(plan phonePlan, day phoneDay) ownDay {
	out := ownDay{Path: "/me/day/" + day.Date.String(), Name: day.Name, Off: day.Off}
	for _, s := range day.Sessions {
		one := ownSession{Head: v.sessionHead(s)}
		var names []string
		for _, b := range s.Blocks {
			for _, it := range b.Items {
				if b.Kind != practice.StretchBlock {
					names = append(names, it.Name)
				}
			}
		}
		one.Drills = strings.Join(names, " · ")
		out.Sessions = append(out.Sessions, one)
	}
	switch {
	case len(out.Sessions) > 0:
		out.Start = "/me/session#" + day.Date.String()
	case day.Away:
		out.Line = v.Words.Say("phone.day.away")
	case !day.Handed:
		out.Line = v.Words.Say("phone.day.open")
	default:
		out.Line = v.Words.Say("phone.day.rest")
	}
	return out
}

// sessionHead is how long a session takes, when it is, and on top of what.
func (v *visit) sessionHead(s phoneSession) string {
	parts := []string{v.Words.Say("phone.minutes", "n", s.Minutes)}
	if s.Start != "" {
		parts = append(parts, s.Start)
	}
	if s.RidesOn != "" {
		parts = append(parts, v.Words.Say("phone.rides", "what", s.RidesOn))
	}
	return strings.Join(parts, " · ")
}

// ownDayPage is one of the days of the plan.
func ownDayPage(v *visit) error {
	if err := v.asStudent(); err != nil {
		return err
	}
	date, err := practice.ParseDate(v.r.PathValue("date"))
	if err != nil {
		return errNoPage
	}
	plan, err := v.plan()
	if err != nil {
		return err
	}
	for _, day := range plan.Days {
		if day.Date == date {
			return v.render(http.StatusOK, "me_day", v.ownDayView(plan, day))
		}
	}
	return errNoPage
}

func (v *visit) ownDayView(plan phonePlan, day phoneDay) ownDayView {
	p := ownDayView{frame: v.frame("own.day.title", "day", telling.LongDate(v.Words, day.Date)), Day: v.ownDay(plan, day), Stops: stopTexts(plan), Off: ownItems(plan, day.Off)}
	for _, s := range day.Sessions {
		one := ownSessionView{Head: v.sessionHead(s), Tests: s.Tests}
		for _, b := range s.Blocks {
			one.Blocks = append(one.Blocks, ownBlock{b.Name, b.Text, ownItems(plan, b.Items)})
		}
		p.Sessions = append(p.Sessions, one)
	}
	return p
}

func ownItems(plan phonePlan, items []phoneItem) (out []ownItem) {
	for _, it := range items {
		out = append(out, ownItem{it, plan.Drills[it.Drill]})
	}
	return out
}
