package web

import (
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// weeksPage is every week handed over to a student.
type weeksPage struct {
	frame
	ID    string
	Weeks []handedWeek
}

type handedWeek struct{ Path, Name, Line string }

// weekPage is one version of a week as it was handed over.
type weekPage struct {
	frame
	ID, Student, Made string
	Newer             bool
	Edit, Print, All  string
	Stops             []string // what is forbidden now and still in it
	Hung              template.HTML
	Days              []plannedDay
	Off               []plannedItem
	Versions          []weekVersion
	Against           string // what it is held against; empty: nothing came before
	Differs           []string
}

// weekVersion is one of the versions of a week, and the way to hold this one
// against it.
type weekVersion struct {
	Path, Name, Hold string
	Here             bool
}

// weeks lists the weeks handed over, the newest first.
func weeks(v *visit) error {
	id := v.r.PathValue("id")
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	if err != nil {
		return err
	}
	all, err := v.Bench.Handed(v.ctx(), v.who(), id)
	if err != nil {
		return err
	}
	p := weeksPage{frame: v.frame("weeks.title", "name", kept.Value.Name), ID: id}
	for i, w := range slices.Backward(all) {
		if i+1 < len(all) && all[i+1].ISOWeek == w.ISOWeek {
			continue // an older version
		}
		minutes := 0.0
		for _, s := range w.Sessions {
			minutes += s.Minutes
		}
		versions := ""
		if w.Version > 1 {
			versions = v.say("weeks.versions", "n", w.Version)
		}
		p.Weeks = append(p.Weeks, handedWeek{handedPath(w), p.Day(w.ISOWeek.Monday()),
			v.say("weeks.line", "sessions", len(w.Sessions), "minutes", minutes, "date", v.handedOn(w), "versions", versions)})
	}
	return v.render(http.StatusOK, "weeks", p)
}

func (v *visit) handedOn(w practice.Week) string {
	if w.HandedAt == nil { // of a folder of the first format
		return telling.ShortDate(v.Words, w.AsOf)
	}
	return telling.ShortDate(v.Words, w.HandedAt.Date())
}

func handedPath(w practice.Week) string {
	return "/students/" + w.Student + "/weeks/" + w.ISOWeek.String() + "?v=" + strconv.Itoa(w.Version)
}

// handedWeeks are all weeks of the student, and the place of the one asked for;
// without a version the newest.
func (v *visit) handedWeeks() (all []practice.Week, at int, err error) {
	week, err := v.weekAsked()
	if err != nil {
		return nil, 0, err
	}
	version := v.r.URL.Query().Get("v")
	if all, err = v.Bench.Handed(v.ctx(), v.who(), v.r.PathValue("id")); err != nil {
		return nil, 0, err
	}
	at = -1
	for i, w := range all {
		if w.ISOWeek == week && (version == "" || version == strconv.Itoa(w.Version)) {
			at = i
		}
	}
	if at < 0 {
		return nil, 0, errNoPage
	}
	return all, at, nil
}

// frozen is a week as it was handed over, with how the student stands today.
func (v *visit) frozen(w practice.Week) (*telling.Review, error) {
	kept, err := v.Roster.Student(v.ctx(), v.who(), w.Student)
	if err != nil {
		return nil, err
	}
	look, err := v.Desk.Of(v.ctx(), v.who(), w.Student)
	if err != nil {
		return nil, err
	}
	lib, err := v.Desk.Library(v.ctx(), v.who())
	if err != nil {
		return nil, err
	}
	draft, err := planning.Frozen(w)
	return &telling.Review{Student: kept.Value, Standing: look.Standing, Draft: draft, Library: lib}, err
}

// newStops are what is forbidden now and the week, made before, still has.
func (v *visit) newStops(t *telling.Review) (out []string) {
	has := map[practice.Strain]bool{}
	for _, s := range t.Draft.Week.Sessions {
		for _, b := range s.Blocks {
			for _, it := range b.Items {
				d, _ := t.Library.Drill(it.Drill)
				for _, strain := range d.Strains {
					has[strain] = true
				}
			}
		}
	}
	for _, s := range t.Standing.Stops {
		if has[s.No] {
			out = append(out, telling.Stop(v.Words, s))
		}
	}
	return out
}

func handedOver(v *visit) error {
	all, at, err := v.handedWeeks()
	if err != nil {
		return err
	}
	w := all[at]
	t, err := v.frozen(w)
	if err != nil {
		return err
	}
	p := weekPage{frame: v.frame("week.title", "name", t.Student.Name, "date", telling.LongDate(v.Words, w.ISOWeek.Monday())),
		ID: w.Student, Student: t.Student.Name, Edit: weekPath(w.Student, w.ISOWeek), All: "/students/" + w.Student + "/weeks",
		Print: strings.Replace(handedPath(w), "?", "/sheet?", 1), Hung: v.hung(t), Days: v.days(t), Stops: v.newStops(t),
		Made: v.say("week.version", "n", w.Version, "date", v.handedOn(w), "asof", telling.ShortDate(v.Words, w.AsOf))}
	for _, it := range w.DaysOff {
		p.Off = append(p.Off, plannedItem{it.Name, telling.Dose(v.Words, t.Library, it), it.Cue})
	}
	for _, other := range all {
		if other.ISOWeek == w.ISOWeek {
			p.Versions = append(p.Versions, weekVersion{handedPath(other), v.say("week.version.n", "n", other.Version),
				handedPath(w) + "&against=" + strconv.Itoa(other.Version), other.Version == w.Version})
			p.Newer = other.Version > w.Version
		}
	}
	if before, ok := v.heldAgainst(all, at); ok {
		p.Against = v.say("week.differs.before", "date", telling.ShortDate(v.Words, before.ISOWeek.Monday()))
		if before.ISOWeek == w.ISOWeek {
			p.Against = v.say("week.differs", "n", before.Version)
		}
		p.Differs = telling.Differs(v.Words, t.Library, planning.Compare(before, w))
	}
	return v.render(http.StatusOK, "week", p)
}

// heldAgainst is the version of the week that was asked for, or what was handed
// over before it.
func (v *visit) heldAgainst(all []practice.Week, at int) (practice.Week, bool) {
	version := v.r.URL.Query().Get("against")
	for _, w := range all {
		if w.ISOWeek == all[at].ISOWeek && version == strconv.Itoa(w.Version) {
			return w, true
		}
	}
	if at == 0 {
		return practice.Week{}, false
	}
	return all[at-1], true
}
