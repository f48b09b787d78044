package web

import (
	"errors"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/assess"
	"aplomb/internal/picture"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// milestonePage is the test of a milestone: the protocol, the evidence so far,
// and a form for a try that was seen.
type milestonePage struct {
	frame
	ID, Told     string
	Seconds      float64
	Stops        []string
	Says         []string // what is proven, and what is lacking
	Protocol     []string
	Wide, Narrow template.HTML
	Count, Older coldTries // within the window; before it
	Fields       []control
}

// coldTries is a table of them.
type coldTries struct {
	frame
	Lines []coldTryLine
}

type coldTryLine struct{ ID, Day, Held, Result, Place, Witness, Note string }

// evidenceDays is how far back the page lists cold tries: what is older than the
// window is shown as what it is.
const evidenceDays = 42

func milestone(v *visit) error {
	p, err := v.milestonePage(v.r.PathValue("id"), sent{})
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "milestone", p)
}

func (v *visit) milestonePage(id string, from sent) (milestonePage, error) {
	if err := v.Roster.May(v.ctx(), v.who(), practice.CoachStudent, id); err != nil {
		return milestonePage{}, err
	}
	day, studio, err := v.Bench.Today(v.ctx(), v.who())
	if err != nil {
		return milestonePage{}, err
	}
	s, err := v.Desk.Subject(v.ctx(), v.who(), studio, id, day)
	if err != nil {
		return milestonePage{}, err
	}
	look, err := v.Desk.Of(v.ctx(), v.who(), id)
	if err != nil {
		return milestonePage{}, err
	}
	m := look.Standing.Milestone
	p := milestonePage{frame: v.frame("milestone.title", "name", s.Student.Name), ID: id, Seconds: m.NextSeconds}
	for _, stop := range look.Standing.Stops {
		p.Stops = append(p.Stops, telling.Stop(v.Words, stop))
	}
	r := &telling.Review{Student: s.Student, Standing: look.Standing, Library: s.Library}
	p.Says = append(telling.Proven(v.Words, r), telling.Forecast(v.Words, &m)...)
	if m.NextSeconds == 0 {
		return p, nil
	}
	for n := 1; v.Words.Has("web.milestone.protocol." + strconv.Itoa(n)); n++ {
		p.Protocol = append(p.Protocol, v.say("milestone.protocol."+strconv.Itoa(n), "seconds", m.NextSeconds))
	}
	lines := assess.ColdEvidence(s, m.NextSeconds, evidenceDays)
	p.Wide, p.Narrow = v.coldPicture(lines, m.NextSeconds)
	p.Count.frame, p.Older.frame = p.frame, p.frame
	for _, l := range lines {
		table := &p.Count
		if l.Old {
			table = &p.Older
		}
		table.Lines = append(table.Lines, v.coldLine(l))
	}
	p.Fields = v.tryFields(from)
	if len(from.faults) > 0 {
		p.Told = v.say("care.wrong")
	}
	return p, nil
}

// coldPicture hangs the cold tries from a beam, the oldest first, over the
// milestone's length.
func (v *visit) coldPicture(lines []assess.ColdLine, seconds float64) (wide, narrow template.HTML) {
	first := v.today() - evidenceDays + 1
	var tries []picture.Try
	for _, l := range slices.Backward(lines) {
		if held := l.Attempt.Seconds; held.Known {
			tries = append(tries, picture.Try{Day: int(l.Day - first), Seconds: held.Value, Caught: held.Value >= practice.CatchS,
				Lowered: l.Attempt.End == practice.Lowered, Cold: true})
		}
	}
	if len(tries) == 0 {
		return "", ""
	}
	var weeks []picture.Month
	for day := first; day <= v.today(); day += 14 {
		weeks = append(weeks, picture.Month{Day: int(day - first), Name: telling.DayMonth(v.Words, day)})
	}
	alt := v.say("milestone.picture", "n", len(tries), "seconds", seconds)
	return both(func(size picture.Size) string {
		return picture.Tries(alt, tries, weeks, evidenceDays, []float64{seconds}, size)
	})
}

func (v *visit) coldLine(l assess.ColdLine) coldTryLine {
	a := l.Attempt
	one := coldTryLine{ID: a.ID, Day: v.say("milestone.on", "weekday", telling.DayName(v.Words, l.Day.Weekday())[:3], "date", telling.DayMonth(v.Words, l.Day)), Held: v.say("milestone.held.unknown"), Place: a.Place, Witness: string(a.Witness), Note: a.Note}
	if a.Seconds.Known {
		one.Held = seconds(a.Seconds.Value)
	}
	switch {
	case !l.Counts:
		one.Result = v.say("milestone.nocount")
	case l.Passed:
		one.Result = v.say("milestone.pass")
	default:
		one.Result = v.say("milestone.fail")
	}
	return one
}

