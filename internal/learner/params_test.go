package learner

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"aplomb/internal/numtest"
)

func TestEveryFieldIsAFigureOnce(t *testing.T) {
	var p Params
	names := map[string]bool{}
	for i, f := range figures {
		*f.of(&p) = float64(i + 1)
		if names[f.Name] || f.Unit == "" || f.Basis == "" {
			t.Errorf("%q: named twice, or without unit or basis", f.Name)
		}
		names[f.Name] = true
	}
	fields := reflect.ValueOf(p)
	if fields.NumField() != len(figures) {
		t.Fatalf("%d fields, %d figures", fields.NumField(), len(figures))
	}
	for i := range fields.NumField() {
		if fields.Field(i).Float() != float64(i+1) {
			t.Errorf("%s is not figure %d", fields.Type().Field(i).Name, i+1)
		}
	}
}

func TestRangesHoldTheirDefaults(t *testing.T) {
	if len(Ranges()) < 25 {
		t.Errorf("%d ranges", len(Ranges()))
	}
	for _, r := range Ranges() {
		if !(r.Low <= r.Default && r.Default <= r.High && r.Low < r.High) {
			t.Errorf("%s: %g to %g does not hold %g", r.Name, r.Low, r.High, r.Default)
		}
		same, err := Defaults().With(r.Name, r.Default)
		if err != nil || same != Defaults() {
			t.Errorf("%s at its default: %v", r.Name, err)
		}
	}
}

func TestWith(t *testing.T) {
	p, err := Defaults().With("softness", 2)
	if err != nil || p.Softness != 2 || Defaults().Softness != 1 {
		t.Errorf("softness %g, %v", p.Softness, err)
	}
	_, err = p.With("softnes", 1)
	if !errors.Is(err, ErrNoFigure) || !strings.Contains(err.Error(), "softness, gate") {
		t.Errorf("misnamed: %v", err)
	}
	for _, v := range []float64{3, -1, math.NaN(), math.Inf(1)} {
		q, err := p.With("softness", v)
		if !errors.Is(err, ErrOutside) || !strings.Contains(err.Error(), "0.1 to 2") || q != p {
			t.Errorf("softness %g: %v", v, err)
		}
	}
	if _, err := p.With("own", .5); !errors.Is(err, ErrNoFigure) {
		t.Errorf("a figure that no run moves: %v", err)
	}
}

func TestFiguresThatCannotBe(t *testing.T) {
	panics(t, "no figures", func() { New(Params{}, 1) })
	for name, spoil := range map[string]func(*Params){
		"negative":  func(p *Params) { p.Cold = -1 },
		"infinite":  func(p *Params) { p.SlowDays = math.Inf(1) },
		"undefined": func(p *Params) { p.Alpha = math.NaN() },
		"zero":      func(p *Params) { p.FastDays = 0 },
		"share":     func(p *Params) { p.Night = 1.5 },
	} {
		p := Defaults()
		spoil(&p)
		panics(t, name, func() { New(p, 1) })
	}
}

func TestNames(t *testing.T) {
	for k := range Component(N) {
		if c, ok := Named(k.String()); !ok || c != k {
			t.Errorf("%v is not found by its name", k)
		}
	}
	if _, ok := Named("courage"); ok {
		t.Error("courage is no component")
	}
}

func TestSharesSumToOne(t *testing.T) {
	s := plain()
	for name, shares := range map[string][N]float64{"catching": s.catch, "holding": holdShares, "catching without nerve": catchShares} {
		sum := 0.0
		for _, w := range shares {
			sum += w
		}
		numtest.Close(t, name, sum, 1, 1e-15)
	}
}

// Starts are N(mean, .6) with a part N(0, .4) in common, ceilings N(7.5, .6),
// rates lognormal .35: the defaults, by their closed forms.
func TestStudentsAreDrawnAsDescribed(t *testing.T) {
	const n = 4000
	var entry, line, ceiling, rate, adherence []float64
	for i := range n {
		s := New(Defaults(), uint64(i))
		entry, line = append(entry, s.Level(Entry)), append(line, s.Level(Line))
		ceiling, rate = append(ceiling, s.ceiling[Balance]), append(rate, math.Log(s.rate))
		adherence = append(adherence, logit(s.Adherence()))
	}
	for _, c := range []struct {
		what     string
		x        []float64
		mean, sd float64
	}{{"entry", entry, -.5, math.Sqrt(.52)}, {"line", line, -.8, math.Sqrt(.52)}, {"ceiling", ceiling, 7.5, .6},
		{"ln rate", rate, 0, .35}, {"logit adherence", adherence, math.Log(.85 / .15), .4}} {
		mean, sd := stat.MeanStdDev(c.x, nil)
		numtest.Close(t, c.what+" mean", mean, c.mean, 4.5*c.sd/math.Sqrt(n))
		numtest.Close(t, c.what+" sd", sd, c.sd, 4.5*c.sd/math.Sqrt(2*n))
	}
	numtest.Close(t, "correlation of starts", stat.Correlation(entry, line, nil), .16/.52, 4.5/math.Sqrt(n))
}

func TestAdherenceOfAllIsAll(t *testing.T) {
	p, err := Defaults().With("adherence", 1)
	if err != nil {
		t.Fatal(err)
	}
	numtest.Close(t, "adherence", New(p, 5).Adherence(), 1, 0)
}
