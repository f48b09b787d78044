package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/assess"
	"aplomb/internal/library"
	"aplomb/internal/picture"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/week"
)

// pricedLeftOut is how many drills left out are priced on a review.
const pricedLeftOut = 6

// reviewPage is a student's draft week with what a coach may change, and how
// the student stands.
type reviewPage struct {
	frame
	ID, Week, Monday string
	Rev              int64
	Seen             string // the wish at that revision, to tell what was changed since
	Left             int    // weeks not handed over, this one among them
	Next             string // whose is next; empty: nobody's
	Told             string // what was just done, or why it was not
	Since            []string
	Standing, Notes  []string
	Handed           string // that a version was handed over, and when
	Hung             template.HTML
	Days             []plannedDay
	Drills           []chosen
	LeftOut          []leftOut
	Out              []option // drills the coach left out
	Share            int      // of the usual minutes, in percent
	From, To         []option // days with a session, and without
	Wished           bool
	Empty            bool
	Keys             []option
}

// reviewKeys are the single keys of the page; 1 stands for every number.
var reviewKeys = []string{"1", "k", "d", "c", "s", "b", "m", "v", "h", "n"}

// plannedDay is one session as text.
type plannedDay struct {
	Name   string
	Blocks []plannedBlock
}

type plannedBlock struct {
	Kind  practice.BlockKind // empty: a floor test
	Name  string
	Items []plannedItem
	Text  string // of a block without drills
}

type plannedItem struct{ Name, Dose, Cue string }

// chosen is one drill of the draft.
type chosen struct {
	ID, Name, Why, Cue string
	Kept               bool
}

// leftOut is a drill that is not in, with what it would cost.
type leftOut struct{ ID, Name, Cost string }

// firstReview leads to the first student whose week waits.
func firstReview(v *visit) error {
	today, _, err := v.Bench.Today(v.ctx(), v.who())
	if err != nil {
		return err
	}
	waiting, err := v.Bench.Waiting(v.ctx(), v.who(), planning.Next(today))
	if err != nil {
		return err
	}
	if len(waiting) == 0 {
		return v.see("/")
	}
	return v.see(weekPath(waiting[0].ID, planning.Next(today)))
}

func weekPath(student string, w practice.ISOWeek) string {
	return "/students/" + student + "/week/" + w.String()
}

// weekAsked is the week in the address.
func (v *visit) weekAsked() (practice.ISOWeek, error) {
	w, err := practice.ParseISOWeek(v.r.PathValue("week"))
	if err != nil {
		return w, errNoPage
	}
	return w, nil
}

func review(v *visit) error {
	p, err := v.reviewPage("")
	if err != nil {
		return err
	}
	if done := v.r.URL.Query().Get("done"); done != "" {
		if kept, err := v.Roster.Student(v.ctx(), v.who(), done); err == nil {
			p.Told = v.say("review.handed", "name", kept.Value.Name)
		}
	}
	return v.render(http.StatusOK, "review", p)
}

// reviewPage drafts the week and builds the page.
func (v *visit) reviewPage(told string) (reviewPage, error) {
	id := v.r.PathValue("id")
	w, err := v.weekAsked()
	if err != nil {
		return reviewPage{}, err
	}
	r, err := v.Bench.Review(v.ctx(), v.who(), id, w, pricedLeftOut)
	if err != nil {
		return reviewPage{}, err
	}
	waiting, err := v.Bench.Waiting(v.ctx(), v.who(), w)
	if err != nil {
		return reviewPage{}, err
	}
	t := &telling.Review{Student: r.Subject.Student, Standing: r.Standing, Draft: r.Draft, Library: r.Input.Library}
	telling.Dress(v.Words, t)
	seen, err := seenWish(r.Wish.Value)
	if err != nil {
		return reviewPage{}, err
	}
	p := reviewPage{Seen: seen, frame: v.frame("review.title", "name", r.Subject.Student.Name), ID: id, Week: w.String(),
		Monday: telling.ShortDate(v.Words, w.Monday()), Rev: r.Wish.Rev, Told: told, Left: len(waiting), Wished: r.Wish.Rev > 0,
		Share: int(math.Round(100 * r.Draft.Share.Of)), Empty: len(r.Draft.Week.Sessions) == 0}
	for i, s := range waiting {
		if s.ID == id && len(waiting) > 1 {
			p.Next = weekPath(waiting[(i+1)%len(waiting)].ID, w)
		}
	}
	if n := len(r.Handed); n > 0 {
		p.Handed = v.say("review.version", "n", r.Handed[n-1].Version, "date", telling.ShortDate(v.Words, r.Handed[n-1].HandedAt.Date()))
	}
	lesson, err := v.lessonNews(id, r.Standing.AsOf)
	if err != nil {
		return reviewPage{}, err
	}
	p.Since = append(telling.Since(v.Words, &r.Since), lesson...)
	p.Standing = v.standing(t)
	p.Notes = telling.Notes(v.Words, t)
	p.Hung, p.Days = v.hung(t), v.days(t)
	for _, key := range reviewKeys {
		one := option{Value: key, Label: v.say("review.key." + key)}
		if key == "1" {
			one.Value = "1–9"
		}
		p.Keys = append(p.Keys, one)
	}
	v.choices(&p, &r, t)
	return p, nil
}

