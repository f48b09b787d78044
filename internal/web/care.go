package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/load"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// carePage is what a student may not do, and when the student is away: stops,
// restrictions and pauses, each ended by a line of its own.
type carePage struct {
	frame
	ID       string
	Rev      int64
	Told     string // why nothing was kept
	Screened bool   // the screen has just made a stop
	Stops    []careLine
	Limits   []careLine // restrictions
	Away     []careLine
	New      map[string]careForm // what can be added, by what it does
	Screen   []control
	Asked    bool // the screen was sent, and stands open
}

// careLine is one thing that holds, or held, and the form that ends it.
type careLine struct {
	Text, Over string
	End        *careForm
}

// careForm is one form of the page; At is which stop, restriction or pause.
type careForm struct {
	ID, Rev, Do, At, Button, Label string
	Fields                         []control
}

func care(v *visit) error {
	p, err := v.carePage(v.r.PathValue("id"), sent{})
	if err != nil {
		return err
	}
	p.Screened = v.r.URL.Query().Get("screened") != ""
	return v.render(http.StatusOK, "care", p)
}

// carePage builds the page; what was sent stands in the form it came from.
func (v *visit) carePage(id string, s sent) (carePage, error) {
	if err := v.Roster.May(v.ctx(), v.who(), practice.WriteHealth, id); err != nil {
		return carePage{}, err
	}
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	if err != nil {
		return carePage{}, err
	}
	look, err := v.Desk.Of(v.ctx(), v.who(), id)
	if err != nil {
		return carePage{}, err
	}
	student := kept.Value
	p := carePage{frame: v.frame("care.title", "name", student.Name), ID: id, Rev: kept.Rev, Screen: v.screenFields(s), Asked: s.do == "screen"}
	sites := v.Roster.May(v.ctx(), v.who(), practice.SeeHealth, id) == nil
	c := &careMaker{v, id, strconv.FormatInt(kept.Rev, 10), v.today(), s}
	if l := look.Standing.Load; l.Pain == load.StopHandLoad && l.PainSince != nil {
		p.Stops = append(p.Stops, c.painLine(*l.PainSince))
	}
	for i, stop := range student.Stops {
		p.Stops = append(p.Stops, c.stopLine(i, stop))
	}
	for i, r := range student.Restrictions {
		p.Limits = append(p.Limits, c.limitLine(i, r, sites))
	}
	for i, a := range student.MinutesOff {
		p.Away = append(p.Away, c.awayLine(i, a))
	}
	p.New = map[string]careForm{"stop": c.newStop(), "limit": c.newLimit(), "away": c.newAway()}
	return p, nil
}

// today is the studio's day.
func (v *visit) today() practice.Date { return v.in.Studio.Zone.At(v.Now()).Date() }

// careMaker makes the forms of one page.
type careMaker struct {
	v       *visit
	id, rev string
	today   practice.Date
	sent    sent
}

// form is a form with its fields, filled with what was sent where it was this
// one.
func (c *careMaker) form(do, at, button string, fields ...field) careForm {
	f := careForm{ID: c.id, Rev: c.rev, Do: do, At: at, Button: c.v.say("care." + button)}
	mine := c.sent.do == do && c.sent.at == at
	for _, one := range fields {
		one.Label = c.v.say("care.field." + one.Name)
		if mine {
			one.Value, one.Fault = c.sent.typed.Get(one.Name), c.sent.faults[one.Name]
			for i := range one.Options {
				one.Options[i].Chosen = slices.Contains(c.sent.typed[one.Name], one.Options[i].Value)
			}
		}
		optional := one.Name == "until" && do == "limit" || one.Name == "reason" || one.Name == "site"
		f.Fields = append(f.Fields, control{one, do + at + "-" + one.Name, optional})
	}
	return f
}

func (c *careMaker) day(name string) field {
	return field{Name: name, Kind: "date", Value: c.today.String()}
}

// strains are the ticks for what is ruled out.
func (c *careMaker) strains() field {
	f := field{Name: "no", Kind: "ticks"}
	for _, strain := range practice.Strains {
		f.Options = append(f.Options, option{Value: string(strain), Label: c.v.Words.Say("strain." + string(strain))})
	}
	return f
}

func (c *careMaker) newStop() careForm {
	return c.form("stop", "", "stop.add", c.strains(), c.day("since"))
}

func (c *careMaker) newLimit() careForm {
	sites := field{Name: "site", Kind: "select", Options: []option{{Value: "", Label: c.v.say("care.site.none")}}}
	for _, site := range practice.PainSites {
		sites.Options = append(sites.Options, option{Value: site, Label: site})
	}
	return c.form("limit", "", "limit.add", sites, c.strains(), c.day("since"), field{Name: "until", Kind: "date"})
}

