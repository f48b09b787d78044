package web

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// intakePage is a student to be taken in, or one to be changed.
type intakePage struct {
	frame
	ID      string // empty: a new one
	Rev     int64
	Fields  []field
	Days    []dayField
	Kit     []option
	Screen  []option  // questions of the health screen, of a new student
	Told    string    // what is wrong beside the fields
	Stopped []stopped // stops that hold, of a student who is there
}

// stopped is a stop that holds.
type stopped struct{ Text, Since string }

// dayField is one day of the week a student may practise on.
type dayField struct{ Day, Name, Minutes, Start, Rides string }

// screen is the health screen: each yes keeps a student from going upside down,
// and the last from weight on the hands as well, until a clinician has cleared
// it. After the reasons listed for inversion by Cramer et al. 2013 and 2019 and
// Baskaran et al. 2006, and common practice; it asks, and diagnoses nothing.
var screen = []struct {
	id string
	no []practice.Strain
}{
	{"eyes", []practice.Strain{practice.Inverted}}, {"pressure", []practice.Strain{practice.Inverted}}, {"head", []practice.Strain{practice.Inverted}},
	{"heart", []practice.Strain{practice.Inverted}}, {"neck", []practice.Strain{practice.Inverted}}, {"pregnant", []practice.Strain{practice.Inverted}},
	{"bones", []practice.Strain{practice.Inverted, practice.HandLoad}}, {"operation", []practice.Strain{practice.Inverted, practice.HandLoad, practice.Overhead}},
}

func intakeForm(v *visit) error {
	if err := v.may(practice.AddStudent); err != nil {
		return err
	}
	return v.render(http.StatusOK, "intake", v.intakePage(practice.Student{}, 0, nil, nil))
}

// may refuses what is about no one student to whoever may not.
func (v *visit) may(do practice.Right) error {
	if !v.who().Role.May(do, practice.Other) {
		return practice.Refused(do)
	}
	return nil
}

// intakePage fills the form from a student; typed is what stands in it instead,
// where it was sent and has faults.
func (v *visit) intakePage(s practice.Student, rev int64, typed url.Values, faults map[string]string) intakePage {
	p := intakePage{frame: v.frame("intake.title"), ID: s.ID, Rev: rev}
	if s.ID != "" {
		p.frame = v.frame("intake.title.change", "name", s.Name)
	}
	text := func(name, kind, value string) {
		if typed != nil {
			value = typed.Get(name)
		}
		p.Fields = append(p.Fields, field{Name: name, Label: v.say("intake." + name), Kind: kind, Value: value, Fault: faults[name]})
	}
	text("name", "text", s.Name)
	born, goalOn := "", ""
	if s.Born != nil {
		born = s.Born.String()
	}
	if s.GoalOn != nil {
		goalOn = s.GoalOn.String()
	}
	text("born", "date", born)
	text("goal", "text", s.Goal)
	text("goal_on", "date", goalOn)
	text("background", "text", s.Background)
	fear := ""
	if s.Fear != nil {
		fear = strconv.FormatFloat(*s.Fear, 'g', -1, 64)
	}
	text("tips_over_fear", "text", fear)
	text("guardian", "text", s.Guardian)
	text("group", "text", s.Group)
	v.intakeDays(&p, s, typed)
	for _, k := range practice.Kits {
		chosen := slices.Contains(s.Kit, k)
		if typed != nil {
			chosen = slices.Contains(typed["kit"], string(k))
		}
		p.Kit = append(p.Kit, option{string(k), v.say("kit." + string(k)), chosen})
	}
	if s.ID == "" {
		for _, q := range screen {
			p.Screen = append(p.Screen, option{q.id, v.say("screen." + q.id), slices.Contains(typed["screen"], q.id)})
		}
	}
	for _, stop := range s.Stops {
		if stop.ClearedOn == nil {
			p.Stopped = append(p.Stopped, stopped{v.say("intake.stop", "date", telling.LongDate(v.Words, stop.Since)), stop.Since.String()})
		}
	}
	for _, name := range slices.Sorted(mapKeys(faults)) {
		if !slices.ContainsFunc(p.Fields, func(f field) bool { return f.Name == name }) {
			p.Told = strings.TrimSpace(p.Told + " " + faults[name])
		}
	}
	return p
}

