package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// ownDrillPage is the form of a studio's own drill.
type ownDrillPage struct {
	frame
	ID, From string // of the drill; of the one a new drill starts from
	FromName string
	Rev      int64
	Told     string
	Needs    []string
	Texts    []control
	Sorts    []control
	Dose     []control
}

// firstSD is how unsure the difficulty of a new drill is, in logits: it is placed
// by eye beside a drill that is known better. A guess to edit.
const firstSD = 1.0

// harderBy is what "easier" and "harder" than the drill it starts from mean, in
// logits: of tries that pass half the time about a third, or two thirds. A guess
// to edit; what is logged moves it.
const harderBy = 0.7

// numbers of a drill, by the name of their field.
var drillNumbers = []struct {
	name string
	get  func(*practice.Drill) float64
	set  func(*practice.Drill, float64)
}{
	{"reps", func(d *practice.Drill) float64 { return float64(d.Reps) }, func(d *practice.Drill, v float64) { d.Reps = int(v) }},
	{"seconds", func(d *practice.Drill) float64 { return d.Seconds }, func(d *practice.Drill, v float64) { d.Seconds = v }},
	{"rest_seconds", func(d *practice.Drill) float64 { return d.RestSeconds }, func(d *practice.Drill, v float64) { d.RestSeconds = v }},
	{"set_minutes", func(d *practice.Drill) float64 { return d.SetMinutes }, func(d *practice.Drill, v float64) { d.SetMinutes = v }},
	{"setup_minutes", func(d *practice.Drill) float64 { return d.SetupMinutes }, func(d *practice.Drill, v float64) { d.SetupMinutes = v }},
	{"hand_minutes", func(d *practice.Drill) float64 { return d.HandMinutes }, func(d *practice.Drill, v float64) { d.HandMinutes = v }},
	{"min_sets", func(d *practice.Drill) float64 { return float64(d.MinSets) }, func(d *practice.Drill, v float64) { d.MinSets = int(v) }},
	{"max_sets", func(d *practice.Drill) float64 { return float64(d.MaxSets) }, func(d *practice.Drill, v float64) { d.MaxSets = int(v) }},
	{"week_sets", func(d *practice.Drill) float64 { return float64(d.WeekSets) }, func(d *practice.Drill, v float64) { d.WeekSets = int(v) }},
}

// texts of a drill, by the name of their field.
var drillTexts = []struct {
	name, kind string
	optional   bool
	of         func(*practice.Drill) *string
}{
	{"name", "text", false, func(d *practice.Drill) *string { return &d.Name }},
	{"purpose", "text", false, func(d *practice.Drill) *string { return &d.Purpose }},
	{"setup", "text-area", false, func(d *practice.Drill) *string { return &d.Setup }},
	{"criterion", "text", false, func(d *practice.Drill) *string { return &d.Criterion }},
	{"out", "text-area", true, func(d *practice.Drill) *string { return &d.Out }},
	{"not_for", "text-area", true, func(d *practice.Drill) *string { return &d.NotFor }},
	{"spot", "text-area", true, func(d *practice.Drill) *string { return &d.Spot }},
}

// formOfDrill is what a form of the drill holds.
func formOfDrill(d *practice.Drill) url.Values {
	form := url.Values{"component": {string(d.Component)}, "kind": {string(d.Kind)}, "support": {string(d.Support)}, "measure": {string(d.Measure)},
		"steps": {strings.Join(d.Steps, "\n")}, "hard": {"0"}}
	for _, t := range drillTexts {
		form.Set(t.name, *t.of(d))
	}
	for _, n := range drillNumbers {
		form.Set(n.name, strconv.FormatFloat(n.get(d), 'g', -1, 64))
	}
	for _, c := range d.Cues {
		if name := "cue_" + string(c.Kind); form.Get(name) == "" {
			form.Set(name, c.Text)
		}
	}
	for i, e := range d.Errors {
		form.Set("error_"+strconv.Itoa(i+1), e.Error)
		form.Set("change_"+strconv.Itoa(i+1), e.Change)
	}
	for _, s := range d.Strains {
		form.Add("strains", string(s))
	}
	for _, k := range d.Kit {
		form.Add("kit", string(k))
	}
	if d.Retired {
		form.Set("retired", "yes")
	}
	return form
}

// mostErrors is how many errors of a drill the form has room for.
const mostErrors = 2

