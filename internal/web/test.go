package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

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
	Days  []testsOfDay
	Wrong bool
}

// testsOfDay is the tests of one of the two days all of them take.
type testsOfDay struct {
	Name  string
	Tests []testField
}

// testField is one test with a field for its result.
type testField struct {
	ID, Name, Component, Setup, Counts, Norm, Unit string
	Min, Max                                       float64
	Value, Fault                                   string
	History                                        []string // the newest first
	Source, Due                                    string   // where the norm is from; why it is due, if it is
}

func tests(v *visit) error {
	p, err := v.testsPage(v.r.PathValue("id"), nil, nil)
	if err != nil {
		return err
	}
	p.Done = v.r.URL.Query().Get("done") != ""
	return v.render(http.StatusOK, "tests", p)
}

// testsPage builds the form; typed is what stands in it and faults what is
// wrong with it, by test.
func (v *visit) testsPage(id string, typed, faults map[string]string) (testsPage, error) {
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
	results, err := v.Roster.Results(v.ctx(), v.who(), id)
	if err != nil {
		return testsPage{}, err
	}
	p := testsPage{frame: v.frame("tests.title", "name", kept.Value.Name), ID: id, Wrong: len(faults) > 0}
	week := planning.Next(v.today())
	review, err := v.Bench.Review(v.ctx(), v.who(), id, week, 0)
	if err != nil {
		return testsPage{}, err
	}
	all := slices.Clone(lib.Probes)
	slices.SortStableFunc(all, func(a, b practice.Probe) int { return 100*(a.Day-b.Day) + a.Order - b.Order })
	for _, t := range all {
		if len(p.Days) == 0 || p.Days[len(p.Days)-1].Name != v.say("tests.day", "n", t.Day) {
			p.Days = append(p.Days, testsOfDay{Name: v.say("tests.day", "n", t.Day)})
		}
		f := testField{ID: t.ID, Name: t.Name, Component: string(t.Component), Setup: t.Setup, Counts: t.Counts, Norm: t.Norm, Unit: t.Unit, Min: t.Min, Max: t.Max,
			Value: typed[t.ID], Fault: faults[t.ID], Source: v.Words.Say("drills.source", "text", t.Source)}
		for _, due := range review.Draft.Tests {
			if due.ID == t.ID {
				f.Due = v.say("tests.due", "date", telling.ShortDate(v.Words, week.Monday()+practice.Date(due.Day)), "why", telling.TestWhy(v.Words, due))
			}
		}
		for _, r := range slices.Backward(results) {
			if r.Test == t.ID && len(f.History) < 5 {
				f.History = append(f.History, fmt.Sprintf("%.4g (%s)", r.Value, telling.ShortDate(v.Words, r.At.Date())))
			}
		}
		day := &p.Days[len(p.Days)-1]
		day.Tests = append(day.Tests, f)
	}
	return p, nil
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
	typed, faults := map[string]string{}, map[string]string{}
	var results []practice.ProbeResult
	for _, t := range lib.Probes {
		text := strings.TrimSpace(v.typed(t.ID))
		if text == "" {
			continue
		}
		typed[t.ID] = text
		value, err := strconv.ParseFloat(text, 64)
		if err != nil {
			faults[t.ID] = v.Words.Fault(practice.Fault{Code: practice.BadNumber, Value: practice.Short(text), Want: "a number such as 12.5"})
			continue
		}
		results = append(results, practice.ProbeResult{Test: t.ID, Value: value})
	}
	if len(faults) == 0 {
		err := v.Roster.Tested(v.ctx(), v.who(), id, lib, results)
		var fs practice.Faults
		switch {
		case errors.As(err, &fs):
			for _, f := range fs {
				test := f.Field
				f.Field = ""
				faults[test] = v.Words.Fault(f)
			}
		case err != nil:
			return err
		default:
			return v.see("/students/" + id + "/tests?done=yes")
		}
	}
	p, err := v.testsPage(id, typed, faults)
	if err != nil {
		return err
	}
	return v.render(http.StatusUnprocessableEntity, "tests", p)
}