func (c *careMaker) newAway() careForm {
	return c.form("away", "", "away.add", c.day("from"), field{Name: "to", Kind: "date"}, field{Name: "reason", Kind: "text"})
}

func (c *careMaker) cleared(do, at, text string) *careForm {
	f := c.form(do, at, "clear", c.day("on"), field{Name: "by", Kind: "text"})
	f.Label = c.v.say("care.clear.this", "text", text)
	return &f
}

func (c *careMaker) list(no []practice.Strain) string {
	out := make([]string, len(no))
	for i, strain := range no {
		out[i] = c.v.Words.Say("strain." + string(strain))
	}
	return c.v.Words.List(out)
}

func (c *careMaker) date(d practice.Date) string { return telling.LongDate(c.v.Words, d) }

func (c *careMaker) stopLine(i int, s practice.Stop) careLine {
	l := careLine{Text: c.v.say("care.stop", "no", c.list(s.No), "date", c.date(s.Since))}
	if s.ClearedOn != nil {
		l.Over = c.v.say("care.cleared", "date", c.date(*s.ClearedOn), "by", s.ClearedBy)
		return l
	}
	l.End = c.cleared("clear", strconv.Itoa(i), l.Text)
	return l
}

// painLine is the stop that reported pain makes by itself.
func (c *careMaker) painLine(since practice.Date) careLine {
	l := careLine{Text: c.v.say("care.pain", "no", c.list([]practice.Strain{practice.HandLoad}), "date", c.date(since))}
	l.End = c.cleared("pain", "", l.Text)
	return l
}

func (c *careMaker) limitLine(i int, r practice.Restriction, sites bool) careLine {
	l := careLine{Text: c.v.say("care.stop", "no", c.list(r.No), "date", c.date(r.Since))}
	if r.Site != "" && sites {
		l.Text = c.v.say("care.limit", "site", r.Site, "no", c.list(r.No), "date", c.date(r.Since))
	}
	switch {
	case r.Until == nil:
		f := c.form("lift", strconv.Itoa(i), "lift", c.day("until"))
		f.Label = c.v.say("care.lift.this", "text", l.Text)
		l.End = &f
	case *r.Until < c.today:
		l.Over = c.v.say("care.ended", "date", c.date(*r.Until))
	default:
		l.Over = c.v.say("care.until", "date", c.date(*r.Until))
	}
	return l
}

func (c *careMaker) awayLine(i int, a practice.Away) careLine {
	l := careLine{Text: c.v.say("care.away", "from", c.date(a.From), "to", c.date(a.To)), Over: a.Reason}
	if a.To >= c.today {
		f := c.form("back", strconv.Itoa(i), "back")
		f.Label = c.v.say("care.back.this", "text", l.Text)
		l.End = &f
	}
	return l
}

