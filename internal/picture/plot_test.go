package picture

import (
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func sampleStrings() []String {
	asked := 0.6
	return []String{{"entry", 0.55, 0.45, 0.62, &asked, false}, {"exit", 0.8, 0.7, 0.85, &asked, false},
		{"confidence", 0.6, 0.5, 0.7, nil, false}, {"line", 0.4, 0.2, 0.6, &asked, false}, {"tension", 0.6, 0.55, 0.66, &asked, false},
		{"balance", 0.5, 0.45, 0.52, &asked, false}, {"shoulders", 0.3, 0.2, 0.36, &asked, true}, {"wrists", 0.7, 0.6, 0.75, &asked, false},
		{"endurance", 0, 0, 1, &asked, false}}
}

func sampleDays() []HungDay {
	blocks := []HungBlock{{"Wrists and shoulders", "", 5, Frame}, {"Cold try, open tries", "1 + 5, full rest", 8, Frame},
		{"Heel pulls at the wall", "4 × 4", 9, Challenge}, {"Chest to wall, line held long and quiet", "4 × 20 s", 9, Easy},
		{"Shrugs, piked", "3 × 8", 8, Strength}, {"Shoulder stretch", "3 × 60 s", 6, Frame}}
	return []HungDay{{Name: "Mon", Rest: "rest"}, {Name: "Tue", Start: "18:30", Blocks: blocks}, {Name: "Wed", Blocks: blocks[:3]},
		{Name: "Thu", Rest: "rest"}, {Name: "Fri", Blocks: blocks[:4]}, {Name: "Sat", Rest: "away"}, {Name: "Sun", Blocks: blocks}}
}

func sampleTries() []Try {
	var out []Try
	for i := range 60 {
		s := math.Mod(float64(i*i)*0.37, 14)
		out = append(out, Try{Day: i * 84 / 60, Seconds: s, Caught: s >= 1, Lowered: i%7 == 0, Cold: i%5 == 0})
	}
	return out
}

// pictures are one of each, as pages show them.
func pictures() map[string]string {
	out := map[string]string{"hung": HungWeek("the week", sampleDays())}
	steps := []Step{{1, 0.71, 0.62, 0.8}, {2, 0.66, 0.55, 0.75}, {5, 0.45, 0.36, 0.54}, {10, 0.27, 0.18, 0.36}, {15, 0.15, 0.1, 0.22}, {17, 0.1, 0.02, 0.2}}
	for name, size := range map[string]Size{"": Wide, "-narrow": Narrow} {
		out["strings"+name] = Strings(`a "profile" & more`, sampleStrings(), size)
		out["curve"+name] = Curve("the curve", steps, []float64{1, 3, 5, 10, 15, 30, 60}, size)
		out["tries"+name] = Tries("the tries", sampleTries(), []Month{{0, "September"}, {30, "October"}, {60, "November"}}, 84, []float64{1, 3, 5, 10, 15}, size)
		out["load"+name] = Load("the load", []LoadWeek{{"W40", 20}, {"W41", 22}, {"W42", 0}, {"W43", 15}, {"W44", 18}, {"W45", 21}, {"W46", 24}, {"W47", 26}}, 28, size)
	}
	return out
}

// classesOf reads a drawing to its end and gives the classes it uses.
func classesOf(t interface{ Fatalf(string, ...any) }, name, svg string) map[string]bool {
	used := map[string]bool{}
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		if err == io.EOF {
			return used
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if e, ok := token.(xml.StartElement); ok {
			for _, a := range e.Attr {
				if a.Name.Local == "class" {
					for _, c := range strings.Fields(a.Value) {
						used[c] = true
					}
				}
				if a.Name.Local == "style" {
					t.Fatalf("%s: a style of its own, which the policy of a page forbids", name)
				}
			}
		}
	}
}

func TestPicturesArePaintedByTheSheet(t *testing.T) {
	sheet := Sheet()
	plain := map[string]bool{"plot": true, "at-wide": true, "at-narrow": true, "strings": true, "curve": true, "hung": true, "tries": true,
		"hands": true, "name": true, "on-easy": true, "on-frame": true}
	seen := map[string]bool{}
	for name, svg := range pictures() {
		if !strings.Contains(svg, `role="img"`) || !strings.Contains(svg, "aria-label=") {
			t.Errorf("%s says nothing to who cannot see it", name)
		}
		for c := range classesOf(t, name, svg) {
			seen[c] = true
			if !plain[c] && !strings.Contains(sheet, "."+c) {
				t.Errorf("%s: nothing paints .%s", name, c)
			}
		}
	}
	for _, m := range regexp.MustCompile(`\.([a-z-]+)[{,]`).FindAllStringSubmatch(sheet, -1) {
		if !seen[m[1]] && m[1] != "plot" {
			t.Errorf("the sheet paints .%s, which no picture uses", m[1])
		}
	}
}

// Whatever the numbers, a picture is well-formed and has no NaN in it.
func TestPicturesOfAnything(t *testing.T) {
	share := rapid.Float64Range(0, 1)
	rapid.Check(t, func(t *rapid.T) {
		size := Size(rapid.Bool().Draw(t, "narrow"))
		n := rapid.IntRange(0, 12).Draw(t, "n")
		var cs []String
		var steps []Step
		var tries []Try
		var weeks []LoadWeek
		for i := range n {
			p := share.Draw(t, "share")
			cs = append(cs, String{Name: rapid.String().Draw(t, "name"), Length: p, Lo: p / 2, Hi: (1 + p) / 2, Asked: &p})
			steps = append(steps, Step{float64(i) + 1, p, p / 2, (1 + p) / 2})
			tries = append(tries, Try{Day: i, Seconds: 3600 * p, Caught: p > 0.3, Lowered: p > 0.6})
			weeks = append(weeks, LoadWeek{"w", 600 * p})
		}
		for name, svg := range map[string]string{"strings": Strings("a", cs, size), "curve": Curve("a", steps, []float64{1, 5}, size),
			"tries": Tries("a", tries, nil, n, []float64{1, 5}, size), "load": Load("a", weeks, 0, size)} {
			classesOf(t, name, svg)
			if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
				t.Fatalf("%s: %s", name, svg)
			}
		}
	})
}

func TestFitCutsWhatIsLeftOver(t *testing.T) {
	for _, c := range []struct {
		text  string
		lines int
		want  string
	}{
		{"Heel", 2, "Heel"},
		{"Chest to wall, line held long", 2, "Chest to|wall,…"},
		{"Incomprehensibilities", 1, "Incompre…"},
		{"", 2, ""},
	} {
		if got := strings.Join(fit(c.text, 70, 13, c.lines), "|"); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}
