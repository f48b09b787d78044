package picture

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/body"
	"aplomb/internal/practice"
)

// sample is one drill of testdata/figures.json: figures written as a coach
// writes them, of every kind there is.
type sample struct {
	ID      string
	Support practice.Support
	Figure  practice.Figure
}

func samples(t testing.TB) (all []sample) {
	t.Helper()
	raw, err := os.ReadFile("testdata/figures.json")
	if err != nil {
		t.Fatal(err)
	}
	d := json.NewDecoder(strings.NewReader(string(raw)))
	d.DisallowUnknownFields()
	if err := d.Decode(&all); err != nil {
		t.Fatal(err)
	}
	return all
}

// element is what the tests look at of an SVG.
type element struct {
	XMLName  xml.Name
	Class    string    `xml:"class,attr"`
	Role     string    `xml:"role,attr"`
	ViewBox  string    `xml:"viewBox,attr"`
	D        string    `xml:"d,attr"`
	CX       float64   `xml:"cx,attr"`
	CY       float64   `xml:"cy,attr"`
	R        float64   `xml:"r,attr"`
	Text     string    `xml:",chardata"`
	Children []element `xml:",any"`
}

func parsed(t testing.TB, svg string) element {
	t.Helper()
	var e element
	if err := xml.Unmarshal([]byte(svg), &e); err != nil {
		t.Fatal(err)
	}
	return e
}

// of is the children of a class.
func (e element) of(class string) (out []element) {
	for _, c := range e.Children {
		if c.Class == class {
			out = append(out, c)
		}
	}
	return out
}

var numbers = regexp.MustCompile(`-?[0-9.]+|NaN|Inf`)

// points are the places of a path or the corners around a disc.
func (e element) points(t testing.TB) (out []xy) {
	t.Helper()
	if e.XMLName.Local == "circle" {
		return []xy{{e.CX - e.R, e.CY - e.R}, {e.CX + e.R, e.CY + e.R}}
	}
	words := numbers.FindAllString(e.D, -1)
	for i := 0; i+1 < len(words); i += 2 {
		x, errX := strconv.ParseFloat(words[i], 64)
		y, errY := strconv.ParseFloat(words[i+1], 64)
		if errX != nil || errY != nil {
			t.Fatalf("not numbers: %s", e.D)
		}
		out = append(out, xy{x, y})
	}
	return out
}

// inside fails where a mark leaves the view box, or is not finite.
func inside(t testing.TB, id string, svg element) {
	t.Helper()
	box := strings.Fields(svg.ViewBox)
	w, errW := strconv.ParseFloat(box[2], 64)
	h, errH := strconv.ParseFloat(box[3], 64)
	if errW != nil || errH != nil || box[0] != "0" || box[1] != "0" {
		t.Fatalf("%s: view box %q", id, svg.ViewBox)
	}
	for _, e := range svg.Children {
		for _, p := range e.points(t) {
			if !(p.x >= 0 && p.x <= w && p.y >= 0 && p.y <= h) {
				t.Errorf("%s: %s at %v outside %s", id, e.Class, p, svg.ViewBox)
			}
		}
	}
}

// TestFigures: every sample passes its checks and becomes one small, whole
// drawing with its text alternative, the same each time, that needs nothing from
// outside.
func TestFigures(t *testing.T) {
	for _, s := range samples(t) {
		if fs := CheckFigure(s.Figure, s.Support); len(fs) > 0 {
			t.Errorf("%s: %v", s.ID, practice.Faults(fs))
			continue
		}
		svg, err := Figure("A <title> & more", s.Figure)
		if err != nil {
			t.Fatalf("%s: %v", s.ID, err)
		}
		if again, _ := Figure("A <title> & more", s.Figure); again != svg {
			t.Errorf("%s: drawn twice, two drawings", s.ID)
		}
		if len(svg) > 6000 {
			t.Errorf("%s: %d bytes", s.ID, len(svg))
		}
		if strings.Contains(strings.Replace(svg, `"http://www.w3.org/2000/svg"`, "", 1), "http") || strings.Contains(svg, "url(") {
			t.Errorf("%s: refers to something outside", s.ID)
		}
		e := parsed(t, svg)
		inside(t, s.ID, e)
		if e.Role != "img" || e.Children[0].XMLName.Local != "title" || e.Children[0].Text != "A <title> & more" ||
			e.Children[1].XMLName.Local != "desc" || e.Children[1].Text != s.Figure.Alt {
			t.Errorf("%s: text alternative: %s", s.ID, svg[:300])
		}
	}
}