// standing is what a coach wants to know before the week: what is stopped, how
// surely it is held, what limits.
func (v *visit) standing(t *telling.Review) (out []string) {
	for _, s := range t.Standing.Stops {
		if s.Source != assess.SourcePain { // the line on pain says it, and why
			out = append(out, telling.Stop(v.Words, s))
		}
	}
	out = append(out, strings.Join(telling.Pains(v.Words, &t.Standing.Load), " "))
	out = append(out, strings.Join(telling.Chances(v.Words, t), " "), strings.Join(telling.Limits(v.Words, t), " "),
		strings.Join(telling.Hands(v.Words, &t.Standing.Load), " "))
	return slices.DeleteFunc(out, func(s string) bool { return s == "" })
}

// choices fills what can be kept, dropped, brought in and moved.
func (v *visit) choices(p *reviewPage, r *planning.Review, t *telling.Review) {
	wish := r.Wish.Value
	for _, c := range r.Draft.Result.Drills {
		kept := slices.ContainsFunc(wish.Locks, func(l practice.WishLock) bool { return l.Drill == c.ID })
		one := chosen{ID: c.ID, Name: telling.DrillName(t.Library, c.ID), Kept: kept, Why: telling.Why(v.Words, r.Draft.Reasons[c.ID])}
		for _, s := range t.Draft.Week.Sessions {
			for _, b := range s.Blocks {
				for _, it := range b.Items {
					if it.Drill == c.ID && one.Cue == "" {
						one.Cue = it.Cue
					}
				}
			}
		}
		p.Drills = append(p.Drills, one)
	}
	for _, l := range r.Draft.LeftOut {
		p.LeftOut = append(p.LeftOut, leftOut{l.Drill, telling.DrillName(t.Library, l.Drill), telling.LeftOut(v.Words, t, l)})
	}
	for _, ban := range wish.Bans {
		p.Out = append(p.Out, option{Value: ban, Label: telling.DrillName(t.Library, ban)})
	}
	for day := practice.Weekday(0); day < 7; day++ {
		one := option{Value: day.String(), Label: telling.DayName(v.Words, day)}
		if planning.Taken(r.Input.Student.Slots, nil, day) {
			p.From = append(p.From, one)
		} else {
			p.To = append(p.To, one)
		}
	}
}

// work is what a block is, for its colour.
func work(t *telling.Review, kind practice.BlockKind, drill string) picture.Work {
	switch {
	case kind == practice.StrengthBlock:
		return picture.Strength
	case kind != practice.PracticeBlock:
		return picture.Frame
	case t.Draft.Reasons[drill].Kind == week.Challenge:
		return picture.Challenge
	}
	return picture.Easy
}

// hung is the picture of the week: every drill a block of its own.
func (v *visit) hung(t *telling.Review) template.HTML {
	return template.HTML(picture.HungWeek(v.say("review.hung.alt", "n", len(t.Draft.Week.Sessions)), v.hungDays(t)))
}