// drillOfForm reads the form into a drill that was, or that it starts from.
func (v *visit) drillOfForm(d practice.Drill, faults map[string]string) practice.Drill {
	for _, t := range drillTexts {
		*t.of(&d) = strings.TrimSpace(v.typed(t.name))
	}
	for _, n := range drillNumbers {
		text := strings.Replace(strings.TrimSpace(v.typed(n.name)), ",", ".", 1)
		value, err := strconv.ParseFloat(cmp.Or(text, "0"), 64)
		if err != nil {
			faults[n.name] = v.fault(practice.Fault{Code: practice.BadNumber, Field: n.name, Value: practice.Short(text)})
			continue
		}
		n.set(&d, value)
	}
	d.Component, d.Kind = practice.Component(v.typed("component")), practice.Kind(v.typed("kind"))
	d.Support, d.Measure = practice.Support(v.typed("support")), practice.Measure(v.typed("measure"))
	d.Steps, d.Cues, d.Errors, d.Strains, d.Kit = nil, nil, nil, nil, nil
	for line := range strings.Lines(v.typed("steps")) {
		if step := strings.TrimSpace(line); step != "" {
			d.Steps = append(d.Steps, step)
		}
	}
	for _, kind := range practice.CueKinds {
		if text := strings.TrimSpace(v.typed("cue_" + string(kind))); text != "" {
			d.Cues = append(d.Cues, practice.Cue{ID: string(kind), Kind: kind, Text: text})
		}
	}
	for i := range mostErrors {
		n := strconv.Itoa(i + 1)
		e := practice.Slip{Error: strings.TrimSpace(v.typed("error_" + n)), Change: strings.TrimSpace(v.typed("change_" + n))}
		if e.Error == "" && e.Change == "" {
			continue
		}
		if e.Error == "" || e.Change == "" {
			faults["error_"+n] = v.say("own.error.half")
		}
		d.Errors = append(d.Errors, e)
	}
	for _, s := range v.r.PostForm["strains"] {
		d.Strains = append(d.Strains, practice.Strain(s))
	}
	for _, k := range v.r.PostForm["kit"] {
		d.Kit = append(d.Kit, practice.Kit(k))
	}
	d.Retired = v.typed("retired") == "yes"
	if by, err := strconv.ParseFloat(v.typed("hard"), 64); err == nil {
		d.Difficulty = min(8, max(-8, d.Difficulty+by*harderBy))
	}
	return d
}

// ownDrillForm shows the form of a new drill, or of one of the studio's own.
func ownDrillForm(v *visit) error {
	d, rev, from, err := v.drillToWrite()
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "own_drill", v.ownDrillPage(d, rev, from, sent{typed: formOfDrill(&d)}))
}

// drillToWrite is the drill of the form: one of the studio's own, or, new, the
// one it starts from.
func (v *visit) drillToWrite() (d practice.Drill, rev int64, from string, err error) {
	own, err := v.Roster.OwnDrills(v.ctx(), v.who())
	if err != nil {
		return d, 0, "", err
	}
	if id := v.r.PathValue("id"); id != "" {
		for _, k := range own {
			if k.Value.ID == id {
				return k.Value, k.Rev, "", nil
			}
		}
		return d, 0, "", errNoPage
	}
	lib, err := v.Desk.Library(v.ctx(), v.who())
	if err != nil {
		return d, 0, "", err
	}
	from = cmp.Or(v.r.URL.Query().Get("from"), v.typed("start"))
	d, ok := lib.Drill(from)
	if !ok {
		return d, 0, "", errNoPage
	}
	d.ID, d.Harder, d.Before, d.Figure, d.Source, d.Retired = "", nil, nil, nil, v.say("own.source", "studio", v.in.Studio.Name), false
	d.DifficultySD = max(d.DifficultySD, firstSD)
	return d, 0, from, nil
}

// writeOwnDrill keeps the drill of the form.
func writeOwnDrill(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	was, rev, from, err := v.drillToWrite()
	if err != nil {
		return err
	}
	faults := map[string]string{}
	d := v.drillOfForm(was, faults)
	lib, err := v.Desk.Library(v.ctx(), v.who())
	if err != nil {
		return err
	}
	if d.ID == "" {
		d.ID = freeID(lib, d.Name)
	}
	for _, f := range append(d.Check(), fits(lib, d)...) {
		field := cmp.Or(formField(f.Field), "name")
		faults[field] = cmp.Or(faults[field], v.fault(practice.Fault{Code: f.Code, Field: f.Field, Value: f.Value, Want: f.Want}))
	}
	status, told := http.StatusUnprocessableEntity, v.say("care.wrong")
	if len(faults) == 0 {
		base := rev
		if rev > 0 && v.typed("rev") != strconv.FormatInt(rev, 10) {
			base = -1 // the page is older than the drill
		}
		err := v.Roster.KeepDrill(v.ctx(), v.who(), d, base)
		if err == nil {
			return v.see("/drills/" + d.ID)
		}
		if !practice.HasCode(err, practice.ChangedSince) {
			return err
		}
		status, told = http.StatusConflict, v.say("own.changed")
	}
	was.Needs = d.Needs
	p := v.ownDrillPage(was, rev, from, sent{typed: v.r.PostForm, faults: faults})
	p.Told = told
	return v.render(status, "own_drill", p)
}