// tryFields are the fields of a try that was seen.
func (v *visit) tryFields(from sent) []control {
	typed := func(name, otherwise string) string {
		if from.typed == nil {
			return otherwise
		}
		return from.typed.Get(name)
	}
	make := func(name, kind, value string, optional bool, options ...option) control {
		for i := range options {
			options[i].Chosen = options[i].Value == value
		}
		return control{field{Name: name, Label: v.say("milestone." + name), Kind: kind, Value: value, Fault: from.faults[name], Options: options}, "try-" + name, optional}
	}
	ends := []option{}
	for _, end := range []practice.End{practice.Over, practice.Under, practice.Sideways, practice.Stepped, practice.Lowered, practice.SpottedSave, practice.SpottedTouch, practice.Pain} {
		ends = append(ends, option{Value: string(end), Label: v.say("milestone.end." + string(end))})
	}
	return []control{
		make("day", "date", typed("day", v.today().String()), false),
		make("seconds", "number", typed("seconds", ""), false),
		make("end", "select", typed("end", string(practice.Lowered)), false, ends...),
		make("witness", "select", typed("witness", string(practice.Watched)), false, option{Value: string(practice.Watched), Label: v.say("milestone.watched")},
			option{Value: string(practice.Filmed), Label: v.say("milestone.filmed")}),
		make("place", "text", typed("place", ""), true),
		make("note", "text", typed("note", ""), true),
	}
}

// noteTry keeps a cold try that was seen, or how one in the log is known.
func noteTry(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if attempt := v.typed("attempt"); attempt != "" {
		if err := v.Roster.Witness(v.ctx(), v.who(), id, attempt, practice.Witness(v.typed("as"))); err != nil {
			var fs practice.Faults
			if errors.As(err, &fs) {
				return errBadForm
			}
			return err
		}
		return v.see("/students/" + id + "/milestone")
	}
	a, day, faults := v.tryOfForm(id)
	stop, stopped, err := v.stopOfTry(id, day)
	if err != nil {
		return err
	}
	if stopped {
		faults["day"] = v.say("tests.stopped", "stop", telling.Stop(v.Words, stop))
	}
	if len(faults) == 0 {
		err := v.Roster.NoteCold(v.ctx(), v.who(), a, day)
		if err == nil {
			return v.see("/students/" + id + "/milestone")
		}
		ok := false
		if faults, ok = v.faulty(err); !ok {
			return err
		}
	}
	p, err := v.milestonePage(id, sent{typed: v.r.PostForm, faults: faults})
	if err != nil {
		return err
	}
	return v.render(http.StatusUnprocessableEntity, "milestone", p)
}

// stopOfTry is a stop that held on the day on trying at all.
func (v *visit) stopOfTry(id string, day practice.Date) (stop assess.StopNow, held bool, err error) {
	look, err := v.Desk.Of(v.ctx(), v.who(), id)
	if err != nil {
		return stop, false, err
	}
	stop, held = stopOf(&look.Standing, []practice.Strain{practice.Inverted, practice.HandLoad, practice.Overhead}, day)
	return stop, held, nil
}

// tryOfForm reads the try and its day.
func (v *visit) tryOfForm(id string) (a practice.Attempt, day practice.Date, faults map[string]string) {
	faults = map[string]string{}
	a = practice.Attempt{Student: id, Drill: practice.ColdTry, Cold: practice.Known(true), End: practice.End(v.typed("end")),
		Witness: practice.Witness(v.typed("witness")), Place: strings.TrimSpace(v.typed("place")), Note: strings.TrimSpace(v.typed("note")), Timed: "stopwatch"}
	if a.Witness == practice.Filmed {
		a.Timed = "clip"
	}
	day, err := practice.ParseDate(v.typed("day"))
	if err != nil {
		faults["day"] = v.fault(practice.Fault{Code: practice.BadDate, Field: "day", Value: practice.Short(v.typed("day"))})
	}
	held, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(v.typed("seconds")), ",", ".", 1), 64)
	if err != nil {
		faults["seconds"] = v.fault(practice.Fault{Code: practice.BadNumber, Field: "seconds", Value: practice.Short(v.typed("seconds"))})
	}
	a.Seconds, a.Passed = practice.Known(held), practice.Known(held >= practice.CatchS)
	return a, day, faults
}