func (v *visit) hungDays(t *telling.Review) []picture.HungDay {
	days := make([]picture.HungDay, 7)
	for d := range days {
		days[d].Name, days[d].Rest = telling.DayName(v.Words, practice.Weekday(d)), v.say("review.rest")
		if t.Student.AwayOn(t.Draft.Week.ISOWeek.Monday() + practice.Date(d)) {
			days[d].Rest = v.say("review.away")
		}
	}
	for _, s := range t.Draft.Week.Sessions {
		day := &days[s.Day]
		day.Start = s.Start
		for _, b := range s.Blocks {
			if b.Kind == practice.LogBlock {
				continue
			}
			if len(b.Items) == 0 {
				day.Blocks = append(day.Blocks, picture.HungBlock{Name: v.Words.Say("block." + string(b.Kind)), Minutes: b.Minutes, Work: picture.Frame})
			}
			for _, it := range b.Items {
				minutes := it.Minutes
				if minutes == 0 {
					minutes = b.Minutes / float64(len(b.Items))
				}
				day.Blocks = append(day.Blocks, picture.HungBlock{Name: it.Name, Dose: telling.Dose(v.Words, t.Library, it), Minutes: minutes, Work: work(t, b.Kind, it.Drill)})
			}
		}
	}
	return days
}

// days is the week as text.
func (v *visit) days(t *telling.Review) (out []plannedDay) {
	for _, s := range t.Draft.Week.Sessions {
		start, rides := "", ""
		if s.Start != "" {
			start = v.Words.Say("week.session.start", "start", s.Start)
		}
		if s.RidesOn != "" {
			rides = v.Words.Say("week.session.rides", "what", s.RidesOn)
		}
		day := plannedDay{Name: v.Words.Say("week.session", "day", telling.DayName(v.Words, s.Day), "start", start, "minutes", s.Minutes, "rides", rides)}
		for _, b := range s.Blocks {
			block := plannedBlock{Kind: b.Kind, Name: fmt.Sprintf("%s, %g min", v.Words.Say("block."+string(b.Kind)), b.Minutes)}
			if len(b.Items) == 0 {
				block.Text = telling.BlockText(v.Words, t, b.Kind)
			}
			for _, it := range b.Items {
				block.Items = append(block.Items, plannedItem{it.Name, telling.Dose(v.Words, t.Library, it), it.Cue})
			}
			day.Blocks = append(day.Blocks, block)
		}
		for _, f := range telling.TestsOn(t, s.Day) {
			day.Blocks = append(day.Blocks, plannedBlock{Name: v.Words.Say("block.test"), Text: telling.TestName(t, f) + ". " + telling.TestWhy(v.Words, f)})
		}
		out = append(out, day)
	}
	return out
}

// changeWeek changes what the coach wants of the week, or hands it over.
func changeWeek(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	w, err := v.weekAsked()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	rev, err := strconv.ParseInt(v.typed("rev"), 10, 64)
	if err != nil {
		return errBadForm
	}
	if v.typed("do") == "hand" {
		return v.handOver(id, w, rev)
	}
	change, err := v.wished()
	if err != nil {
		return err
	}
	var faults practice.Faults
	switch err := v.Bench.Wish(v.ctx(), v.who(), id, w, rev, change); {
	case practice.HasCode(err, practice.ChangedSince):
		return v.weekChanged()
	case errors.As(err, &faults):
		return v.asItIs(http.StatusUnprocessableEntity, v.fault(faults[0]))
	case err != nil:
		return err
	}
	at := weekPath(id, w)
	if drill := v.typed("drill"); practice.ValidID(drill) {
		at += "#drill-" + drill
	}
	return v.see(at)
}

// asItIs shows the week as it stands now, with what came in between.
func (v *visit) asItIs(status int, told string) error {
	p, err := v.reviewPage(told)
	if err != nil {
		return err
	}
	return v.render(status, "review", p)
}

// weekChanged shows the week as it stands now, and tells what was changed since
// the page was opened.
func (v *visit) weekChanged() error {
	p, err := v.reviewPage("")
	if err != nil {
		return err
	}
	p.Told = v.changedSince(p.Seen)
	return v.render(http.StatusConflict, "review", p)
}

// seenWish is a wish as a page carries it.
func seenWish(w practice.Wish) (string, error) {
	doc, err := json.Marshal(w)
	return string(doc), err
}

