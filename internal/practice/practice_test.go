package practice

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestMaybe(t *testing.T) {
	var unknown Maybe[float64]
	if unknown.Known || unknown.Or(7) != 7 || Known(0.0).Or(7) != 0 || !Known(0.0).Known {
		t.Error("unknown is not zero")
	}
}

func TestValidID(t *testing.T) {
	for _, id := range []string{"a", "A-1_z", strings.Repeat("x", 64), "-", "7"} {
		if !ValidID(id) {
			t.Errorf("%q is refused", id)
		}
	}
	for _, id := range []string{"", strings.Repeat("x", 65), "a b", "a/b", "é", "a\n", "a.b"} {
		if ValidID(id) {
			t.Errorf("%q is taken", id)
		}
	}
}

// Codes has every constant of type Code in the source.
func TestCodesAreAllOfThem(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "fault.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	declared := 0
	ast.Inspect(file, func(n ast.Node) bool {
		if spec, ok := n.(*ast.ValueSpec); ok {
			if of, ok := spec.Type.(*ast.Ident); ok && of.Name == "Code" {
				declared += len(spec.Names)
			}
		}
		return true
	})
	distinct := slices.Compact(slices.Sorted(slices.Values(Codes)))
	if declared != len(Codes) || len(distinct) != len(Codes) || declared < 20 {
		t.Errorf("%d declared, %d listed, %d of them distinct", declared, len(Codes), len(distinct))
	}
}

func TestWord(t *testing.T) {
	if w, err := Word(Entries, "kick"); err != nil || w != "kick" {
		t.Error(w, err)
	}
	_, err := Word(Ends, "spoted-save")
	var unknown *UnknownWordError
	if !errors.As(err, &unknown) || unknown.Nearest != "spotted-save" || len(unknown.Known) != len(Ends) {
		t.Fatal(err)
	}
	f := FieldFault("end", "spoted-save", BadDate, err)
	if f.Code != UnknownWord || f.Near != "spotted-save" || !strings.HasPrefix(f.Want, "over, under") || !errors.Is(f, err) {
		t.Errorf("%+v", f)
	}
	if f := FieldFault("born", "x", BadDate, errors.New("no")); f.Code != BadDate || f.Near != "" {
		t.Errorf("%+v", f)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"kick", "tuck", "pike"}
	for s, want := range map[string]string{"kik": "kick", "tucks": "tuck", "": "kick", "pick": "kick", strings.Repeat("z", 100_000): "kick"} {
		if got := Nearest(s, known); got != want {
			t.Errorf("nearest to %.9q: %q, want %q", s, got, want)
		}
	}
	if got := Nearest("kick", nil); got != "" {
		t.Error(got)
	}
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[a-z]{1,8}`), 1, 9).Draw(t, "known")
		if w := rapid.SampledFrom(words).Draw(t, "word"); Nearest(w, words) != w {
			t.Fatalf("%q is not nearest to itself", w)
		}
	})
}

func TestShort(t *testing.T) {
	if s := Short("a\nb\tc\x7f"); s != "a b c " {
		t.Errorf("%q", s)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "s")
		short := Short(s)
		if len(short) > 60 || !utf8.ValidString(short) || strings.ContainsAny(short, "\n\r\t") {
			t.Fatalf("%q", short)
		}
		if len(s) <= 60 && !strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f }) && short != s {
			t.Fatalf("%q became %q", s, short)
		}
	})
}

func TestFaultsAsErrors(t *testing.T) {
	cause := errors.New("cause")
	f := Fault{Code: OutOfRange, File: "a.csv", Line: 3, Field: "seconds", Value: "-3", Want: "more", Near: "0", Err: cause}
	const want = `a.csv:3: out-of-range field="seconds" value="-3" want="more" near="0"`
	if f.Error() != want || !errors.Is(f, cause) {
		t.Error(f.Error())
	}
	if s := (Faults{f, {Code: NotThere, File: "b"}}).Error(); s != want+"\nb: not-there" {
		t.Error(s)
	}
}

// A fall ends a hold because balance was lost; every other end only cuts the
// time short.
func TestFell(t *testing.T) {
	fell := map[End]bool{Over: true, Under: true, Sideways: true, Stepped: true, Wall: true, SpottedSave: true}
	for _, e := range append(Ends, "") {
		if e.Fell() != fell[e] {
			t.Errorf("%q", e)
		}
	}
}

func TestLogSort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var log Log
		for i := range rapid.IntRange(0, 9).Draw(t, "rows") {
			at := Instant{UnixNano: rapid.Int64Range(0, 2).Draw(t, "at")}
			log.Attempts = append(log.Attempts, Attempt{At: at, Set: rapid.IntRange(0, 1).Draw(t, "set"), Note: string(rune('a' + i))})
			log.Weeks = append(log.Weeks, Week{ISOWeek: ISOWeek{2026, 1 + i%3}, Version: rapid.IntRange(1, 3).Draw(t, "version")})
			log.Sessions = append(log.Sessions, Session{At: at})
			log.Tallies = append(log.Tallies, Tally{At: at})
			log.Probes = append(log.Probes, ProbeResult{At: at})
			log.Marks = append(log.Marks, DrillMark{At: at})
		}
		log.Sort()
		for i := range max(0, len(log.Attempts)-1) {
			a, b := log.Attempts[i], log.Attempts[i+1]
			if b.At.Before(a.At) || a.At == b.At && (a.Set > b.Set || a.Set == b.Set && a.Note > b.Note) {
				t.Fatalf("%+v before %+v", a, b)
			}
			if v, w := log.Weeks[i], log.Weeks[i+1]; v.ISOWeek.Week > w.ISOWeek.Week || v.ISOWeek == w.ISOWeek && v.Version > w.Version {
				t.Fatalf("%+v before %+v", v, w)
			}
			if log.Sessions[i+1].At.Before(log.Sessions[i].At) || log.Tallies[i+1].At.Before(log.Tallies[i].At) ||
				log.Probes[i+1].At.Before(log.Probes[i].At) || log.Marks[i+1].At.Before(log.Marks[i].At) {
				t.Fatal("not in order of time")
			}
		}
	})
}
