package rehearse

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"aplomb/internal/numtest"
)

// TestWilson against R 4.2.2, prop.test(x, n, correct = FALSE); the rows are of
// testdata/binomial_intervals_r.csv of the package holds, x,n,level.
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		k, n          int
		level, lo, hi float64
	}{
		{0, 1, .99, 0, .86902245672},
		{1, 1, .99, .13097754328, 1},
		{1, 2, .99, .0617130767781, .938286923222},
		{0, 10, .95, 0, .277532799863},
		{9, 10, .95, .595849973205, .982123786905},
		{2, 100, .95, .00550196755016, .0700117907285},
		{80, 100, .95, .711170834407, .866633066669},
	} {
		got := wilson(c.k, c.n, c.level)
		numtest.CloseAll(t, "wilson", []float64{got.P, got.Lo, got.Hi, got.Level}, []float64{float64(c.k) / float64(c.n), c.lo, c.hi, c.level}, 1e-10)
		if got.N != c.n {
			t.Errorf("n is %d, not %d", got.N, c.n)
		}
	}
	if got := wilson(0, 0, .95); got != (Share{Hi: 1, Level: .95}) {
		t.Errorf("of nothing: %+v", got)
	}
}

// TestClusteredTakesStudentsTogether: eight students, worked by hand. Held 12 of
// 20; residuals held - .6 of: -.2, .8, -.6, 0, twice each: squares 2.08.
func TestClusteredTakesStudentsTogether(t *testing.T) {
	by := []Covered{{1, 2}, {2, 2}, {0, 1}, {3, 5}, {1, 2}, {2, 2}, {0, 1}, {3, 5}}
	const z99 = 2.5758293035489004 // normal quantile of .995, R 4.2.2 qnorm
	half := z99 * math.Sqrt(2.08*8/7) / 20
	got := clustered(by)
	numtest.CloseAll(t, "clustered", []float64{got.P, got.Lo, got.Hi}, []float64{.6, .6 - half, .6 + half}, 1e-10)
	if got.N != 20 || got.Level != .99 {
		t.Errorf("%+v", got)
	}
	single := []Covered{{1, 1}, {0, 1}, {}, {1, 1}}
	if got, want := clustered(single), wilson(2, 3, .99); got != want {
		t.Errorf("one claim each: %+v, want %+v", got, want)
	}
	all := slices.Repeat([]Covered{{9, 9}, {0, 9}}, 30) // 540 claims that tell as much as 60
	if got, alone := clustered(all), wilson(270, 540, .99); got.Hi-got.Lo < 2.5*(alone.Hi-alone.Lo) {
		t.Errorf("claims of one student count as independent: %+v", got)
	}
}

func TestQuantilesWithNever(t *testing.T) {
	for _, c := range []struct {
		weeks               []int
		lower, middle, high int // 0: never
	}{
		{[]int{5, 7, 9, never}, 5, 7, 9},
		{[]int{5, 7, never, never}, 5, 7, 0},
		{[]int{5, never, never, never}, 5, 0, 0},
		{[]int{never, never, never, never}, 0, 0, 0},
		{[]int{1, 2, 3, 4, 5}, 2, 3, 4},
		{[]int{6}, 6, 6, 6},
	} {
		for i, want := range []int{c.lower, c.middle, c.high} {
			q := []float64{.25, .5, .75}[i]
			if got := quantile(c.weeks, q); (got == nil) != (want == 0) || got != nil && *got != want {
				t.Errorf("quantile %g of %v: %v, want %d", q, c.weeks, got, want)
			}
		}
	}
	if m := middle([]int{9, never, 4}); m == nil || *m != 9 || middle(nil) != nil {
		t.Error("the middle of unsorted weeks, or of none")
	}
}