// changedSince tells what is wanted of the week now that was not when the page
// was opened: what the form carries of that is worded, and used for nothing else.
func (v *visit) changedSince(now string) string {
	var was, is practice.Wish
	if json.Unmarshal([]byte(v.typed("seen")), &was) != nil {
		was = practice.Wish{} // then all that is wanted is told
	}
	if err := json.Unmarshal([]byte(now), &is); err != nil {
		panic("web: " + err.Error()) // it was made by seenWish
	}
	lines := telling.Wished(v.Words, library.Builtin(), was, is)
	if len(lines) == 0 {
		lines = []string{v.say("review.changed.same")}
	}
	return v.say("review.changed", "list", strings.Join(lines, " "))
}

func (v *visit) handOver(id string, w practice.ISOWeek, rev int64) error {
	waiting, err := v.Bench.Waiting(v.ctx(), v.who(), w)
	if err != nil {
		return err
	}
	_, err = v.Bench.HandOver(v.ctx(), v.who(), id, w, rev, func(r *planning.Review, drill string) string {
		if reason, ok := r.Draft.Reasons[drill]; ok {
			return telling.Why(v.Words, reason)
		}
		return ""
	})
	if practice.HasCode(err, practice.ChangedSince) {
		return v.weekChanged()
	}
	if err != nil {
		return err
	}
	for i, s := range waiting {
		if s.ID == id && len(waiting) > 1 {
			return v.see(weekPath(waiting[(i+1)%len(waiting)].ID, w) + "?done=" + id)
		}
	}
	return v.see(weekPath(id, w) + "?done=" + id)
}

// wished is the change the form asks for.
func (v *visit) wished() (func(*practice.Wish), error) {
	drill := v.typed("drill")
	unlock := func(w *practice.Wish, id string) {
		w.Locks = slices.DeleteFunc(w.Locks, func(l practice.WishLock) bool { return l.Drill == id })
	}
	unban := func(w *practice.Wish, id string) {
		w.Bans = slices.DeleteFunc(w.Bans, func(b string) bool { return b == id })
	}
	switch v.typed("do") {
	case "keep":
		return func(w *practice.Wish) {
			unban(w, drill)
			unlock(w, drill)
			w.Locks = append(w.Locks, practice.WishLock{Drill: drill})
		}, nil
	case "free":
		return func(w *practice.Wish) { unlock(w, drill) }, nil
	case "drop":
		return func(w *practice.Wish) { unlock(w, drill); unban(w, drill); w.Bans = append(w.Bans, drill) }, nil
	case "back":
		return func(w *practice.Wish) { unban(w, drill) }, nil
	case "swap":
		instead := v.typed("instead")
		return func(w *practice.Wish) {
			unlock(w, drill)
			unban(w, instead)
			w.Bans, w.Locks = append(w.Bans, drill), append(w.Locks, practice.WishLock{Drill: instead})
		}, nil
	case "cue":
		text := strings.Join(strings.Fields(v.typed("text")), " ")
		return func(w *practice.Wish) {
			w.Cues = slices.DeleteFunc(w.Cues, func(c practice.WishCue) bool { return c.Drill == drill })
			if text != "" {
				w.Cues = append(w.Cues, practice.WishCue{Drill: drill, Text: text})
			}
		}, nil
	case "again":
		return func(w *practice.Wish) { w.Locks, w.Bans, w.Cues, w.Moves, w.Minutes = nil, nil, nil, nil, nil }, nil
	}
	return v.wishedTimes()
}

// wishedTimes is a change of minutes or days.
func (v *visit) wishedTimes() (func(*practice.Wish), error) {
	switch v.typed("do") {
	case "minutes":
		percent, err := strconv.ParseFloat(v.typed("share"), 64)
		if err != nil {
			return nil, errBadForm
		}
		share := percent / 100
		return func(w *practice.Wish) { w.Minutes = &share }, nil
	case "move":
		var m practice.WishMove
		if errors.Join(m.From.UnmarshalText([]byte(v.typed("from"))), m.To.UnmarshalText([]byte(v.typed("to")))) != nil {
			return nil, errBadForm
		}
		return func(w *practice.Wish) {
			for i, old := range w.Moves {
				if old.To == m.From { // moved on: from where it was first
					m.From = old.From
					w.Moves = slices.Delete(w.Moves, i, i+1)
					break
				}
			}
			if m.From != m.To {
				w.Moves = append(w.Moves, m)
			}
		}, nil
	}
	return nil, errBadForm
}
