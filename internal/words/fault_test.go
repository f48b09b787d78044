package words

import (
	"slices"
	"strings"
	"testing"

	"aplomb/internal/practice"
)

func TestFaultSentences(t *testing.T) {
	cases := []struct {
		fault practice.Fault
		want  string
	}{
		{practice.Fault{Code: practice.OutOfRange, File: "attempts.csv", Line: 12, Field: "seconds", Value: "-3",
			Want: "0 to 3600 seconds, or leave it empty where it was not timed"},
			"attempts.csv, line 12, seconds: -3 is out of range. Give 0 to 3600 seconds, or leave it empty where it was not timed."},
		{practice.Fault{Code: practice.UnknownWord, File: "attempts.csv", Line: 2, Field: "entry", Value: "kik", Near: "kick", Want: "kick, tuck"},
			`attempts.csv, line 2, entry: “kik” is not a known word. The nearest known word is kick. Known are kick, tuck.`},
		{practice.Fault{Code: practice.NotThere, File: "students.json"},
			"students.json: the file is missing. A studio folder has to have it."},
		{practice.Fault{Code: practice.BadID}, "The id is empty. An id has 1 to 64 letters from A to Z, digits, - or _, and no spaces."},
		{practice.Fault{Code: practice.FieldCount, File: "a.csv", Line: 3, Value: "1", Want: "17"},
			"a.csv, line 3: the row has 1 field, the header 17. See whether the row was cut off, or has a comma too many: " +
				"a text with a comma stands between quotes, and a decimal number has a point."},
	}
	for _, c := range cases {
		if got := English.Fault(c.fault); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// Every code has its sentences, whatever is known of the fault, and no sentence
// is left over or shows a code.
func TestEveryFaultHasItsSentences(t *testing.T) {
	used := map[string]bool{"fault.line": true}
	for _, code := range practice.Codes {
		for i := range 8 {
			f := practice.Fault{Code: code, File: "x.csv", Line: 1, Field: "f"}
			if i&1 != 0 {
				f.Value = "v"
			}
			if i&2 != 0 {
				f.Want = "w"
			}
			if i&4 != 0 {
				f.Near = "n"
			}
			what, fix := English.faultIDs(f)
			used[what], used[fix] = true, true
			sentence := English.Fault(f)
			if !strings.HasSuffix(sentence, ".") && !strings.HasSuffix(sentence, ": w") {
				t.Errorf("%s: no full stop: %s", code, sentence)
			}
			if strings.Contains(string(code), "-") && strings.Contains(sentence, string(code)) {
				t.Errorf("%s: the code is in the sentence: %s", code, sentence)
			}
		}
	}
	for id := range English.lines {
		if strings.HasPrefix(id, "fault.") && !used[id] {
			t.Errorf("nothing says %s", id)
		}
	}
}

func TestUnknownCodePanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a code without a sentence was passed over")
		}
	}()
	English.Fault(practice.Fault{Code: "no-such-code"})
}

// The codes are listed whole: one by one as they stand in the source.
func TestCodesAreDistinct(t *testing.T) {
	sorted := slices.Sorted(slices.Values(practice.Codes))
	if len(slices.Compact(sorted)) != len(practice.Codes) {
		t.Error("a code is listed twice")
	}
}
