package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/desk"
	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// deskPage is who needs the coach today, what waits, and everybody.
type deskPage struct {
	frame
	Today    string
	Notices  []noticed
	Held     int // over the cap
	Waiting  int // to be worked out
	Muted    []mutedNotice
	Weeks    string // how many weeks are not handed over
	Find     string
	Found    bool // somebody was looked for
	Archived bool // the list is of those who are archived
	Students []deskLine
}

// noticed is one notice with what can be done about it.
type noticed struct {
	Student, Name, Kind, About string
	telling.NoticeText
	Mutable       bool
	Days          []option // to postpone by
	Reason, Fault string   // of a mute that was sent and could not be kept
}

type mutedNotice struct{ Student, Name, Kind, Title, Reason string }

// deskLine is one student of the list.
type deskLine struct{ ID, Name, Line string }

// postponeDays are how long a notice may be put off.
var postponeDays = []int{3, 7, 14}

func deskOf(v *visit) error {
	p, err := v.desk(practice.Decision{}, "")
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "desk", p)
}

// desk gathers the page; fault is what is wrong with a decision that was sent.
func (v *visit) desk(d practice.Decision, fault string) (deskPage, error) {
	today, err := v.Desk.Today(v.ctx(), v.who())
	if err != nil {
		return deskPage{}, err
	}
	next := planning.Next(today.Day)
	waiting, err := v.Bench.WaitingOf(v.ctx(), v.who(), today.Students, next)
	if err != nil {
		return deskPage{}, err
	}
	p := v.deskPage(today)
	if len(waiting) > 0 {
		p.Weeks = v.say("desk.weeks", "n", len(waiting), "date", telling.ShortDate(v.Words, next.Monday()))
	}
	for i := range p.Notices {
		if n := &p.Notices[i]; fault != "" && n.Student == d.Student && n.Kind == d.Kind {
			n.Reason, n.Fault = d.Reason, fault
		}
	}
	query := v.r.URL.Query()
	p.Find, p.Archived = strings.TrimSpace(query.Get("find")), query.Get("archived") != ""
	p.Found = p.Find != ""
	students := today.Students
	if p.Archived {
		students = today.Archived
	}
	p.Students = v.lines(today, students, p.Find)
	return p, nil
}

// lines are the students whose names have the text, by name.
func (v *visit) lines(today desk.Today, students []practice.Kept[practice.Student], find string) (out []deskLine) {
	for _, k := range students {
		s := k.Value
		if !strings.Contains(strings.ToLower(s.Name), strings.ToLower(find)) {
			continue
		}
		one := deskLine{ID: s.ID, Name: s.Name}
		if s.ArchivedOn != nil && *s.ArchivedOn <= today.Day {
			one.Line = v.say("desk.line.archived", "date", telling.LongDate(v.Words, *s.ArchivedOn))
		} else {
			one.Line = v.line(today, s.ID)
		}
		out = append(out, one)
	}
	slices.SortStableFunc(out, func(a, b deskLine) int { return cmp.Compare(a.Name, b.Name) })
	return out
}

// deskPage is the page of the day, without the list of students.
func (v *visit) deskPage(today desk.Today) deskPage {
	p := deskPage{frame: v.frame("desk.title"), Today: telling.LongDate(v.Words, today.Day), Held: today.Notices.Held, Waiting: today.Waiting}
	names := map[string]string{}
	for _, k := range today.Students {
		names[k.Value.ID] = k.Value.Name
	}
	for _, n := range today.Notices.Shown {
		one := noticed{Student: n.Student, Name: names[n.Student], Kind: string(n.Kind), About: n.About, Mutable: n.Kind.Mutable(),
			NoticeText: telling.Notice(v.Words, n, drillName)}
		for _, days := range postponeDays {
			one.Days = append(one.Days, option{Value: strconv.Itoa(days), Label: v.say("desk.days", "n", days)})
		}
		p.Notices = append(p.Notices, one)
	}
	for _, d := range today.Muted {
		p.Muted = append(p.Muted, mutedNotice{d.Student, names[d.Student], d.Kind, v.Words.Say("kind." + d.Kind), d.Reason})
	}
	return p
}

// drillName is the name of a built-in drill, or the id of a studio's own.
func drillName(id string) string { return telling.DrillName(library.Builtin(), id) }

// line is where a student stands in one line.
func (v *visit) line(today desk.Today, id string) string {
	l, ok := today.Looks[id]
	if !ok {
		return v.say("desk.line.waits")
	}
	parts := []string{v.say("desk.line.none")}
	if l.Reached > 0 {
		parts[0] = v.say("desk.line.proven", "seconds", l.Reached)
	}
	if l.Next > 0 {
		parts = append(parts, v.say("desk.line.next", "seconds", l.Next))
	}
	if l.Limiter != "" {
		parts = append(parts, v.say("desk.line.limit", "component", string(l.Limiter)))
	}
	if l.Last != nil {
		parts = append(parts, v.say("desk.line.last", "date", telling.ShortDate(v.Words, *l.Last)))
	}
	return strings.Join(parts, " · ")
}

// decide keeps what was decided about a notice.
func decide(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	d := practice.Decision{Student: v.typed("student"), Kind: v.typed("kind"), About: v.typed("about"), Answer: practice.Answer(v.typed("answer")),
		Reason: strings.TrimSpace(v.typed("reason"))}
	if d.Answer == practice.AnswerPostponed {
		days, err := strconv.Atoi(v.typed("days"))
		if err != nil || !slices.Contains(postponeDays, days) {
			return errBadForm
		}
		until := v.today() + practice.Date(days)
		d.Until = &until
	}
	var faults practice.Faults
	switch err := v.Desk.Decide(v.ctx(), v.who(), d); {
	case errors.As(err, &faults) && len(faults) == 1 && faults[0].Field == "reason":
		p, err := v.desk(d, v.fault(faults[0]))
		if err != nil {
			return err
		}
		return v.render(http.StatusUnprocessableEntity, "desk", p)
	case errors.As(err, &faults): // the page offers nothing that has any other
		return errors.Join(errBadForm, err)
	case err != nil:
		return err
	}
	return v.see("/")
}

// undecide takes a decision back.
func undecide(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	if err := v.Desk.Undo(v.ctx(), v.who(), v.typed("student"), v.typed("kind")); err != nil {
		return err
	}
	return v.see("/")
}