func mapKeys(m map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func (v *visit) intakeDays(p *intakePage, s practice.Student, typed url.Values) {
	for day := practice.Weekday(0); day < 7; day++ {
		one := dayField{Day: day.String(), Name: telling.DayName(v.Words, day)}
		for _, slot := range s.Slots {
			if slot.Day == day {
				one.Minutes, one.Start, one.Rides = strconv.Itoa(slot.Minutes), slot.Start, slot.RidesOn
			}
		}
		if typed != nil {
			one.Minutes, one.Start, one.Rides = typed.Get("minutes_"+one.Day), typed.Get("start_"+one.Day), typed.Get("rides_"+one.Day)
		}
		p.Days = append(p.Days, one)
	}
}

// intakeOf reads the form into the student; what the form does not have stays.
func (v *visit) intakeOf(s practice.Student) (practice.Student, map[string]string) {
	faults := map[string]string{}
	wrong := func(name, value string, code practice.Code, want string) {
		faults[name] = v.Words.Fault(practice.Fault{Code: code, Value: practice.Short(value), Want: want})
	}
	get := func(name string) string { return strings.TrimSpace(v.typed(name)) }
	date := func(name string) *practice.Date {
		if get(name) == "" {
			return nil
		}
		d, err := practice.ParseDate(get(name))
		if err != nil {
			wrong(name, get(name), practice.BadDate, "2012-03-30")
			return nil
		}
		return &d
	}
	s.Name, s.Goal, s.Background, s.Guardian, s.Group = get("name"), get("goal"), get("background"), get("guardian"), get("group")
	s.Born, s.GoalOn, s.Fear = date("born"), date("goal_on"), nil
	if text := get("tips_over_fear"); text != "" {
		f, err := strconv.ParseFloat(text, 64)
		if s.Fear = &f; err != nil {
			s.Fear = nil
			wrong("tips_over_fear", text, practice.BadNumber, "0 to 10")
		}
	}
	s.Kit, s.Slots = nil, nil
	for _, k := range practice.Kits {
		if slices.Contains(v.r.PostForm["kit"], string(k)) {
			s.Kit = append(s.Kit, k)
		}
	}
	for day := practice.Weekday(0); day < 7; day++ {
		text := get("minutes_" + day.String())
		if text == "" {
			continue
		}
		minutes, err := strconv.Atoi(text)
		if err != nil {
			wrong("minutes_"+day.String(), text, practice.BadNumber, "whole minutes, 3 to 240")
			continue
		}
		s.Slots = append(s.Slots, practice.Slot{Day: day, Minutes: minutes, Start: get("start_" + day.String()), RidesOn: get("rides_" + day.String())})
	}
	return s, faults
}

// screened adds what the health screen stops.
func (v *visit) screened(s *practice.Student) {
	var no []practice.Strain
	for _, q := range screen {
		if slices.Contains(v.r.PostForm["screen"], q.id) {
			no = append(no, q.no...)
		}
	}
	if len(no) > 0 {
		slices.SortFunc(no, func(a, b practice.Strain) int {
			return cmp.Compare(slices.Index(practice.Strains, a), slices.Index(practice.Strains, b))
		})
		s.Stops = append(s.Stops, practice.Stop{No: slices.Compact(no), Since: v.in.Studio.Zone.At(v.Now()).Date()})
	}
}

// takeIn keeps a new student.
func takeIn(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	if err := v.may(practice.AddStudent); err != nil {
		return err
	}
	s, faults := v.intakeOf(practice.Student{})
	v.screened(&s)
	if s.ID = v.freeID(s.Name); s.ID == "" {
		s.ID = "student"
	}
	if len(faults) == 0 {
		_, err := v.Roster.TakeIn(v.ctx(), v.who(), s)
		if err == nil {
			return v.see("/students/" + s.ID)
		}
		at, ok := v.faulty(err)
		if !ok {
			return err
		}
		faults = at
	}
	s.ID = ""
	return v.render(http.StatusUnprocessableEntity, "intake", v.intakePage(s, 0, v.r.PostForm, faults))
}

// freeID is a short name for addresses that no student the person sees has.
func (v *visit) freeID(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	id := strings.Trim(b.String(), "-")
	if len(id) > 40 {
		id = id[:40]
	}
	tag := strconv.FormatInt(v.Now().UnixMilli()%46656, 36) // two of one name are told apart
	return strings.Trim(id+"-"+tag, "-")
}

func changeForm(v *visit) error {
	id := v.r.PathValue("id")
	if err := v.Roster.May(v.ctx(), v.who(), practice.CoachStudent, id); err != nil {
		return err
	}
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "intake", v.intakePage(kept.Value, kept.Rev, nil, nil))
}

// changeStudent keeps what was changed; somebody else's change meanwhile is
// told, and what was typed stays.
func changeStudent(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := v.Roster.May(v.ctx(), v.who(), practice.CoachStudent, id); err != nil {
		return err
	}
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	if err != nil {
		return err
	}
	rev, err := strconv.ParseInt(v.typed("rev"), 10, 64)
	if err != nil {
		return errBadForm
	}
	s, faults := v.intakeOf(kept.Value)
	if len(faults) == 0 {
		_, err := v.Roster.Change(v.ctx(), v.who(), s, rev)
		if err == nil {
			return v.see("/students/" + id)
		}
		if practice.HasCode(err, practice.ChangedSince) {
			p := v.intakePage(s, kept.Rev, v.r.PostForm, nil)
			p.Told = v.say("intake.changed")
			return v.render(http.StatusConflict, "intake", p)
		}
		at, ok := v.faulty(err)
		if !ok {
			return err
		}
		faults = at
	}
	return v.render(http.StatusUnprocessableEntity, "intake", v.intakePage(s, rev, v.r.PostForm, faults))
}

// clearStop records that a clinician cleared a stop.
func clearStop(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	since, err := practice.ParseDate(v.typed("since"))
	on, err2 := practice.ParseDate(v.typed("on"))
	rev, err3 := strconv.ParseInt(v.typed("rev"), 10, 64)
	if err := errors.Join(err, err2, err3); err != nil {
		return errors.Join(errBadForm, err)
	}
	_, err = v.Roster.ClearStop(v.ctx(), v.who(), id, since, on, strings.TrimSpace(v.typed("by")), rev)
	var faults practice.Faults
	if errors.As(err, &faults) { // a day before the stop, or nobody named
		kept, err := v.Roster.Student(v.ctx(), v.who(), id)
		if err != nil {
			return err
		}
		p := v.intakePage(kept.Value, kept.Rev, nil, nil)
		p.Told = v.Words.Fault(practice.Fault{Code: faults[0].Code, Value: faults[0].Value, Want: faults[0].Want})
		return v.render(http.StatusUnprocessableEntity, "intake", p)
	}
	if err != nil {
		return err
	}
	return v.see("/students/" + id + "/change")
}
