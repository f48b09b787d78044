package cli

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// today is the clock of every test.
var today = time.Date(2026, 3, 30, 12, 0, 0, 0, time.UTC)

func now() time.Time { return today }

const studioDir = "testdata/studio"

// run carries out one command in this process, as of today.
func run(t *testing.T, args ...string) (stdout, stderr string, status int) {
	t.Helper()
	var out, talk bytes.Buffer
	status = Run(&Env{Args: args, Stdout: &out, Stderr: &talk, Now: now})
	return out.String(), talk.String(), status
}

// data runs a command that ends well and decodes what it printed.
func data(t *testing.T, into any, args ...string) {
	t.Helper()
	out, talk, status := run(t, args...)
	if status != 0 || talk != "" {
		t.Fatalf("aplomb %s: exit status %d: %s", strings.Join(args, " "), status, talk)
	}
	if err := json.Unmarshal([]byte(out), into); err != nil {
		t.Fatalf("aplomb %s: %v", strings.Join(args, " "), err)
	}
}

// shape holds decoded JSON against lines of a path and a type, such as
// "curve[].lo number?". A ? allows null; [] is every element of a list, of
// which the whole document must have one: nothing passes unseen.
func shape(t *testing.T, doc any, lines string) {
	t.Helper()
	for _, line := range strings.Split(strings.TrimSpace(lines), "\n") {
		path, want, _ := strings.Cut(strings.TrimSpace(line), " ")
		found, filled := 0, false
		walk(doc, path, "", func(where string, v any) {
			found++
			filled = filled || v != nil
			if !fits(v, want) {
				t.Errorf("%s: %v is not of type %s", where, v, want)
			}
		}, func(where string) { t.Errorf("%s is not there", where) })
		if found == 0 || !filled {
			t.Errorf("%s: nothing to look at", path)
		}
	}
}

// walk visits every value the path names.
func walk(v any, path, where string, visit func(string, any), missing func(string)) {
	if path == "" {
		visit(where, v)
		return
	}
	step, rest, _ := strings.Cut(path, ".")
	name, list := strings.CutSuffix(step, "[]")
	if name != "" {
		object, ok := v.(map[string]any)
		if !ok && v == nil {
			return // a null object has no fields; its own line says whether it may be null
		}
		inner, there := object[name]
		if where += "." + name; !there {
			missing(where)
			return
		}
		v = inner
	}
	if !list {
		walk(v, rest, where, visit, missing)
		return
	}
	elements, ok := v.([]any)
	if !ok {
		missing(where + "[]")
		return
	}
	for i, e := range elements {
		walk(e, rest, where+"["+strconv.Itoa(i)+"]", visit, missing)
	}
}

func fits(v any, want string) bool {
	kind, optional := strings.CutSuffix(want, "?")
	if v == nil {
		return optional
	}
	switch kind {
	case "number":
		_, ok := v.(float64)
		return ok
	case "string":
		_, ok := v.(string)
		return ok
	case "bool":
		_, ok := v.(bool)
		return ok
	case "list":
		_, ok := v.([]any)
		return ok
	case "object":
		_, ok := v.(map[string]any)
		return ok
	}
	panic("cli: no type " + want)
}

// TestShapeBites shows that the checks of shape can fail.
func TestShapeBites(t *testing.T) {
	var doc any = map[string]any{"a": []any{map[string]any{"b": 1.0}}, "n": nil}
	for _, line := range []string{"a[].b string", "a[].c number", "n number", "n number?", "a.b number"} {
		probe := &testing.T{}
		shape(probe, doc, line)
		if !probe.Failed() {
			t.Errorf("%s passed", line)
		}
	}
	shape(t, doc, "a[].b number")
}

const chanceShape = ".p number\n.lo number\n.hi number\n.level number\n.method string"

// under puts a path in front of every line.
func under(path, lines string) string {
	return path + strings.ReplaceAll(lines, "\n", "\n"+path)
}