// fits lists what the library cannot have of the drill.
func fits(lib *practice.Library, d practice.Drill) []practice.Fault {
	fs := library.CheckOwn(lib, []practice.Drill{d})
	path := "drills[" + d.ID + "]."
	fs = slices.DeleteFunc(fs, func(f practice.Fault) bool { return !strings.HasPrefix(f.Field, path) })
	for i := range fs {
		fs[i].Field = strings.TrimPrefix(fs[i].Field, path)
	}
	return fs
}

// formField is the field of the form a fault of a drill belongs to.
func formField(field string) string {
	field, _, _ = strings.Cut(field, "[")
	switch field {
	case "cues":
		return "cue_" + string(practice.CueKinds[0])
	case "needs", "harder":
		return "support"
	case "difficulty", "difficulty_sd":
		return "hard"
	case "id", "source":
		return "name"
	}
	return field
}

// freeID is an id made of a name that no drill has.
func freeID(lib *practice.Library, name string) string {
	id := strings.Trim(strings.Map(func(r rune) rune {
		r = unicode.ToLower(r)
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, name), "-")
	for strings.Contains(id, "--") {
		id = strings.ReplaceAll(id, "--", "-")
	}
	id = cmp.Or(id[:min(len(id), 48)], "own")
	for n, try := 2, id; ; n++ {
		if _, taken := lib.Drill(try); !taken {
			return try
		}
		try = id + "-" + strconv.Itoa(n)
	}
}

// ownDrillPage lays the form out.
func (v *visit) ownDrillPage(d practice.Drill, rev int64, from string, sent sent) ownDrillPage {
	p := ownDrillPage{frame: v.frame("own.title"), ID: d.ID, From: from, FromName: d.Name, Rev: rev}
	if d.ID != "" {
		p.frame = v.frame("own.title.change", "name", d.Name)
	}
	lib := library.Builtin()
	for i := range d.Needs {
		p.Needs = append(p.Needs, v.Words.Say("drills.needs", "list", telling.Ways(v.Words, lib, &d.Needs[i])))
	}
	make := func(name, kind string, optional bool, options ...option) control {
		f := field{Name: name, Label: v.say("own." + name), Kind: kind, Value: sent.typed.Get(name), Fault: sent.faults[name], Options: options}
		if hint := "web.own." + name + ".hint"; v.Words.Has(hint) {
			f.Hint = v.Words.Say(hint)
		}
		for i := range f.Options {
			f.Options[i].Chosen = slices.Contains(sent.typed[name], f.Options[i].Value)
		}
		return control{f, name, optional}
	}
	for _, t := range drillTexts {
		p.Texts = append(p.Texts, make(t.name, t.kind, t.optional))
		if t.name == "setup" {
			p.Texts = append(p.Texts, make("steps", "text-area", true), make("cue_feel", "text", true), make("cue_look", "text", true), make("cue_push", "text", true))
		}
	}
	p.Texts = append(p.Texts, make("error_1", "text", true), make("change_1", "text", true), make("error_2", "text", true), make("change_2", "text", true))
	p.Sorts = v.drillSorts(make, d.ID != "")
	for _, n := range drillNumbers {
		p.Dose = append(p.Dose, make(n.name, "number", true))
	}
	return p
}

// drillSorts are the fields that sort a drill in.
func (v *visit) drillSorts(make func(name, kind string, optional bool, options ...option) control, own bool) []control {
	var components []option
	for _, c := range library.Builtin().Components {
		components = append(components, option{Value: string(c.Name), Label: string(c.Name)})
	}
	hard := []option{{Value: "0", Label: v.say("own.hard.same")}, {Value: "-1", Label: v.say("own.hard.easier")}, {Value: "1", Label: v.say("own.hard.harder")}}
	out := []control{make("component", "select", false, components...), make("kind", "select", false, named(v, "own.kind.", practice.Kinds)...),
		make("support", "select", false, named(v, "own.support.", practice.Supports)...), make("measure", "select", false, named(v, "own.measure.", practice.Measures)...),
		make("hard", "select", false, hard...), make("strains", "ticks", true, named(v, "own.strain.", practice.Strains)...),
		make("kit", "ticks", true, named(v, "kit.", practice.Kits)...)}
	if own {
		out = append(out, make("retired", "ticks", true, option{Value: "yes", Label: v.say("own.retired.yes")}))
	}
	return out
}

// named are the words of a vocabulary as options.
func named[T ~string](v *visit, prefix string, all []T) (out []option) {
	for _, w := range all {
		out = append(out, option{Value: string(w), Label: v.say(prefix + string(w))})
	}
	return out
}