// TestStructure: what each sample must show, and must not, by class and count.
func TestStructure(t *testing.T) {
	want := map[string]map[string]int{
		"open-try":        {"trunk": 2, "head": 2, "floor": 2, "arrow": 1, "plumb": 1, "far": 2, "helper": 0, "pad": 0},
		"chest-wall-hold": {"trunk": 1, "floor": 2, "pad": 1, "arrow": 0, "plumb": 0, "far": 0},
		"heel-pulls":      {"pad": 2, "plumb": 1, "arrow": 1},
		"half-kick":       {"plumb": 0, "pad": 1},
		"box-pike":        {"solid": 1, "plumb": 0},
		"kick-spot":       {"helper-head": 1, "plumb": 0},
		"straddle":        {"far": 0, "plumb": 1, "near": 9},
		"blocks":          {"solid": 6, "plumb": 2},
		"bottle-shrug":    {"solid": 4},
		"side-to-side":    {"pad": 1, "plumb": 0},
	}
	for _, s := range samples(t) {
		svg, err := Figure(s.ID, s.Figure)
		if err != nil {
			t.Fatal(err)
		}
		e := parsed(t, svg)
		for class, n := range want[s.ID] {
			if got := len(e.of(class)); got != n {
				t.Errorf("%s: %d of %s, want %d", s.ID, got, class, n)
			}
		}
		delete(want, s.ID)
		for _, c := range e.Children {
			if c.Class != "" && !strings.Contains(svg, ".figure ."+c.Class+"{") {
				t.Errorf("%s: %s has no style", s.ID, c.Class)
			}
		}
	}
	for id := range want {
		t.Errorf("no sample %s", id)
	}
}

// TestUpright: in the drawing of a free handstand the feet are above the hands
// and the plumb line hangs over the palm, from wrist to fingertip.
func TestUpright(t *testing.T) {
	svg, err := Figure("handstand", practice.Figure{Start: practice.Pose{Preset: "handstand"}, Alt: "a handstand"})
	if err != nil {
		t.Fatal(err)
	}
	e := parsed(t, svg)
	near := e.of("near")
	arm := near[len(near)-1].points(t)
	foot, wrist, tip := near[len(near)-2].points(t)[0], arm[2], arm[3]
	if !(foot.y < wrist.y) {
		t.Errorf("foot at %v, wrist at %v", foot, wrist)
	}
	if plumb := e.of("plumb")[0].points(t); !(plumb[0].x == plumb[1].x && plumb[0].x > wrist.x && plumb[0].x < tip.x) {
		t.Errorf("plumb line %v, hand %v to %v", plumb, wrist, tip)
	}
}

// TestFromTheFront: a body that faces the viewer has its right hand, the near
// one, on the viewer's left.
func TestFromTheFront(t *testing.T) {
	s, err := settle(practice.Pose{Preset: "stand", View: practice.FrontView})
	if err != nil {
		t.Fatal(err)
	}
	l := s.body.Landmarks
	if right, left := s.at(l[body.RightWrist]), s.at(l[body.LeftWrist]); right.x >= left.x {
		t.Errorf("right hand at %v, left at %v", right, left)
	}
}

// TestPresetsAreReal: a body can take every preset, and balance it where it is
// held.
func TestPresetsAreReal(t *testing.T) {
	for _, name := range practice.PresetNames() {
		f := practice.Figure{Start: practice.Pose{Preset: name}, Alt: name}
		support := practice.Floor
		if s, err := settle(f.Start); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		} else if s.upsideDown() {
			support = practice.Open
		}
		if w := f.Start.Resolved().Wall; w != nil {
			support = map[practice.WallSide]practice.Support{practice.ChestSide: practice.WallChest, practice.BackSide: practice.WallBack}[w.Side]
		}
		if fs := CheckFigure(f, support); len(fs) > 0 {
			t.Errorf("%s: %v", name, practice.Faults(fs))
		}
	}
}

// TestAnyPose: whatever angles a sound pose has, it is drawn inside its view box
// or refused.
func TestAnyPose(t *testing.T) {
	names := practice.PresetNames()
	rapid.Check(t, func(r *rapid.T) {
		list := func(name string, lo, hi float64) []float64 {
			return rapid.SliceOfN(rapid.Float64Range(lo, hi), 0, 2).Draw(r, name)
		}
		p := practice.Pose{Preset: rapid.SampledFrom(names).Draw(r, "preset"),
			Shoulders: list("shoulders", -90, 230), Hips: list("hips", 15, 240), Knees: list("knees", 20, 190), LegsApart: list("legs", -30, 110),
			Spotter: rapid.SampledFrom(append([]practice.Grip{""}, practice.Grips...)).Draw(r, "spotter")}
		if p.Resolved().View == practice.FrontView {
			p.Spotter = ""
		}
		f := practice.Figure{Start: p, End: &practice.Pose{Preset: "handstand"}, Alt: "any"}
		if fs := f.Check(); len(fs) > 0 {
			r.Fatal(practice.Faults(fs))
		}
		svg, err := Figure("any", f)
		if errors.Is(err, body.ErrNoFit) {
			return
		}
		if err != nil {
			r.Fatal(err)
		}
		inside(t, p.Preset, parsed(t, svg))
	})
}

func BenchmarkFigure(b *testing.B) {
	all := samples(b)
	for b.Loop() {
		for _, s := range all {
			if _, err := Figure(s.ID, s.Figure); err != nil {
				b.Fatal(err)
			}
		}
	}
}
