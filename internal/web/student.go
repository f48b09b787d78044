package web

import (
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strings"

	"aplomb/internal/assess"
	"aplomb/internal/desk"
	"aplomb/internal/library"
	"aplomb/internal/picture"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// studentPage is one student: where they stand, with pictures, what was done,
// who is around them, and what was written.
type studentPage struct {
	frame
	ID, About, Goal string
	Background      string
	Week            string // where the week is reviewed
	Stops           []string
	Curve, Strings  shown
	Load, Tries     shown
	Milestone       []string
	Sessions        []doneSession
	Around          around
	Notes           notesOf
}

// shown is a picture in both shapes, what it says in sentences, and its table.
type shown struct {
	Wide, Narrow template.HTML
	Says         []string
	Table        string // what opens the table
	Head         []string
	Rows         [][]string
}

func student(v *visit) error {
	p, err := v.studentPage(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "student", p)
}

// studentPage builds the page from the student's look, worked out now where it
// is not fresh.
func (v *visit) studentPage(id string) (studentPage, error) {
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	if err != nil {
		return studentPage{}, err
	}
	look, err := v.Desk.Of(v.ctx(), v.who(), id)
	if err != nil {
		return studentPage{}, err
	}
	s := kept.Value
	p := studentPage{frame: v.frame("student.title", "name", s.Name), ID: id, About: v.about(s), Goal: v.goal(s), Background: s.Background, Week: weekPath(id, planning.Next(look.Standing.AsOf))}
	for _, stop := range look.Standing.Stops {
		p.Stops = append(p.Stops, telling.Stop(v.Words, stop))
	}
	r := &telling.Review{Student: s, Standing: look.Standing, Library: library.Builtin()}
	p.Curve, p.Strings = v.curve(r, look), v.strings(r)
	p.Load, p.Tries = v.load(look), v.tries(look)
	p.Milestone = append(telling.Proven(v.Words, r), telling.Forecast(v.Words, &look.Standing.Milestone)...)
	if p.Sessions, err = v.sessions(id); err != nil {
		return p, err
	}
	if p.Around, err = v.around(s, look.Standing.AsOf); err != nil {
		return p, err
	}
	p.Notes, err = v.notesOf(id)
	return p, err
}

// about is a student's days and minutes in one line.
func (v *visit) about(s practice.Student) string {
	minutes := 0
	var days []string
	for _, slot := range s.Slots {
		minutes += slot.Minutes
		days = append(days, telling.DayName(v.Words, slot.Day)[:3])
	}
	if len(days) == 0 {
		return v.say("student.nodays")
	}
	return v.say("student.days", "days", strings.Join(days, ", "), "minutes", minutes)
}

// goal is what a student is on the way to, and by when.
func (v *visit) goal(s practice.Student) string {
	switch {
	case s.Goal == "":
		return ""
	case s.GoalOn == nil:
		return v.say("student.goal", "goal", s.Goal)
	}
	return v.say("student.goal.by", "goal", s.Goal, "date", telling.LongDate(v.Words, *s.GoalOn))
}

func seconds(s float64) string { return fmt.Sprintf("%g s", math.Round(10*s)/10) }

func (v *visit) percent(c assess.Chance) string { return telling.Chance(v.Words, c) }

// both draws a picture in its two shapes.
func both(draw func(picture.Size) string) (wide, narrow template.HTML) {
	return template.HTML(draw(picture.Wide)), template.HTML(draw(picture.Narrow))
}

// curve is how long tries last.
func (v *visit) curve(r *telling.Review, l desk.Look) shown {
	s := shown{Table: v.say("table"), Says: append(telling.Chances(v.Words, r), telling.Window(v.Words, &l.Standing.Holds)...),
		Head: []string{v.say("table.seconds"), v.say("table.share")}}
	var steps []picture.Step
	for _, c := range l.Curve {
		steps = append(steps, picture.Step{Seconds: c.Seconds, P: c.P, Lo: c.Lo, Hi: c.Hi})
		s.Rows = append(s.Rows, []string{seconds(c.Seconds), v.percent(c)})
	}
	if len(steps) > 0 {
		alt := v.say("student.curve.alt", "sentences", strings.Join(s.Says, " "))
		s.Wide, s.Narrow = both(func(size picture.Size) string {
			return picture.Curve(alt, steps, practice.DefaultMilestonesS, size)
		})
	}
	return s
}

// strings is the components, the longer the further along: a level in logits as
// a share of what is in between a beginner and a master.
func (v *visit) strings(r *telling.Review) shown {
	s := shown{Table: v.say("table"), Says: telling.Limits(v.Words, r), Head: []string{v.say("table.component"), v.say("table.level"), v.say("table.asked"), v.say("table.limits")}}
	share := func(level float64) float64 { return 1 / (1 + math.Exp(-level/1.5)) }
	var list []picture.String
	const z80 = 1.2815515655446004 // of an 80% interval, both ends
	for _, c := range r.Standing.Components {
		if c.Asked == nil && c.N == 0 {
			continue // not asked for yet, and nothing seen
		}
		one := picture.String{Name: string(c.Name), Length: share(c.Level), Lo: share(c.Level - z80*c.SD), Hi: share(c.Level + z80*c.SD),
			Limits: r.Standing.LimiterKnown && c.Name == r.Standing.Limiter}
		asked := "–"
		if c.Asked != nil {
			a := share(*c.Asked)
			one.Asked, asked = &a, fmt.Sprintf("%.0f%%", 100*a)
		}
		list = append(list, one)
		s.Rows = append(s.Rows, []string{one.Name, fmt.Sprintf("%.0f%% (%s)", 100*one.Length, v.Words.Range(one.Lo, one.Hi)), asked, fmt.Sprintf("%.0f%%", 100*c.PLimits)})
	}
	if len(list) > 0 {
		alt := v.say("student.strings.alt", "sentences", strings.Join(s.Says, " "))
		s.Wide, s.Narrow = both(func(size picture.Size) string { return picture.Strings(alt, list, size) })
	}
	return s
}

// load is the minutes on the hands, week by week.
func (v *visit) load(l desk.Look) shown {
	s := shown{Table: v.say("table"), Says: append(telling.Pains(v.Words, &l.Standing.Load), telling.Hands(v.Words, &l.Standing.Load)...),
		Head: []string{v.say("table.week"), v.say("table.hands")}}
	var weeks []picture.LoadWeek
	for _, w := range l.Hands {
		monday := telling.ShortDate(v.Words, w.Week.Monday())
		weeks = append(weeks, picture.LoadWeek{Name: telling.DayMonth(v.Words, w.Week.Monday()), Minutes: w.Minutes})
		s.Rows = append(s.Rows, []string{monday, fmt.Sprintf("%g", w.Minutes)})
	}
	if len(weeks) > 0 {
		alt := v.say("student.load.alt", "sentences", strings.Join(s.Says, " "))
		s.Wide, s.Narrow = both(func(size picture.Size) string {
			return picture.Load(alt, weeks, l.Standing.Load.Ceiling, size)
		})
	}
	return s
}

// tries is the tries of twelve weeks, each on its string.
func (v *visit) tries(l desk.Look) shown {
	s := shown{Table: v.say("table"), Head: []string{v.say("table.day"), v.say("table.hold"), v.say("table.cold")}}
	if len(l.Tries) == 0 {
		return s
	}
	first, last := l.Tries[0].Day, l.Standing.AsOf
	var list []picture.Try
	var months []picture.Month
	for day := first; day <= last; day++ {
		if _, month, d := day.Time().Date(); d == 1 || day == first {
			months = append(months, picture.Month{Day: int(day - first), Name: v.Words.Say(fmt.Sprintf("month.%d", month))})
		}
	}
	if len(months) > 1 && months[1].Day < 7 {
		months = months[1:] // no room for the name of a month that ends at once
	}
	for _, t := range slices.Backward(l.Tries) {
		cold := ""
		if t.Cold {
			cold = v.say("table.yes")
		}
		s.Rows = append(s.Rows, []string{telling.ShortDate(v.Words, t.Day), seconds(t.Seconds), cold})
	}
	for _, t := range l.Tries {
		list = append(list, picture.Try{Day: int(t.Day - first), Seconds: t.Seconds, Caught: t.Caught, Lowered: t.Lowered, Cold: t.Cold})
	}
	s.Says = []string{v.say("student.tries", "n", len(list))}
	s.Wide, s.Narrow = both(func(size picture.Size) string {
		return picture.Tries(s.Says[0], list, months, int(last-first)+1, practice.DefaultMilestonesS, size)
	})
	return s
}
