package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

type reviewAnswer struct {
	Student      string
	Tries        int
	Now          []any                   `json:"now_at_least"`
	NowCold      []any                   `json:"now_cold_at_least"`
	LimiterKnown bool                    `json:"limiter_known"`
	Milestone    struct{ Forecast *any } `json:"milestone"`
	Load         struct {
		Ceiling float64 `json:"hand_minutes_ceiling"`
	}
	Week struct {
		Sessions []practice.PlannedSession
		Proved   bool
		LeftOut  []struct{ Drill string } `json:"left_out"`
	}
}

// drills is every drill the review speaks of: in a session, or left out.
func (r *reviewAnswer) drills() (ids []string) {
	for _, s := range r.Week.Sessions {
		for _, b := range s.Blocks {
			for _, it := range b.Items {
				ids = append(ids, it.Drill)
			}
		}
	}
	for _, l := range r.Week.LeftOut {
		ids = append(ids, l.Drill)
	}
	return ids
}

func reviewOf(t *testing.T, dir, student string, more ...string) reviewAnswer {
	t.Helper()
	var all []reviewAnswer
	data(t, &all, append([]string{"review", dir, "--student", student, "--json"}, more...)...)
	if len(all) != 1 || all[0].Student != student {
		t.Fatalf("%d reviews of %s", len(all), student)
	}
	return all[0]
}

