package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/assess"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// testsPage is the floor tests as a form for the hall, with what was shown
// before.
type testsPage struct {
	frame
	ID    string
	Done  bool
	Wrong bool
	Stops []string
	Due   []dueTest
	Taken control // the day
	Days  []testsOfDay
}

// dueTest is one that a week asks for and nobody took yet.
type dueTest struct{ ID, Name, Line string }

// testsOfDay is the tests of one of the two days all of them take.
type testsOfDay struct {
	Name  string
	Tests []testField
}

// testField is one test with a field for its result.
type testField struct {
	ID, Name, Component, Setup string
	Counts, Norm, Takes        string
	Not                        string   // why it is not for now
	Before                     []string // results, the newest first
	Value, Fault               string
}

// mostBefore is how many older results of a test are shown.
const mostBefore = 5

func tests(v *visit) error {
	p, err := v.testsPage(v.r.PathValue("id"), sent{})
	if err != nil {
		return err
	}
	p.Done = v.r.URL.Query().Get("done") != ""
	return v.render(http.StatusOK, "tests", p)
}

// testsPage builds the form.
func (v *visit) testsPage(id string, from sent) (testsPage, error) {
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	if err != nil {
		return testsPage{}, err
	}
	if err := v.Roster.May(v.ctx(), v.who(), practice.CoachStudent, id); err != nil {
		return testsPage{}, err
	}
	lib, err := v.Desk.Library(v.ctx(), v.who())
	if err != nil {
		return testsPage{}, err
	}
	look, err := v.Desk.Of(v.ctx(), v.who(), id)
	if err != nil {
		return testsPage{}, err
	}
	results, err := v.Roster.Results(v.ctx(), v.who(), id)
	if err != nil {
		return testsPage{}, err
	}
	p := testsPage{frame: v.frame("tests.title", "name", kept.Value.Name), ID: id, Wrong: len(from.faults) > 0}
	for _, stop := range look.Standing.Stops {
		p.Stops = append(p.Stops, telling.Stop(v.Words, stop))
	}
	if p.Due, err = v.dueTests(id, lib, results); err != nil {
		return testsPage{}, err
	}
	taken := field{Name: "day", Label: v.say("tests.taken"), Kind: "date", Value: v.today().String(), Fault: from.faults["day"]}
	if from.typed != nil {
		taken.Value = from.typed.Get("day")
	}
	p.Taken = control{taken, "day", false}
	all := slices.Clone(lib.Probes)
	slices.SortStableFunc(all, func(a, b practice.Probe) int { return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Order, b.Order)) })
	for i, t := range all {
		if i == 0 || all[i-1].Day != t.Day {
			p.Days = append(p.Days, testsOfDay{Name: v.say("tests.day", "n", t.Day)})
		}
		f := v.testField(t, results, from)
		if stop, ok := stopOf(&look.Standing, t.Strains, v.today()); ok {
			f.Not = v.say("tests.not", "stop", telling.Stop(v.Words, stop))
		}
		day := &p.Days[len(p.Days)-1]
		day.Tests = append(day.Tests, f)
	}
	return p, nil
}

// testField is a test with what was typed into its field.
func (v *visit) testField(t practice.Probe, results []practice.ProbeResult, from sent) testField {
	f := testField{ID: t.ID, Name: t.Name, Component: string(t.Component), Setup: t.Setup, Counts: v.say("tests.counts", "text", t.Counts),
		Takes: t.Unit, Value: from.typed.Get(t.ID), Fault: from.faults[t.ID]}
	if most := strconv.FormatFloat(t.Max, 'f', -1, 64); !strings.Contains(t.Unit, most) {
		f.Takes = v.say("tests.takes", "unit", t.Unit, "least", t.Min, "most", t.Max)
	}
	if t.Norm != "" {
		f.Norm = v.say("tests.norm", "norm", t.Norm, "source", v.Words.Say("drills.source", "text", t.Source))
	}
	for _, r := range slices.Backward(results) {
		if r.Test == t.ID && len(f.Before) < mostBefore {
			f.Before = append(f.Before, v.say("tests.one", "value", strconv.FormatFloat(r.Value, 'g', 4, 64), "date", telling.DayMonth(v.Words, r.At.Date())))
		}
	}
	return f
}

