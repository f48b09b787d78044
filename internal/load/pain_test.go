package load

import (
	"math"
	"slices"
	"testing"

	"aplomb/internal/numtest"

	"pgregory.net/rapid"
)

var untold = math.NaN()

// said is a wrist report with only the level during the session told.
func said(day int, during float64) Report {
	return Report{Day: day, Wrist: true, Before: untold, During: during, Morning: untold}
}

func night(r Report, before, morning float64) Report {
	r.Before, r.Morning = before, morning
	return r
}

func TestJudge(t *testing.T) {
	for _, c := range []struct {
		name    string
		reports []Report
		minor   bool
		want    Verdict
		reason  PainReason
	}{
		{"nothing told", nil, false, Go, ""},
		{"told nothing", []Report{said(10, untold)}, false, Go, ""},
		{"two is go", []Report{said(10, 2)}, false, Go, ""},
		{"three is no increase", []Report{said(10, 3)}, false, NoIncrease, AboveGo},
		{"between the bands", []Report{said(10, 2.5)}, false, NoIncrease, AboveGo},
		{"five is no increase", []Report{said(10, 5)}, false, NoIncrease, AboveGo},
		{"over five", []Report{said(10, 5.5)}, false, StopHandLoad, OverLimit},
		{"six before it began", []Report{night(said(10, 1), 6, 0)}, false, StopHandLoad, OverLimit},
		{"settled by morning", []Report{night(said(10, 4), 1, 2)}, false, NoIncrease, AboveGo},
		{"not settled", []Report{night(said(10, 4), 1, 3)}, false, StopHandLoad, NotSettled},
		{"as before it", []Report{night(said(10, 4), 3, 3)}, false, NoIncrease, AboveGo},
		{"night", []Report{{Day: 10, Before: untold, During: untold, Morning: untold, Night: true}}, false, StopHandLoad, NightPain},
		{"numb", []Report{{Day: 10, Numbness: true}}, false, StopHandLoad, Numb},
		{"swollen", []Report{{Day: 10, Swelling: true}}, false, StopHandLoad, Swollen},
		{"a grown-up's morning", []Report{night(said(10, 1), 0, 1)}, false, Go, ""},
		{"a minor's morning", []Report{night(said(10, 1), 0, 1)}, true, StopHandLoad, MinorMorning},
		{"a minor's shoulder", []Report{{Day: 10, Morning: 1}}, true, Go, ""},
		{"old and followed by none", []Report{said(1, 4), said(9, 0)}, false, Go, ""},
		{"old and the last told", []Report{said(1, 4), said(9, untold)}, false, NoIncrease, AboveGo},
		{"a stop does not lapse", []Report{said(-200, 7), said(9, 0)}, false, StopHandLoad, OverLimit},
		{"two rising weeks", []Report{said(-10, 1), said(-3, 2), said(4, 3)}, false, StopHandLoad, RisingWeeks},
		{"one rising week", []Report{said(-10, 2), said(-3, 2), said(4, 3)}, false, NoIncrease, AboveGo},
		{"less than a point", []Report{said(-10, 1), said(-3, 1.5), said(4, 2)}, false, Go, ""},
		{"a week untold between", []Report{said(-17, 0), said(-3, 1), said(4, 2)}, false, Go, ""},
	} {
		got := Judge(c.reports, 10, nil, DefaultPainRule(c.minor, 0))
		if got.Verdict != c.want {
			t.Errorf("%s: %+v, want %s", c.name, got, c.want)
		}
		if c.reason == "" && len(got.Evidence) > 0 || c.reason != "" && (len(got.Evidence) == 0 || got.Evidence[0].Reason != c.reason) {
			t.Errorf("%s: evidence %+v, want %q", c.name, got.Evidence, c.reason)
		}
	}
}

