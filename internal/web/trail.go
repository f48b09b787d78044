package web

import (
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// trailPage is who changed what and when, the newest first.
type trailPage struct {
	frame
	ID            string // of the student; empty: of the whole studio
	Lines         []trailLine
	Older         string
	Export, Erase string // of the student, for whoever may
}

// trailLine is one change, with what was before and is since.
type trailLine struct {
	When, What string
	Student    string // whose record; empty where it is that of the page, or nobody's
	Of         string // id, where there is such a student to see
	Fields     []trailField
}

type trailField struct{ Name, Was, Is string }

// linesAPage is how many changes a page has.
const linesAPage = 100

func studioTrail(v *visit) error { return v.trail("") }

func studentTrail(v *visit) error { return v.trail(v.r.PathValue("id")) }

func (v *visit) trail(student string) error {
	changes, err := v.Roster.Trail(v.ctx(), v.who(), student, v.r.URL.Query().Get("before"), linesAPage)
	if err != nil {
		return err
	}
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return err
	}
	students, err := v.Roster.Students(v.ctx(), v.who())
	if err != nil {
		return err
	}
	called := map[string]string{}
	for _, k := range students {
		called[k.Value.ID] = k.Value.Name
	}
	p := trailPage{frame: v.frame("trail.title"), ID: student}
	if student != "" {
		p.frame = v.frame("trail.title.of", "name", called[student])
		for do, path := range map[practice.Right]*string{practice.ExportPerson: &p.Export, practice.ErasePerson: &p.Erase} {
			if v.Roster.May(v.ctx(), v.who(), do, student) == nil {
				*path = "/students/" + student
			}
		}
	}
	for _, c := range changes {
		p.Lines = append(p.Lines, v.trailLine(c, student, names, called))
	}
	if n := len(changes); n == linesAPage {
		p.Older = "?before=" + changes[n-1].ID
	}
	return v.render(http.StatusOK, "trail", p)
}

func (v *visit) trailLine(c practice.Change, student string, names, called map[string]string) trailLine {
	by := names[c.By]
	switch {
	case by == "" && c.By == c.Student && c.Role == practice.AsStudent:
		by = v.say("trail.student")
	case by == "":
		by = v.say("trail.role." + string(c.Role))
	}
	one := trailLine{When: v.when(c.At), What: v.say("trail.line", "by", by, "act", v.say("trail.act."+string(c.Act)), "noun", v.say("trail.noun."+string(c.Noun)))}
	if c.Rows > 0 {
		one.What = v.say("trail.rows", "by", by, "act", v.say("trail.act."+string(c.Act)), "n", c.Rows)
	}
	if c.Act == practice.Erased {
		one.What = v.say("trail.erased", "by", by)
	}
	if student == "" && c.Student != "" {
		one.Student = called[c.Student]
		if one.Student != "" {
			one.Of = c.Student
		}
	}
	one.Fields = fieldsOf(c.Before, c.After)
	return one
}

// when is a moment as a person reads it.
func (v *visit) when(at practice.Instant) string {
	local := v.in.Studio.Zone.At(at.Time())
	return telling.ShortDate(v.Words, local.Date()) + " " + local.String()[11:16]
}

// mostShown is how much of a value a line shows.
const mostShown = 160

// fieldsOf are the fields that differ between two sides of a change, by name; a
// side that is not an object is shown whole.
func fieldsOf(before, after json.RawMessage) (out []trailField) {
	var was, is map[string]json.RawMessage
	if len(before) > 0 && json.Unmarshal(before, &was) != nil || len(after) > 0 && json.Unmarshal(after, &is) != nil {
		return []trailField{{"", cut(string(before)), cut(string(after))}}
	}
	all := maps.Clone(was)
	if all == nil {
		all = map[string]json.RawMessage{}
	}
	maps.Copy(all, is)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if a, b := string(was[name]), string(is[name]); a != b {
			out = append(out, trailField{name, cut(a), cut(b)})
		}
	}
	return out
}

// cut is a value as one line: JSON without its quotes where it is a text.
func cut(value string) string {
	var text string
	if json.Unmarshal([]byte(value), &text) == nil {
		value = text
	}
	value = strings.Join(strings.Fields(value), " ")
	if runes := []rune(value); len(runes) > mostShown {
		return string(runes[:mostShown]) + "…"
	}
	return value
}