// TestReviewJSON looks for every field the review promises, over the whole
// studio.
func TestReviewJSON(t *testing.T) {
	var doc any
	data(t, &doc, "review", studioDir, "--json")
	shape(t, doc, `
		[].student string
		[].as_of string
		[].holds.window_days number
		[].holds.attempts number
		[].holds.falls number
		[].holds.censored number
		[].holds.catch object?
		[].holds.median object?
		[].holds.median.seconds number?
		[].holds.median.lo number?
		[].holds.median.hi number?
		[].now_at_least[].seconds number
		[].now_cold_at_least[].seconds number
		[].milestone.reached_seconds number
		[].milestone.next_seconds number
		[].milestone.proven.tries number
		[].milestone.proven.passes number
		[].milestone.proven.days number
		[].milestone.proven.places number
		[].milestone.proven.lower_bound number
		[].milestone.proven.declared bool
		[].milestone.proven.missing object
		[].milestone.forecast object?
		[].milestone.forecast.weeks_lo number?
		[].milestone.forecast.weeks_mid number?
		[].milestone.forecast.weeks_hi number?
		[].components[].name string
		[].components[].level number
		[].components[].sd number
		[].components[].p_limits number
		[].limiter_known bool
		[].load object
		[].stops[].no string
		[].stops[].since string
		[].week.iso_week string
		[].week.sessions[].day string
		[].week.sessions[].minutes number
		[].week.sessions[].blocks[].kind string
		[].week.sessions[].blocks[].minutes number
		[].week.sessions[].blocks[].items[].drill string
		[].week.sessions[].blocks[].items[].minutes number
		[].week.sessions[].blocks[].items[].cue string
		[].week.sessions[].blocks[].items[].why string
		[].week.objective number
		[].week.bound number
		[].week.proved bool
		[].week.tests[].test string
		[].week.tests[].component string
		[].week.tests[].day string
		[].week.tests[].minutes number
		[].week.tests[].worth number
		[].week.tests[].cost number
		[].week.tests[].between[] string
		[].week.tests[].why string
		[].week.left_out[].drill string
		[].week.left_out[].loss number?
		[].week.left_out[].why string`)
	shape(t, doc, under("[].holds.catch", chanceShape))
	shape(t, doc, under("[].now_at_least[]", chanceShape))
	shape(t, doc, under("[].now_cold_at_least[]", chanceShape))
}

const groupShape = `.attempts number
.caught number
.falls number
.censored number
.excluded number
.catch object
.catch.p number
.catch.lo number
.catch.hi number
.catch.level number
.catch.method string
.curve[].seconds number
.curve[].at_risk number
.curve[].falls number
.curve[].censored number
.curve[].survival number
.curve[].std_err number?
.curve[].lo number?
.curve[].hi number?
.quantiles[].q number
.quantiles[].seconds number?
.quantiles[].lo number?
.quantiles[].hi number?
.restricted_mean.upto number
.restricted_mean.seconds number
.restricted_mean.std_err number
.at_least.seconds number
.at_least.p number
.at_least.lo number
.at_least.hi number
.proven.seconds number
.proven.students[].student string
.proven.students[].declared bool`

// TestHoldsJSON looks for every field holds promises, of the whole file and of
// every group.
func TestHoldsJSON(t *testing.T) {
	for _, by := range []string{"student", "month", "support", "surface"} {
		t.Run(by, func(t *testing.T) {
			var doc any
			data(t, &doc, "holds", filepath.Join(studioDir, "attempts.csv"), "--by", by, "--compare", "--at-least", "2", "--json")
			shape(t, doc, strings.ReplaceAll(strings.TrimPrefix(groupShape, "."), "\n.", "\n"))
			shape(t, doc, under("groups[]", groupShape))
			shape(t, doc, `
				groups[].group string
				compare.chisq number
				compare.df number
				compare.p number
				compare.groups[].group string
				compare.groups[].n number
				compare.groups[].observed number
				compare.groups[].expected number`)
		})
	}
}

// TestWeekJSON looks for every field week promises, of a week and of a
// conflict.
func TestWeekJSON(t *testing.T) {
	var doc any
	data(t, &doc, "week", filepath.Join(problems, "d10-tiny-01.json"), "--json")
	shape(t, doc, `
		feasible bool
		objective number
		bound number
		proved bool
		drills[].id string
		drills[].sets number
		drills[].shorts number
		sessions[].day number
		sessions[].drills[].id string
		sessions[].drills[].sets number
		why[].drill string
		why[].loss number?
		why_not[].drill string
		why_not[].loss number?
		conflict list
		milliseconds number`)
	data(t, &doc, "week", filepath.Join(problems, "d10-tiny-03.json"), "--json")
	shape(t, doc, "feasible bool\nconflict[] string")
}

// TestDrillsJSON looks for the fields of the library, and of what one student
// may do.
func TestDrillsJSON(t *testing.T) {
	var doc any
	data(t, &doc, "drills", "--json")
	shape(t, doc, `
		[].id string
		[].name string
		[].setup string
		[].cues[].text string
		[].component string
		[].kind string
		[].support string
		[].set_minutes number
		[].difficulty number
		[].difficulty_sd number`)
	data(t, &doc, "drills", "--student", "ada", studioDir, "--json")
	shape(t, doc, `
		[].drill string
		[].component string
		[].may bool
		[].p number?
		[].why_not string`)
}
