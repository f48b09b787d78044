package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// formOf is a student as the fields of the form.
func formOf(s practice.Student) url.Values {
	number := func(x float64) string {
		if x == 0 {
			return ""
		}
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	date := func(d *practice.Date) string {
		if d == nil {
			return ""
		}
		return d.String()
	}
	zone := ""
	if s.Zone.Known() {
		zone = s.Zone.String()
	}
	v := url.Values{"name": {s.Name}, "born": {date(s.Born)}, "height_m": {number(s.HeightM)}, "mass_kg": {number(s.MassKg)}, "time_zone": {zone},
		"guardian": {s.Guardian}, "group": {s.Group}, "coach": {s.Coach}, "goal": {s.Goal}, "goal_on": {date(s.GoalOn)}, "background": {s.Background},
		"lead_leg": {string(s.LeadLeg)}, "exit_side": {string(s.ExitSide)}}
	if s.Fear != nil {
		v.Set("tips_over_fear", strconv.FormatFloat(*s.Fear, 'g', -1, 64))
	}
	if s.ArchivedOn != nil {
		v.Set("archived", "yes")
	}
	for _, k := range s.Kit {
		v.Add("kit", string(k))
	}
	for _, slot := range s.Slots {
		day := slot.Day.String()
		v.Set("minutes_"+day, strconv.Itoa(slot.Minutes))
		v.Set("start_"+day, slot.Start)
		v.Set("rides_"+day, slot.RidesOn)
	}
	return v
}

// intakeMaker makes the fields of one form.
type intakeMaker struct {
	v       *visit
	student practice.Student
	coaches []option
	values  url.Values
	faults  map[string]string
}

// field is one field with what stands in it; it may be left empty.
func (m *intakeMaker) field(name, kind string, options ...option) control {
	f := field{Name: name, Label: m.v.say("intake." + name), Kind: kind, Value: m.values.Get(name), Fault: m.faults[name], Options: options}
	if hint := "web.intake." + name + ".hint"; m.v.Words.Has(hint) {
		f.Hint = m.v.Words.Say(hint)
	}
	for i := range f.Options {
		f.Options[i].Chosen = slices.Contains(m.values[name], f.Options[i].Value)
	}
	return control{f, name, true}
}

func (m *intakeMaker) who() []control {
	name := m.field("name", "text")
	name.Optional = false
	out := []control{name, m.field("born", "date"), m.field("height_m", "number"), m.field("mass_kg", "number"), m.field("time_zone", "text"),
		m.field("guardian", "text"), m.field("group", "text")}
	if len(m.coaches) > 0 {
		out = append(out, m.field("coach", "select", m.coaches...))
	}
	if m.student.ID != "" {
		out = append(out, m.field("archived", "ticks", option{Value: "yes", Label: m.v.say("intake.archived.yes")}))
	}
	return out
}

func (m *intakeMaker) road() []control {
	sides := func() []option {
		out := []option{{Label: m.v.say("intake.side.none")}}
		for _, side := range practice.Sides {
			out = append(out, option{Value: string(side), Label: m.v.say("side." + string(side))})
		}
		return out
	}
	var kit []option
	for _, k := range practice.Kits {
		kit = append(kit, option{Value: string(k), Label: m.v.say("kit." + string(k))})
	}
	return []control{m.field("goal", "text"), m.field("goal_on", "date"), m.field("background", "text-area"), m.field("lead_leg", "select", sides()...),
		m.field("exit_side", "select", sides()...), m.field("tips_over_fear", "number"), m.field("kit", "ticks", kit...)}
}

func (m *intakeMaker) days() (out []dayFields) {
	for day := practice.Weekday(0); day < 7; day++ {
		one := dayFields{Name: telling.DayName(m.v.Words, day)}
		for _, part := range []struct{ name, kind string }{{"minutes", "number"}, {"start", "time"}, {"rides", "text"}} {
			name := part.name + "_" + day.String()
			one.Fields = append(one.Fields, control{field{Name: name, Label: m.v.say("intake." + part.name), Kind: part.kind, Value: m.values.Get(name), Fault: m.faults[name]}, name, true})
		}
		out = append(out, one)
	}
	return out
}

// dayField is the name a field of a student has in the form: sessions[1].start
// is the start of the second session's day.
func dayField(s practice.Student, field string) string {
	var i int
	if _, err := fmt.Sscanf(field, "sessions[%d]", &i); err != nil || i >= len(s.Slots) {
		return field
	}
	_, part, _ := strings.Cut(field, "].")
	return part + "_" + s.Slots[i].Day.String()
}

// intakeReader reads the form.
type intakeReader struct {
	v      *visit
	faults map[string]string
}

func (r *intakeReader) text(name string) string { return strings.TrimSpace(r.v.typed(name)) }

func (r *intakeReader) wrong(name string, code practice.Code, want string) {
	r.faults[name] = r.v.fault(practice.Fault{Code: code, Field: name, Value: practice.Short(r.text(name)), Want: want})
}

func (r *intakeReader) date(name string) *practice.Date {
	if r.text(name) == "" {
		return nil
	}
	d, err := practice.ParseDate(r.text(name))
	if err != nil {
		r.wrong(name, practice.BadDate, "")
	}
	return &d
}

// number reads a number with a decimal point or comma; nil where there is none.
func (r *intakeReader) number(name string) *float64 {
	if r.text(name) == "" {
		return nil
	}
	x, err := strconv.ParseFloat(strings.Replace(r.text(name), ",", ".", 1), 64)
	if err != nil {
		r.wrong(name, practice.BadNumber, "")
	}
	return &x
}

func (r *intakeReader) side(name string) practice.Side {
	if r.text(name) == "" {
		return ""
	}
	side, err := practice.Word(practice.Sides, r.text(name))
	if err != nil {
		r.wrong(name, practice.UnknownWord, "")
	}
	return side
}

// intakeOf reads the form into the student; what the form does not have stays.
func (v *visit) intakeOf(s practice.Student) (practice.Student, map[string]string) {
	r := &intakeReader{v, map[string]string{}}
	s.Name, s.Goal, s.Background, s.Guardian, s.Group = r.text("name"), r.text("goal"), r.text("background"), r.text("guardian"), r.text("group")
	s.Born, s.GoalOn, s.Fear = r.date("born"), r.date("goal_on"), r.number("tips_over_fear")
	s.HeightM, s.MassKg = r.size("height_m"), r.size("mass_kg")
	s.LeadLeg, s.ExitSide = r.side("lead_leg"), r.side("exit_side")
	if s.Born != nil && *s.Born > v.today() {
		r.wrong("born", practice.OutOfRange, v.say("care.past"))
	}
	s.Zone = practice.Zone{}
	if zone := r.text("time_zone"); zone != "" {
		var err error
		if s.Zone, err = practice.ParseZone(zone); err != nil {
			r.wrong("time_zone", practice.BadZone, "")
		}
	}
	switch today := v.today(); {
	case r.text("archived") == "":
		s.ArchivedOn = nil
	case s.ArchivedOn == nil:
		s.ArchivedOn = &today
	}
	s.Kit = nil
	for _, k := range practice.Kits {
		if slices.Contains(v.r.PostForm["kit"], string(k)) {
			s.Kit = append(s.Kit, k)
		}
	}
	s.Slots = r.slots()
	return s, r.faults
}

// size is a number of which 0 says it is unknown.
func (r *intakeReader) size(name string) float64 {
	x := r.number(name)
	if x == nil {
		return 0
	}
	if *x == 0 && r.faults[name] == "" {
		r.wrong(name, practice.OutOfRange, "")
	}
	return *x
}

// slots are the days with minutes; a start or a ride without minutes is a fault.
func (r *intakeReader) slots() (out []practice.Slot) {
	for day := practice.Weekday(0); day < 7; day++ {
		name := "minutes_" + day.String()
		slot := practice.Slot{Day: day, Start: r.text("start_" + day.String()), RidesOn: r.text("rides_" + day.String())}
		if r.text(name) == "" && slot.Start == "" && slot.RidesOn == "" {
			continue
		}
		minutes, err := strconv.Atoi(r.text(name))
		if err != nil {
			r.faults[name] = r.v.say("intake.minutes.wrong")
			continue
		}
		slot.Minutes = minutes
		out = append(out, slot)
	}
	return out
}
