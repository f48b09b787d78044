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
	Archived bool
	Students []deskLine
}

// noticed is one notice with what can be done about it.
type noticed struct {
	Student, Name, Kind, About string
	telling.NoticeText
	Mutable bool
	Days    []option // to postpone by
}

type mutedNotice struct{ Student, Name, Kind, Title, Reason string }

// deskLine is one student of the list.
type deskLine struct{ ID, Name, Line string }

// postponeDays are how long a notice may be put off.
var postponeDays = []int{3, 7, 14}

func deskOf(v *visit) error {
	today, err := v.Desk.Today(v.ctx(), v.who())
	if err != nil {
		return err
	}
	muted, err := v.Desk.Muted(v.ctx(), v.who())
	if err != nil {
		return err
	}
	waiting, err := v.Bench.Waiting(v.ctx(), v.who(), planning.Next(today.Day))
	if err != nil {
		return err
	}
	p := v.deskPage(today, muted, v.r.URL.Query().Get("find"))
	if len(waiting) > 0 {
		p.Weeks = v.say("desk.weeks", "n", len(waiting), "date", telling.ShortDate(v.Words, planning.Next(today.Day).Monday()))
	}
	return v.render(http.StatusOK, "desk", p)
}

// deskPage builds the page; find narrows the list of students.
func (v *visit) deskPage(today desk.Today, muted []practice.Decision, find string) deskPage {
	p := deskPage{frame: v.frame("desk.title"), Today: telling.LongDate(v.Words, today.Day), Held: today.Notices.Held, Waiting: today.Waiting,
		Find: strings.TrimSpace(find)}
	p.Found = p.Find != ""
	names := map[string]string{}
	for _, k := range today.Students {
		names[k.Value.ID] = k.Value.Name
		if strings.Contains(strings.ToLower(k.Value.Name), strings.ToLower(p.Find)) {
			p.Students = append(p.Students, deskLine{k.Value.ID, k.Value.Name, v.line(today, k.Value.ID)})
		}
	}
	slices.SortStableFunc(p.Students, func(a, b deskLine) int { return cmp.Compare(a.Name, b.Name) })
	for _, n := range today.Notices.Shown {
		one := noticed{Student: n.Student, Name: names[n.Student], Kind: string(n.Kind), About: n.About, Mutable: n.Kind.Mutable(),
			NoticeText: telling.Notice(v.Words, n, drillName)}
		for _, days := range postponeDays {
			one.Days = append(one.Days, option{Value: strconv.Itoa(days), Label: v.say("desk.days", "n", days)})
		}
		p.Notices = append(p.Notices, one)
	}
	for _, d := range muted {
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
	st := l.Standing
	parts := []string{v.say("desk.line.none")}
	if m := st.Milestone; m.ReachedSeconds > 0 {
		parts[0] = v.say("desk.line.proven", "seconds", m.ReachedSeconds)
	}
	if st.LimiterKnown {
		parts = append(parts, v.say("desk.line.limit", "component", string(st.Limiter)))
	}
	if n := len(l.Hands); n > 0 {
		parts = append(parts, v.say("desk.line.hands", "minutes", l.Hands[n-1].Minutes))
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
		until := v.in.Studio.Zone.At(v.Now()).Date() + practice.Date(days)
		d.Until = &until
	}
	var faults practice.Faults
	switch err := v.Desk.Decide(v.ctx(), v.who(), d); {
	case errors.As(err, &faults): // the page offers nothing that has any
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