// withStop copies the studio, eve's stop ruling out another strain.
func withStop(t *testing.T, strain practice.Strain) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "studio")
	if err := os.CopyFS(dir, os.DirFS(studioDir)); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "students.json")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.Replace(string(text), `"no": ["inverted"]`, `"no": ["`+string(strain)+`"]`, 1)
	if err := os.WriteFile(path, []byte(changed), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// TestStopRulesOut wants no drill with the strain of a stop in the week, among
// the left-out ones, or among those the student may do: over the whole library.
func TestStopRulesOut(t *testing.T) {
	lib := library.Builtin()
	for _, strain := range practice.Strains {
		t.Run(string(strain), func(t *testing.T) {
			dir := withStop(t, strain)
			r := reviewOf(t, dir, "eve")
			for _, id := range r.drills() {
				if d, ok := lib.Drill(id); !ok || d.Has(strain) {
					t.Errorf("%s is offered", id)
				}
			}
			if len(r.Week.Sessions) == 0 {
				t.Error("the rest of the work does not go on")
			}
			var all []mayDo
			data(t, &all, "drills", "--student", "eve", dir, "--json")
			if len(all) != len(lib.Drills) {
				t.Fatalf("%d drills answered for, of %d", len(all), len(lib.Drills))
			}
			for _, a := range all {
				if d, _ := lib.Drill(a.Drill); d.Has(strain) && (a.May || !strings.Contains(a.WhyNot, "a stop is on record")) {
					t.Errorf("%s: may %t, %q", a.Drill, a.May, a.WhyNot)
				}
			}
		})
	}
}

// TestStopMadeTheDifference shows that the same student had inverted drills
// before the stop.
func TestStopMadeTheDifference(t *testing.T) {
	lib := library.Builtin()
	before := reviewOf(t, studioDir, "eve", "--as-of", "2026-02-28")
	if !slices.ContainsFunc(before.drills(), func(id string) bool { d, _ := lib.Drill(id); return d.Inverted() }) {
		t.Error("no inverted drill before the stop")
	}
}

// TestNewStudentsGetASoundWeek: with no tries, two tries or floor tests only,
// nothing is claimed to be known, and the first week is one to give.
func TestNewStudentsGetASoundWeek(t *testing.T) {
	for student, tries := range map[string]int{"cora": 0, "ben": 2, "dov": 0} {
		t.Run(student, func(t *testing.T) {
			r := reviewOf(t, studioDir, student)
			if r.Tries != tries || len(r.Now)+len(r.NowCold) > 0 || r.LimiterKnown || r.Milestone.Forecast != nil {
				t.Errorf("%d tries, now %v and %v, limiter known %t, forecast %v", r.Tries, r.Now, r.NowCold, r.LimiterKnown, r.Milestone.Forecast)
			}
			text, _, _ := run(t, "review", studioDir, "--student", student)
			if !strings.Contains(text, "not known yet") {
				t.Error("the text does not say that it is not known yet")
			}
			soundWeek(t, &r, studioDir)
		})
	}
}

// soundWeek wants sessions that fit, begin with prep and end with the log, hold
// only drills the student may do, and keep within the load on the hands.
func soundWeek(t *testing.T, r *reviewAnswer, dir string) {
	t.Helper()
	lib := library.Builtin()
	var all []mayDo
	data(t, &all, "drills", "--student", r.Student, dir, "--json")
	may := map[string]bool{}
	for _, a := range all {
		may[a.Drill] = a.May
	}
	if len(r.Week.Sessions) == 0 || !r.Week.Proved {
		t.Fatalf("%d sessions, proved %t", len(r.Week.Sessions), r.Week.Proved)
	}
	hands := 0.0
	for _, s := range r.Week.Sessions {
		minutes, practised := 0.0, 0
		for _, b := range s.Blocks {
			minutes += b.Minutes
			for _, it := range b.Items {
				d, known := lib.Drill(it.Drill)
				if !known || !may[it.Drill] {
					t.Errorf("%s is not one the student may do", it.Drill)
				}
				hands += float64(it.Sets) * d.HandMinutes
				if d.Kind != practice.Mobility {
					practised++
				}
			}
		}
		first, last := s.Blocks[0].Kind, s.Blocks[len(s.Blocks)-1].Kind
		if first != practice.PrepBlock || last != practice.LogBlock || practised == 0 {
			t.Errorf("%v: from %s to %s with %d drills", s.Day, first, last, practised)
		}
		if minutes > s.Minutes+1e-9 {
			t.Errorf("%v: blocks of %g minutes in a session of %g", s.Day, minutes, s.Minutes)
		}
	}
	if hands > r.Load.Ceiling {
		t.Errorf("%g minutes on the hands, over %g", hands, r.Load.Ceiling)
	}
}

// priced is what only the review of one student says of a chosen drill.
var priced = regexp.MustCompile(`; without it the week is worth [^;]*? less`)

// TestReviewAloneIsTheSame wants a student's standing and sessions alone to be
// those of the review of all, but for what each chosen drill is worth.
func TestReviewAloneIsTheSame(t *testing.T) {
	var all []reviewAnswer
	data(t, &all, "review", studioDir, "--json")
	for i := range all {
		alone := reviewOf(t, studioDir, all[i].Student)
		if priced.ReplaceAllString(fmt.Sprint(alone.Week.Sessions), "") != fmt.Sprint(all[i].Week.Sessions) {
			t.Errorf("%s has another week alone", all[i].Student)
		}
		nearest := all[i].Week.LeftOut
		if len(nearest) > nearestLeftOut || len(nearest) > len(alone.Week.LeftOut) || fmt.Sprint(nearest) != fmt.Sprint(alone.Week.LeftOut[:len(nearest)]) {
			t.Errorf("%s: left out %v, alone %v", all[i].Student, nearest, alone.Week.LeftOut)
		}
	}
}

// TestProgressIsTalk: a bar appears on stderr once the work has taken a second,
// only where a person watches, and never on stdout.
func TestProgressIsTalk(t *testing.T) {
	for _, watched := range []bool{true, false} {
		var out, talk bytes.Buffer
		var looks atomic.Int64 // the clock is read on every core
		status := Run(&Env{Args: []string{"review", studioDir}, Stdout: &out, Stderr: &talk, Terminal: watched,
			Now: func() time.Time { return today.Add(time.Duration(looks.Add(1)) * 600 * time.Millisecond) }})
		if status != 0 || !strings.HasPrefix(out.String(), "Ada Fenn, as of Monday 30 March 2026\n") {
			t.Errorf("exit status %d, %q", status, out.String())
		}
		if strings.Contains(talk.String(), "reviewing") != watched || !watched && talk.Len() > 0 {
			t.Errorf("watched %t, and it says %q", watched, talk.String())
		}
		if strings.Contains(out.String(), "reviewing") {
			t.Error("the bar is on stdout")
		}
	}
}
