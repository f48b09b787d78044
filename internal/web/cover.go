package web

import (
	"maps"
	"net/http"
	"slices"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// coversPage is who stands in for whom.
type coversPage struct {
	frame
	Covers []coverLine
	Fields []control
	Told   string
}

type coverLine struct {
	ID, Line string
	Mine     bool // to end
}

func coversOf(v *visit) error {
	p, err := v.coversPage(sent{})
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "covers", p)
}

func (v *visit) coversPage(from sent) (coversPage, error) {
	if err := v.may(practice.AddStudent); err != nil { // who has students of their own, or runs the studio
		return coversPage{}, err
	}
	covers, err := v.Roster.Covers(v.ctx(), v.who())
	if err != nil {
		return coversPage{}, err
	}
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return coversPage{}, err
	}
	p := coversPage{frame: v.frame("covers.title")}
	runs := v.may(practice.RunStudio) == nil
	for _, k := range covers {
		c := k.Value
		if c.To < v.today() {
			continue
		}
		line := coverLine{ID: c.ID, Mine: runs || c.For == v.who().ID,
			Line: v.say("covers.line", "for", names[c.For], "by", names[c.By], "from", telling.ShortDate(v.Words, c.From), "to", telling.ShortDate(v.Words, c.To))}
		if c.Student != "" {
			name := v.say("covers.one")
			if kept, err := v.Roster.Student(v.ctx(), v.who(), c.Student); err == nil {
				name = kept.Value.Name
			}
			line.Line += " " + v.say("covers.only", "name", name)
		}
		p.Covers = append(p.Covers, line)
	}
	working, err := v.Account.Working(v.ctx(), v.who(), v.today())
	if err != nil {
		return coversPage{}, err
	}
	p.Fields, err = v.coverFields(working, runs, from)
	if len(from.faults) > 0 {
		p.Told = v.say("care.wrong")
	}
	return p, err
}

// coverFields are the fields of a new cover; none where nobody else coaches
// here. A coach arranges one for their own students.
func (v *visit) coverFields(names map[string]string, runs bool, from sent) ([]control, error) {
	students, err := v.Roster.Students(v.ctx(), v.who())
	if err != nil {
		return nil, err
	}
	var people, away []option
	ids := slices.SortedFunc(maps.Keys(names), func(a, b string) int { return strings.Compare(names[a]+a, names[b]+b) })
	for _, id := range ids {
		if id != v.who().ID {
			people = append(people, option{Value: id, Label: names[id]})
		}
		if runs || id == v.who().ID {
			away = append(away, option{Value: id, Label: names[id]})
		}
	}
	if runs { // who may stand in as well, but is not the first to be thought of
		people = append(people, option{Value: v.who().ID, Label: names[v.who().ID]})
	}
	of := []option{{Label: v.say("covers.all")}}
	for _, k := range students {
		if s := k.Value; s.Coach != "" && (runs || s.Coach == v.who().ID) && s.ArchivedOn == nil {
			of = append(of, option{Value: s.ID, Label: s.Name})
		}
	}
	if len(ids) < 2 {
		return nil, nil
	}
	one := func(name, kind string, optional bool, options ...option) control {
		value := from.typed.Get(name)
		for i := range options {
			options[i].Chosen = options[i].Value == value
		}
		return control{field{Name: name, Label: v.say("covers." + name), Kind: kind, Value: value, Fault: from.faults[name], Options: options}, name, optional}
	}
	return []control{one("for", "select", false, away...), one("by", "select", false, people...), one("student", "select", true, of...),
		one("from", "date", false), one("to", "date", false)}, nil
}

// arrangeCover keeps a cover.
func arrangeCover(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	faults := map[string]string{}
	c := practice.Cover{For: v.typed("for"), By: v.typed("by"), Student: v.typed("student")}
	for name, day := range map[string]*practice.Date{"from": &c.From, "to": &c.To} {
		d, err := practice.ParseDate(v.typed(name))
		if err != nil {
			faults[name] = v.fault(practice.Fault{Code: practice.BadDate, Field: name, Value: practice.Short(v.typed(name))})
		}
		*day = d
	}
	if len(faults) == 0 {
		err := v.Roster.Cover(v.ctx(), v.who(), c)
		if err == nil {
			return v.see("/covers")
		}
		ok := false
		if faults, ok = v.faulty(err); !ok {
			return err
		}
	}
	p, err := v.coversPage(sent{typed: v.r.PostForm, faults: faults})
	if err != nil {
		return err
	}
	return v.render(http.StatusUnprocessableEntity, "covers", p)
}

// endCover takes a cover away.
func endCover(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	if err := v.Roster.EndCover(v.ctx(), v.who(), v.typed("id")); err != nil {
		return err
	}
	return v.see("/covers")
}
