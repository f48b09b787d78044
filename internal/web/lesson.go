package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// lessonsPage is the one-to-one lessons of a student, and the form of one.
type lessonsPage struct {
	frame
	ID, Told string
	Lessons  []lessonLine
	Change   string // id of the lesson in the form; empty: a new one
	Rev      int64
	Fields   []control
}

// lessonLine is one lesson.
type lessonLine struct{ ID, Day, By, Text, Next string }

func lessons(v *visit) error {
	p, err := v.lessonsPage(v.r.PathValue("id"), v.r.URL.Query().Get("change"), sent{})
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "lessons", p)
}

// lessonsPage lists the lessons, the newest first; change is the one in the form.
func (v *visit) lessonsPage(id, change string, from sent) (lessonsPage, error) {
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	if err != nil {
		return lessonsPage{}, err
	}
	if err := v.Roster.May(v.ctx(), v.who(), practice.CoachStudent, id); err != nil {
		return lessonsPage{}, err
	}
	all, err := v.Roster.Lessons(v.ctx(), v.who(), id)
	if err != nil {
		return lessonsPage{}, err
	}
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return lessonsPage{}, err
	}
	p := lessonsPage{frame: v.frame("lessons.title", "name", kept.Value.Name), ID: id, Change: change}
	shown := practice.Note{At: v.in.Studio.Zone.Noon(v.today())}
	for _, k := range slices.Backward(all) {
		p.Lessons = append(p.Lessons, v.lessonLine(k.Value, names))
		if k.Value.ID == change {
			shown, p.Rev = k.Value, k.Rev
		}
	}
	if change != "" && p.Rev == 0 {
		return p, errNoPage
	}
	p.Fields = v.lessonFields(shown, from)
	return p, nil
}

func (v *visit) lessonLine(n practice.Note, names map[string]string) lessonLine {
	w := v.writtenNote(n, names)
	if n.Minutes > 0 {
		w.Day = v.say("lessons.on", "day", w.Day, "minutes", n.Minutes)
	}
	return lessonLine{n.ID, w.Day, w.By, n.Text, n.Next}
}

// lessonFields are the fields of a lesson.
func (v *visit) lessonFields(n practice.Note, from sent) []control {
	make := func(name, kind, value string, optional bool) control {
		if from.typed != nil {
			value = from.typed.Get(name)
		}
		return control{field{Name: name, Label: v.say("lessons." + name), Kind: kind, Value: value, Fault: from.faults[name]}, "lesson-" + name, optional}
	}
	minutes := ""
	if n.Minutes > 0 {
		minutes = strconv.FormatFloat(n.Minutes, 'f', -1, 64)
	}
	return []control{make("day", "date", n.At.Date().String(), false), make("minutes", "number", minutes, true),
		make("text", "text-area", n.Text, true), make("next", "text-area", n.Next, true)}
}

// keepLesson keeps a new lesson or one that was changed, or strikes one.
func keepLesson(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id, change := v.r.PathValue("id"), v.typed("lesson")
	if v.typed("do") == "strike" {
		if err := v.Roster.StrikeLesson(v.ctx(), v.who(), id, change); err != nil {
			return err
		}
		return v.see("/students/" + id + "/lessons")
	}
	n, day, base, faults := v.lessonOfForm(id, change)
	status, told := http.StatusUnprocessableEntity, v.say("care.wrong")
	if len(faults) == 0 {
		err := v.Roster.Lesson(v.ctx(), v.who(), n, day, base)
		ok := false
		switch faults, ok = v.faulty(err); {
		case err == nil:
			return v.see("/students/" + id + "/lessons")
		case practice.HasCode(err, practice.ChangedSince):
			status, told = http.StatusConflict, v.say("lessons.changed")
		case !ok:
			return err
		}
	}
	p, err := v.lessonsPage(id, change, sent{typed: v.r.PostForm, faults: faults})
	if err != nil {
		return err
	}
	p.Told = told
	return v.render(status, "lessons", p)
}

// lessonOfForm reads a lesson, its day, and the revision it was changed from.
func (v *visit) lessonOfForm(student, id string) (n practice.Note, day practice.Date, base int64, faults map[string]string) {
	faults = map[string]string{}
	n = practice.Note{ID: id, Student: student, Text: strings.TrimSpace(v.typed("text")), Next: strings.TrimSpace(v.typed("next"))}
	day, err := practice.ParseDate(v.typed("day"))
	if err != nil {
		faults["day"] = v.fault(practice.Fault{Code: practice.BadDate, Field: "day", Value: practice.Short(v.typed("day"))})
	}
	if text := strings.TrimSpace(v.typed("minutes")); text != "" {
		if n.Minutes, err = strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); err != nil {
			faults["minutes"] = v.fault(practice.Fault{Code: practice.BadNumber, Field: "minutes", Value: practice.Short(text)})
		}
	}
	if id != "" {
		if base, err = strconv.ParseInt(v.typed("rev"), 10, 64); err != nil || base < 1 {
			base = -1 // no revision anything has
		}
	}
	return n, day, base, faults
}

// lessonNewsDays is for how long what a lesson left for next is news: a guess.
const lessonNewsDays = 42

// lessonNews is what the last lesson left for next, where it is not long ago.
func (v *visit) lessonNews(id string, today practice.Date) ([]string, error) {
	all, err := v.Roster.Lessons(v.ctx(), v.who(), id)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	last := all[len(all)-1].Value
	if last.Next == "" || last.At.Date() <= today-lessonNewsDays {
		return nil, nil
	}
	return []string{v.say("review.lesson", "date", telling.ShortDate(v.Words, last.At.Date()), "text", last.Next)}, nil
}
