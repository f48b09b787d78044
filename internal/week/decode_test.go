package week

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"
)

func decodeFile(t testing.TB, name string) Problem {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	p, err := Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return p
}

// small is a valid problem, one field a line.
const small = `{
  "name": "small",
  "components": [{"name": "entry", "need": 0.5, "tau": 4}, {"name": "line", "need": 1, "tau": 3}],
  "long_sessions": [{"day": 1, "minutes": 30, "hand_minutes": 20.5}],
  "short_sessions": [{"day": 3, "minutes": 6, "hand_minutes": 5}],
  "hand_minutes_week": 40,
  "max_drills": 4,
  "max_drills_long": 4,
  "drill_cost": 60,
  "continuity_bonus": 120,
  "mix_penalty": 3,
  "massing": [0, 100, 180, 240],
  "drills": [
    {"id": "a", "component": "entry", "kind": "easy", "set_minutes": 2, "setup_minutes": 0.5, "hand_minutes": 1, "value": 80,
     "min_sets": 2, "max_sets": 4, "week_sets": 3, "bonus": 0, "last_week": true},
    {"id": "b", "component": "line", "kind": "challenge", "set_minutes": 2, "setup_minutes": 0, "hand_minutes": 2, "value": 90,
     "min_sets": 2, "max_sets": 4, "week_sets": 3, "bonus": 2, "last_week": false}
  ],
  "locks": [{"drill": "a", "sets": 3}],
  "bans": []
}`

func TestRoundTrip(t *testing.T) {
	p := reference(t, "d80-typical-01")
	raw, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Decode(bytes.NewReader(append([]byte("\ufeff"), raw...)))
	if err != nil || !reflect.DeepEqual(p, again) {
		t.Errorf("a problem written and read again is another (%v)", err)
	}
}

func TestDecodeOptional(t *testing.T) {
	src := small
	for _, drop := range []string{`  "name": "small",` + "\n", `, "bonus": 0, "last_week": true`, ",\n  \"bans\": []", "  \"short_sessions\": [{\"day\": 3, \"minutes\": 6, \"hand_minutes\": 5}],\n"} {
		if !strings.Contains(src, drop) {
			t.Fatalf("no %q in the sample", drop)
		}
		src = strings.Replace(src, drop, "", 1)
	}
	if _, err := Decode(strings.NewReader(strings.ReplaceAll(src, "\n", "\r\n"))); err != nil {
		t.Error(err)
	}
}

// TestDecodeFaults: each change of the sample is refused at the right line and
// field, with a remedy.
func TestDecodeFaults(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`"max_drills": 4`, `"max_dril": 4`, `line 7: max_dril: unknown field; did you mean "max_drills"?`},
		{`"setup_minutes": 0.5`, `"setup_minuts": 0.5`, `line 14: drills[0].setup_minuts: unknown field; did you mean "setup_minutes"?`},
		{`"setup_minutes": 0.5`, `"setup_minutes": 0.3`, "line 14: drills[0].setup_minutes: 0.3 minutes is not a multiple of one half; give minutes in halves, as 2.5"},
		{`"value": 90`, `"value": 90.5`, "line 16: drills[1].value: 90.5 is not a whole number; write a whole number"},
		{`"value": 90`, `"value": null`, "line 16: drills[1].value: null is not a whole number"},
		{`"last_week": false`, `"last_week": "no"`, `drills[1].last_week: "no" is not true or false`},
		{`"drill_cost": 60`, `"drill_cost": 60, "drill_cost": 70`, "line 9: drill_cost: given twice"},
		{"  \"drill_cost\": 60,\n", "", "drill_cost: missing; add the field"},
		{`"bans": []`, `"bans": "a"`, "line 20: bans: not a list in brackets"},
		{`"bans": []`, `"bans": ["c"]`, `line 20: bans[0]: unknown drill "c"; did you mean "a"?`},
		{`"bans": []`, `"bans": ["a"]`, `line 19: locks[0].drill: "a" is both locked and banned; drop the lock or the ban`},
		{`"sets": 3`, `"sets": 5`, `line 19: locks[0].sets: 5 sets of "a", which takes 2 to 4`},
		{`"sets": 3}`, `"sets": 3}, {"drill": "a", "sets": 0}`, `line 19: locks[1].drill: a second lock on "a"`},
		{`"kind": "easy"`, `"kind": "eazy"`, `line 14: drills[0].kind: unknown kind "eazy"; did you mean "easy"?`},
		{`"component": "line"`, `"component": "lines"`, `line 16: drills[1].component: unknown component "lines"; did you mean "line"?`},
		{`"id": "b"`, `"id": "a"`, `line 16: drills[1].id: "a" is used twice`},
		{`"name": "line"`, `"name": "entry"`, `line 3: components[1].name: "entry" is listed twice`},
		{`"tau": 3`, `"tau": 0`, "line 3: components[1].tau: 0 is not a positive number of sets"},
		{`"need": 1`, `"need": -1`, "line 3: components[1].need: -1 is out of range"},
		{`[{"day": 1, "minutes": 30, "hand_minutes": 20.5}]`, `[]`, "line 4: long_sessions: no long session"},
		{`"day": 1`, `"day": 7`, "line 4: long_sessions[0].day: 7 is out of range; give 0 to 6"},
		{`[0, 100, 180, 240]`, `[0, 100, 80]`, "line 12: massing[2]: 80 falls below 100"},
		{`[0, 100, 180, 240]`, `[]`, "line 12: massing: must start with 0"},
		{`"max_sets": 4, "week_sets": 3, "bonus": 0`, `"max_sets": 1, "week_sets": 3, "bonus": 0`, "line 15: drills[0].max_sets: 1 is under min_sets 2"},
		{`"bans": []` + "\n}", `"bans": []`, "the file ends too early"},
		{`"bans": []` + "\n}", `"bans": []` + "\n} {}", "something follows the problem"},
		{`"day": 3`, `"day": 3 4`, "line 5: "},
		{`"name": "small"`, "\"name\": \"sm\xffll\"", "line 2: not UTF-8 text"},
	} {
		if !strings.Contains(small, c.old) {
			t.Fatalf("no %q in the sample", c.old)
		}
		_, err := Decode(strings.NewReader(strings.Replace(small, c.old, c.new, 1)))
		var one Fault
		var many Faults
		if err == nil || !strings.Contains(err.Error(), c.want) || !errors.As(err, &one) && !errors.As(err, &many) {
			t.Errorf("%s for %s: got %v, want %q", c.new, c.old, err, c.want)
		}
	}
}

func TestDecodeLarge(t *testing.T) {
	if _, err := Decode(strings.NewReader(strings.Repeat(" ", maxFile+2))); err == nil || !strings.Contains(err.Error(), "larger than 8 MB") {
		t.Error(err)
	}
}

// FuzzDecode: whatever the file, reading, checking, solving and explaining it
// end without a panic, and a week that comes out is without fault.
func FuzzDecode(f *testing.F) {
	f.Add([]byte(small))
	for _, name := range []string{"d10-tiny-01.json", "d10-tiny-03.json"} {
		raw, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		p, err := Decode(bytes.NewReader(raw))
		if err != nil {
			return
		}
		r, err := Explain(p, 1, Options{Now: time.Now, Budget: 20 * time.Millisecond})
		if err != nil {
			t.Fatal(err)
		}
		if v, faults := Evaluate(p, r.Plan); r.Feasible && (v != r.Objective || len(faults) > 0 || r.Bound < v) {
			t.Fatalf("objective %d, evaluated %d, bound %d, faults %v", r.Objective, v, r.Bound, faults)
		}
	})
}