// changeCare keeps one change of what a student may not do.
func changeCare(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := v.Roster.May(v.ctx(), v.who(), practice.WriteHealth, id); err != nil {
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
	if rev != kept.Rev { // somebody else came first: the numbers of lines may not be the same
		return v.careAgain(id, http.StatusConflict, v.say("care.changed"), nil)
	}
	r := &careReader{v: v, faults: map[string]string{}, today: v.today()}
	if kept.Value, err = r.changed(kept.Value); err != nil {
		return err
	}
	if len(r.faults) == 0 {
		_, err = v.Roster.Change(v.ctx(), v.who(), kept.Value, rev)
		var faults practice.Faults
		switch {
		case err == nil && v.typed("do") == "screen":
			return v.see("/students/" + id + "/care?screened=yes")
		case err == nil:
			return v.see("/students/" + id + "/care")
		case practice.HasCode(err, practice.ChangedSince):
			return v.careAgain(id, http.StatusConflict, v.say("care.changed"), nil)
		case practice.HasCode(err, practice.NoKey):
			return v.careAgain(id, http.StatusUnprocessableEntity, v.say("note.nokey"), nil)
		case !errors.As(err, &faults):
			return err
		}
		r.take(faults)
	}
	return v.careAgain(id, http.StatusUnprocessableEntity, v.say("care.wrong"), r.faults)
}

func (v *visit) careAgain(id string, status int, told string, faults map[string]string) error {
	p, err := v.carePage(id, sent{v.typed("do"), v.typed("at"), v.r.PostForm, faults})
	if err != nil {
		return err
	}
	p.Told = told
	return v.render(status, "care", p)
}

// careReader reads one form into a student.
type careReader struct {
	v      *visit
	faults map[string]string
	today  practice.Date
}

// take files the faults of the student under the fields of the form that was
// sent: the last name in stops[1].cleared_on.
func (r *careReader) take(faults practice.Faults) {
	fields := map[string]string{"cleared_on": "on", "cleared_by": "by"}
	for _, f := range faults {
		name := f.Field[strings.LastIndexByte(f.Field, '.')+1:]
		f.Field = ""
		r.faults[cmp.Or(fields[name], name)] = r.v.Words.Fault(f)
	}
}

func (r *careReader) wrong(name string, f practice.Fault) { r.faults[name] = r.v.Words.Fault(f) }

func (r *careReader) text(name string) string {
	return strings.Join(strings.Fields(r.v.typed(name)), " ")
}

// day reads a day; one that has to be past is not after today.
func (r *careReader) day(name string, past bool) practice.Date {
	text := r.text(name)
	if text == "" {
		r.wrong(name, practice.Fault{Code: practice.MissingField})
		return 0
	}
	d, err := practice.ParseDate(text)
	switch {
	case err != nil:
		r.wrong(name, practice.Fault{Code: practice.BadDate, Value: practice.Short(text)})
	case past && d > r.today:
		r.wrong(name, practice.Fault{Code: practice.OutOfRange, Value: text, Want: r.v.say("care.past")})
	}
	return d
}

func (r *careReader) strains() (no []practice.Strain) {
	for _, strain := range practice.Strains {
		if slices.Contains(r.v.r.PostForm["no"], string(strain)) {
			no = append(no, strain)
		}
	}
	if len(no) == 0 {
		r.wrong("no", practice.Fault{Code: practice.MissingField, Want: r.v.say("care.one")})
	}
	return no
}

// nth is which of n lines the form is about.
func (r *careReader) nth(n int) (int, error) {
	i, err := strconv.Atoi(r.v.typed("at"))
	if err != nil || i < 0 || i >= n {
		return 0, errBadForm
	}
	return i, nil
}

// changed is the student with the change the form asks for.
func (r *careReader) changed(s practice.Student) (practice.Student, error) {
	s.Stops, s.Restrictions, s.MinutesOff = slices.Clone(s.Stops), slices.Clone(s.Restrictions), slices.Clone(s.MinutesOff)
	switch r.v.typed("do") {
	case "stop":
		s.Stops = append(s.Stops, practice.Stop{No: r.strains(), Since: r.day("since", false)})
	case "limit":
		one := practice.Restriction{Site: r.text("site"), No: r.strains(), Since: r.day("since", false)}
		if r.text("until") != "" {
			until := r.day("until", false)
			one.Until = &until
		}
		s.Restrictions = append(s.Restrictions, one)
	case "away":
		s.MinutesOff = append(s.MinutesOff, practice.Away{From: r.day("from", false), To: r.day("to", false), Reason: r.text("reason")})
	case "screen":
		if no := r.v.screened(r.faults); len(no) > 0 {
			s.Stops = append(s.Stops, practice.Stop{No: no, Since: r.today})
		}
	default:
		return r.ended(s)
	}
	return s, nil
}

// ended is the student with a stop cleared, a restriction ended, or back.
func (r *careReader) ended(s practice.Student) (practice.Student, error) {
	switch r.v.typed("do") {
	case "pain":
		return r.painCleared(s)
	case "clear":
		i, err := r.nth(len(s.Stops))
		if err != nil || s.Stops[i].ClearedOn != nil {
			return s, errBadForm
		}
		on := r.day("on", true)
		s.Stops[i].ClearedOn, s.Stops[i].ClearedBy = &on, r.text("by")
	case "lift":
		i, err := r.nth(len(s.Restrictions))
		if err != nil {
			return s, err
		}
		until := r.day("until", false)
		s.Restrictions[i].Until = &until
	case "back":
		i, err := r.nth(len(s.MinutesOff))
		if err != nil {
			return s, err
		}
		if s.MinutesOff[i].To = r.today - 1; s.MinutesOff[i].To < s.MinutesOff[i].From {
			s.MinutesOff = slices.Delete(s.MinutesOff, i, i+1)
		}
	default:
		return s, errBadForm
	}
	return s, nil
}

// painCleared records the stop that reported pain made, with who cleared it.
func (r *careReader) painCleared(s practice.Student) (practice.Student, error) {
	look, err := r.v.Desk.Of(r.v.ctx(), r.v.who(), s.ID)
	if err != nil {
		return s, err
	}
	l := look.Standing.Load
	if l.Pain != load.StopHandLoad || l.PainSince == nil {
		return s, errBadForm
	}
	on := r.day("on", true)
	s.Stops = append(s.Stops, practice.Stop{No: []practice.Strain{practice.HandLoad}, Since: *l.PainSince, ClearedOn: &on, ClearedBy: r.text("by")})
	return s, nil
}