// The two published lower edges, where the sources disagree (testdata).
func TestLowerEdgeIsAChoice(t *testing.T) {
	ref := numtest.JSON[struct {
		Thomee struct {
			Bands []struct{ From, To float64 }
		} `json:"pain_monitoring_thomee_1997"`
	}](t, "pain_monitoring.json")
	rule := DefaultPainRule(false, 0)
	if rule.GoUpTo != ref.Thomee.Bands[0].To || rule.StopOver != ref.Thomee.Bands[1].To {
		t.Errorf("default bands %v, %v are not Thomee's", rule.GoUpTo, rule.StopOver)
	}
	rule.GoUpTo = 3
	if got := Judge([]Report{said(1, 3)}, 1, nil, rule); got.Verdict != Go {
		t.Errorf("3 with an edge at 3: %+v", got)
	}
}

func TestSinceAskRefer(t *testing.T) {
	rule := DefaultPainRule(false, 0)
	got := Judge([]Report{said(9, 4), night(said(6, 3), 0, 0)}, 10, nil, rule)
	if got.Since != 6 || len(got.Evidence) != 2 || !slices.Equal(got.Ask, []int{9}) {
		t.Errorf("%+v", got)
	}
	if got := Judge([]Report{said(3, 8)}, 10, nil, rule); got.Since != 3 || got.Refer {
		t.Errorf("%+v", got)
	}
	if got := Judge([]Report{{Day: 3, Numbness: true}}, 10, nil, rule); !got.Refer {
		t.Errorf("%+v", got)
	}
}

func TestClearing(t *testing.T) {
	rule, day := DefaultPainRule(false, 0), 8
	if got := Judge([]Report{said(3, 8)}, 30, &day, rule); got.Verdict != NoIncrease {
		t.Errorf("cleared and the last told: %+v", got)
	}
	if got := Judge([]Report{said(3, 8), said(20, 1)}, 30, &day, rule); got.Verdict != Go {
		t.Errorf("cleared and well since: %+v", got)
	}
	if got := Judge([]Report{said(8, 8)}, 30, &day, rule); got.Verdict != StopHandLoad || got.Since != 8 {
		t.Errorf("on the day of clearing: %+v", got)
	}
}

func TestJudgeProperties(t *testing.T) {
	rank := map[Verdict]int{Go: 0, NoIncrease: 1, StopHandLoad: 2}
	level := rapid.OneOf(rapid.Just(untold), rapid.Map(rapid.IntRange(0, 7), func(i int) float64 { return float64(i) }))
	report := rapid.Custom(func(t *rapid.T) Report {
		return Report{
			Day: rapid.IntRange(-40, 40).Draw(t, "day"), Wrist: rapid.Bool().Draw(t, "wrist"),
			Before: level.Draw(t, "before"), During: level.Draw(t, "during"), Morning: level.Draw(t, "morning"),
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		reports := rapid.SliceOfN(report, 0, 12).Draw(t, "reports")
		rule := DefaultPainRule(false, 4)
		got := Judge(reports, 40, nil, rule)
		if (got.Verdict == Go) != (len(got.Evidence) == 0) {
			t.Errorf("a verdict has evidence: %+v", got)
		}
		rule.Minor = true
		if rank[Judge(reports, 40, nil, rule).Verdict] < rank[got.Verdict] {
			t.Errorf("a minor may do more than a grown-up")
		}
		rule.Minor = false
		flagged := append(slices.Clone(reports), Report{Day: 0, Before: untold, During: untold, Morning: untold, Swelling: true})
		if Judge(flagged, 40, nil, rule).Verdict != StopHandLoad {
			t.Errorf("swelling did not stop")
		}
		cleared := 20
		if rank[Judge(reports, 40, &cleared, rule).Verdict] > rank[got.Verdict] {
			t.Errorf("clearing made it worse")
		}
	})
}

func TestJudgeMisuse(t *testing.T) {
	rule := DefaultPainRule(false, 0)
	panics(t, "tomorrow", func() { Judge([]Report{said(2, 1)}, 1, nil, rule) })
	panics(t, "eleven", func() { Judge([]Report{said(1, 11)}, 1, nil, rule) })
	panics(t, "bands crossed", func() { Judge(nil, 1, nil, PainRule{GoUpTo: 6, StopOver: 5}) })
}
