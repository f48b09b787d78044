package skill

import (
	"errors"
	"math"
	"slices"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

// Two components: P(theta_0 - r_0 < theta_1 - r_1) in closed form.
func TestLimiterOfTwo(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := rapid.SliceOfN(rapid.Float64Range(-2, 2), 2, 2).Draw(rt, "means")
		r := rapid.SliceOfN(rapid.Float64Range(-2, 2), 2, 2).Draw(rt, "asks")
		sd := rapid.SliceOfN(rapid.Float64Range(.5, 1.5), 2, 2).Draw(rt, "sd")
		c := NewComponents([]Component{{Mean: m[0], SD: sd[0]}, {Mean: m[1], SD: sd[1]}}, .2, nil)
		l, err := c.Limiter(r)
		if err != nil {
			rt.Fatal(err)
		}
		want := normalCDF((m[1] - r[1] - m[0] + r[0]) / math.Sqrt(sd[0]*sd[0]+sd[1]*sd[1]-.4))
		if math.Abs(l.P[0]-want) > .01 {
			rt.Errorf("got %.4f, want %.4f", l.P[0], want)
		}
		if !l.Known {
			rt.Error("one of two is always known")
		}
	})
}

// Nine components with shared ability: given the shared part they are
// independent and it shifts all alike, so P(k) is a one-dimensional integral.
func TestLimiterOfNine(t *testing.T) {
	at := intake(9)
	asks := []float64{.5, -.2, .8, 0, 1.2, -.6, .1, .3, .9}
	for k := range at {
		at[k].Mean = .2*float64(k) - .7
		at[k].SD = .6 + .05*float64(k)
	}
	l, err := NewComponents(at, SharedAbility, nil).Limiter(asks)
	if err != nil {
		t.Fatal(err)
	}
	own := func(k int) float64 { return math.Sqrt(at[k].SD*at[k].SD - SharedAbility) }
	var total float64
	for k := range at {
		var want float64
		const du = 1e-3
		for u := -8.; u < 8; u += du {
			x := at[k].Mean - asks[k] + own(k)*u
			p := math.Exp(-u*u/2) / math.Sqrt(2*math.Pi) * du
			for j := range at {
				if j != k {
					p *= normalCDF((at[j].Mean - asks[j] - x) / own(j))
				}
			}
			want += p
		}
		t.Logf("component %d: %.4f, exact %.4f", k, l.P[k], want)
		numtest.Close(t, "P", l.P[k], want, .01)
		total += l.P[k]
	}
	numtest.Close(t, "total", total, 1, 1e-12)
	if l.Most != slices.Index(l.P, slices.Max(l.P)) || l.Known != (l.P[l.Most] >= .5) || len(l.N) != 9 {
		t.Errorf("%+v", l)
	}
}

func TestLimiterBecomesKnown(t *testing.T) {
	c, asks := NewComponents(intake(9), SharedAbility, nil), make([]float64, 9)
	l, err := c.Limiter(asks)
	if err != nil || l.Known {
		t.Fatalf("%+v, %v", l, err)
	}
	for _, p := range l.P {
		numtest.Close(t, "all alike", p, 1./9, .01)
	}
	for k := range 9 {
		y := 1.
		if k == 6 {
			y = -1
		}
		c.Measure(k, y, .4)
	}
	if l, err = c.Limiter(asks); err != nil || !l.Known || l.Most != 6 || l.P[6] < .9 {
		t.Errorf("%+v, %v", l, err)
	}
	asks[6] = math.Inf(-1)
	if l, err = c.Limiter(asks); err != nil || l.P[6] != 0 {
		t.Errorf("not asked, yet limits: %+v, %v", l, err)
	}
}

// Mutual information by brute force: each result of the probe is folded into a
// copy and the limiter worked out anew. Both sides carry the error of 2048 points;
// with 262,144 they agree to .0003 bits.
func TestTellingAgainstUpdates(t *testing.T) {
	c, asks := NewComponents(intake(4), SharedAbility, nil), []float64{0, .3, -.5, 1}
	c.Measure(1, .4, .3)
	sds := []float64{.4, .4, math.Inf(1), .8}
	got, err := c.Telling(asks, sds)
	if err != nil {
		t.Fatal(err)
	}
	before, _ := c.Limiter(asks)
	for _, g := range got {
		sd := sds[g.Component]
		var want float64
		if !math.IsInf(sd, 1) {
			want = entropy(before.P)
			l := c.Level(g.Component)
			for i, u := range coarse.at {
				d := c.Clone()
				d.Measure(g.Component, l.Mean+math.Sqrt(l.SD*l.SD+sd*sd)*u, sd)
				after, _ := d.Limiter(asks)
				want -= coarse.weight[i] * entropy(after.P)
			}
		}
		t.Logf("component %d: %.4f bits, by updates %.4f", g.Component, g.Bits, want)
		numtest.Close(t, "bits", g.Bits, want, .03)
	}
	if got[0].Component == 1 || got[3].Component != 2 || got[3].Bits != 0 {
		t.Errorf("%+v", got)
	}
}

func TestLimiterRefuses(t *testing.T) {
	c := NewComponents(intake(2), SharedAbility, nil)
	never := []float64{math.Inf(-1), math.Inf(-1)}
	if _, err := c.Limiter(never); !errors.Is(err, ErrNothingAsked) {
		t.Error(err)
	}
	if _, err := c.Telling(never, []float64{1, 1}); !errors.Is(err, ErrNothingAsked) {
		t.Error(err)
	}
	panics(t, "an undefined ask", func() { _, _ = c.Limiter([]float64{0, math.NaN()}) })
	panics(t, "a missing ask", func() { _, _ = c.Limiter([]float64{0}) })
	panics(t, "an exact probe", func() { _, _ = c.Telling([]float64{0, 0}, []float64{0, 1}) })
	panics(t, "a missing probe", func() { _, _ = c.Telling([]float64{0, 0}, []float64{1}) })
}