// dueTests are the tests of this week as it was handed over, and of the week the
// coach works on, that were not taken since its Monday.
func (v *visit) dueTests(id string, lib *practice.Library, results []practice.ProbeResult) (due []dueTest, err error) {
	handed, err := v.Bench.Handed(v.ctx(), v.who(), id)
	if err != nil {
		return nil, err
	}
	next := planning.Next(v.today())
	for _, week := range slices.Compact([]practice.ISOWeek{v.today().Week(), next}) {
		var d planning.Draft
		for i := range handed {
			if handed[i].ISOWeek == week {
				d, err = planning.Frozen(handed[i]) // the newest version comes last
			}
		}
		if d.Week.Student == "" && week == next {
			var r planning.Review
			r, err = v.Bench.Review(v.ctx(), v.who(), id, week, 0)
			d = r.Draft
		}
		if err != nil {
			return nil, err
		}
		due = append(due, v.dueIn(week, d.Tests, lib, results)...)
	}
	return due, nil
}

// dueIn are the tests of one week that were not taken since its Monday.
func (v *visit) dueIn(week practice.ISOWeek, tests []planning.FloorTest, lib *practice.Library, results []practice.ProbeResult) (due []dueTest) {
	for _, t := range tests {
		taken := slices.ContainsFunc(results, func(r practice.ProbeResult) bool { return r.Test == t.ID && r.At.Date() >= week.Monday() })
		if probe, ok := lib.Probe(t.ID); ok && !taken {
			due = append(due, dueTest{t.ID, probe.Name,
				v.say("tests.due", "date", telling.ShortDate(v.Words, week.Monday()+practice.Date(t.Day)), "why", telling.TestWhy(v.Words, t))})
		}
	}
	return due
}

// stopOf is a stop that held on the day on something that puts these strains on
// the body. What was done on the day of a first pain may have been before it.
func stopOf(st *assess.Standing, strains []practice.Strain, day practice.Date) (assess.StopNow, bool) {
	for _, stop := range st.Stops {
		if slices.Contains(strains, stop.No) && (day > stop.Since || day == stop.Since && stop.Source != assess.SourcePain) {
			return stop, true
		}
	}
	return assess.StopNow{}, false
}

// keepTests keeps what was entered; one wrong result keeps none of them.
func keepTests(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	lib, err := v.Desk.Library(v.ctx(), v.who())
	if err != nil {
		return err
	}
	look, err := v.Desk.Of(v.ctx(), v.who(), id)
	if err != nil {
		return err
	}
	results, day, faults := v.testsOfForm(lib, &look.Standing)
	if len(faults) == 0 {
		err := v.Roster.Tested(v.ctx(), v.who(), id, lib, results, day)
		if err == nil {
			return v.see("/students/" + id + "/tests?done=yes")
		}
		ok := false
		if faults, ok = v.faulty(err); !ok {
			return err
		}
	}
	p, err := v.testsPage(id, sent{typed: v.r.PostForm, faults: faults})
	if err != nil {
		return err
	}
	return v.render(http.StatusUnprocessableEntity, "tests", p)
}

// testsOfForm reads the results and their day. One of a day on which a stop held
// is not taken.
func (v *visit) testsOfForm(lib *practice.Library, st *assess.Standing) (results []practice.ProbeResult, day practice.Date, faults map[string]string) {
	faults = map[string]string{}
	day, err := practice.ParseDate(v.typed("day"))
	if err != nil {
		faults["day"] = v.fault(practice.Fault{Code: practice.BadDate, Field: "day", Value: practice.Short(v.typed("day"))})
	}
	for _, t := range lib.Probes {
		text := strings.TrimSpace(v.typed(t.ID))
		if text == "" {
			continue
		}
		value, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		stop, stopped := stopOf(st, t.Strains, day)
		switch {
		case err != nil:
			faults[t.ID] = v.Words.Fault(practice.Fault{Code: practice.BadNumber, Value: practice.Short(text), Want: "a number such as 12.5"})
		case stopped:
			faults[t.ID] = v.say("tests.stopped", "stop", telling.Stop(v.Words, stop))
		}
		results = append(results, practice.ProbeResult{Test: t.ID, Value: value})
	}
	return results, day, faults
}