// TestPairedDifference by hand: 10, 20, never against 12, 15, 30 in 52 weeks are
// -2, 5 and 53-30 = 23: mean 26/3, variance 499/3.
func TestPairedDifference(t *testing.T) {
	a, b := []Record{{Reached: 10}, {Reached: 20}, {}}, []Record{{Reached: 12}, {Reached: 15}, {Reached: 30}}
	const z95 = 1.959963984540054 // R 4.2.2 qnorm(.975)
	half := z95 * math.Sqrt(499./9)
	got, back := paired(a, b, 52), paired(b, a, 52)
	numtest.CloseAll(t, "paired", []float64{got.Mean, got.Lo, got.Hi}, []float64{26. / 3, 26./3 - half, 26./3 + half}, 1e-10)
	numtest.CloseAll(t, "the other way", []float64{back.Mean, back.Lo, back.Hi}, []float64{-got.Mean, -got.Hi, -got.Lo}, 1e-10)
	if same := paired(a, a, 52); same.Mean != 0 || same.Lo != 0 || same.Hi != 0 || same.N != 3 {
		t.Errorf("a policy against itself: %+v", same)
	}
}

func TestMonthWithoutClaims(t *testing.T) {
	none := Look{Month: 1, Error: math.NaN()}
	some := Look{Month: 1, Error: -.2, Chance: Covered{1, 1}, Components: Covered{4, 5}}
	nothing := Share{Hi: 1, Level: monteCarlo}
	got := month([]Record{{Looks: []Look{none}}, {Looks: []Look{none}}}, 1)
	if got != (Month{Month: 1, Chance: nothing, Components: nothing, Forecast: nothing}) {
		t.Errorf("no claims: %+v", got)
	}
	got = month([]Record{{Looks: []Look{none}}, {Looks: []Look{some}}}, 1)
	if got.Bias != -.2 || got.Miss != .2 || got.Chance.N != 1 || got.Components.N != 5 || got.Forecast != nothing {
		t.Errorf("one claim: %+v", got)
	}
}

// TestSummary of two made-up policies of two students in eight weeks.
func TestSummary(t *testing.T) {
	look := []Look{{Error: .1}, {Error: math.NaN()}}
	record := func(reached int, end, minutes float64, proofs ...Proof) Record {
		return Record{Reached: reached, Chance: []float64{.1, end}, Looks: look, Proofs: proofs, Minutes: minutes}
	}
	first := []Record{record(3, .9, 800, Proof{15, .69}, Proof{10, .70}), record(0, .5, 400)}
	first[0].Limiters = []LimiterLook{{Seconds: 5, Known: true, First: true, TopTwo: true}, {Seconds: 1, Known: true, TopTwo: true}, {Seconds: 5, First: true, TopTwo: true}}
	first[0].Tests = 5
	second := []Record{record(8, .8, 800), record(8, .8, 800)}
	s := Study{Students: 2, Weeks: 8, Seed: 5}
	ps := policies(t, "planner", "once")
	r := s.Summarise([]Outcome{{ps[0], first}, {ps[1], second}})
	a, b := r.Policies[0], r.Policies[1]
	if *a.Lower != 3 || *a.Median != 3 || a.Upper != nil || a.Within.P != .5 || a.Practised != 75 || a.Against != nil || len(a.Months) != 2 {
		t.Errorf("the first policy: %+v", a)
	}
	numtest.Close(t, "at the end", a.AtTheEnd, .7, 1e-12)
	for w, share := range []float64{0, 0, .5, .5, .5, .5, .5, .5} {
		numtest.Close(t, "curve", a.Curve[w].P, share, 0)
		numtest.Close(t, "curve of the second", b.Curve[w].P, float64(w/7), 0)
	}
	if a.Proven.Proofs != 2 || a.Proven.Under != wilson(1, 2, .95) || b.Proven.Under.N != 0 {
		t.Errorf("proofs: %+v, %+v", a.Proven, b.Proven)
	}
	want := LimiterSum{First: wilson(2, 3, .95), TopTwo: wilson(3, 3, .95), Known: wilson(2, 3, .95), Right: wilson(1, 2, .95),
		Next: []LimiterNext{{1, wilson(0, 1, .95), wilson(1, 1, .95)}, {5, wilson(2, 2, .95), wilson(2, 2, .95)}}}
	if !reflect.DeepEqual(a.Limiter, want) || a.Tests != 2.5 || b.Against == nil || b.Against.Mean != -2 || r.Students != 2 || r.Weeks != 8 || r.Seed != 5 {
		t.Errorf("limiter %+v, against %+v, %+v", a.Limiter, b.Against, r)
	}
}
