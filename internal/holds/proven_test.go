package holds

import (
	"errors"
	"fmt"
	"testing"

	"aplomb/internal/numtest"

	"pgregory.net/rapid"
)

// Source: R 4.2.2, qbeta(.025, x + 1, n - x + 1).
func TestLowerBoundAgreesWithR(t *testing.T) {
	for _, c := range []struct {
		x, n int
		want float64
	}{
		{10, 10, 0.7150858470818},
		{9, 9, 0.6915028921812},
		{15, 16, 0.7131106033328},
		{14, 15, 0.6976792615655},
		{19, 21, 0.7083872584461},
		{18, 20, 0.6962255930861},
		{22, 24, 0.7396941578948},
		{0, 5, 0.004210744514489},
	} {
		numtest.Close(t, fmt.Sprintf("%d of %d", c.x, c.n), LowerBound(c.x, c.n, .975), c.want, 1e-11)
	}
	// 90% bounds to two digits: an unpublished table of a simulation.
	for _, c := range []struct {
		x, n int
		want float64
	}{{3, 3, .56}, {4, 5, .49}, {5, 5, .68}, {7, 8, .63}, {8, 8, .77}, {9, 10, .69}, {10, 10, .81}, {13, 15, .70}, {18, 20, .77}} {
		numtest.Close(t, fmt.Sprintf("%d of %d at 90%%", c.x, c.n), LowerBound(c.x, c.n, .9), c.want, .0051)
	}
	// With n of n the bound is (1 - confidence)^(1/(n+1)), and of no tries the prior's.
	numtest.Close(t, "no tries", LowerBound(0, 0, .975), .025, 1e-14)
	panics(t, "more passes than tries", func() { LowerBound(2, 1, .9) })
	panics(t, "confidence", func() { LowerBound(1, 1, 1) })
}

// Source: R 4.2.2 qbeta: the fewest passes of n with a 97.5% lower bound of .70.
func TestStandardBarAsksForThesePasses(t *testing.T) {
	for n, want := range map[int]int{10: 10, 16: 15, 21: 19, 24: 22} {
		for x := range n + 1 {
			if got := StandardBar.meets(x, n); got != (x >= want) {
				t.Errorf("%d of %d meets the bar: %v", x, n, got)
			}
		}
	}
	if StandardBar.meets(9, 9) {
		t.Error("9 of 9 meets the bar")
	}
}

// series is perDay tries on each of the days, all passed but the failures.
func series(days []int, perDay int, failures ...int) []ColdTry {
	var out []ColdTry
	for _, d := range days {
		for range perDay {
			out = append(out, ColdTry{Day: d, Place: fmt.Sprint("place ", d%3), Passed: true})
		}
	}
	for _, i := range failures {
		out[i].Passed = false
	}
	return out
}

func TestJudge(t *testing.T) {
	for what, c := range map[string]struct {
		tries []ColdTry
		today int
		want  Proof
	}{
		"nothing":               {nil, 5, Proof{Missing: Missing{5, 10}}},
		"ten of ten, five days": {series([]int{1, 3, 4, 6, 8}, 2), 8, Proof{Tries: 10, Passes: 10, Days: 5, Places: []string{"place 1", "place 0", "place 2"}, Declared: true}},
		"ten of ten, one day":   {series([]int{6}, 10), 8, Proof{Tries: 10, Passes: 10, Days: 1, Places: []string{"place 0"}, Missing: Missing{4, 0}}},
		"one failure":           {series([]int{1, 3, 4, 6, 8}, 2, 4), 8, Proof{Tries: 10, Passes: 9, Days: 5, Places: []string{"place 1", "place 0", "place 2"}, Missing: Missing{0, 6}}},
		"the failure has aged":  {series([]int{1, 3, 6, 9, 12, 15}, 2, 0), 22, Proof{Tries: 10, Passes: 10, Days: 5, Places: []string{"place 0"}, Declared: true}},
		"and had not before":    {series([]int{1, 3, 6, 9, 12, 15}, 2, 0), 21, Proof{Tries: 12, Passes: 11, Days: 6, Places: []string{"place 1", "place 0"}, Missing: Missing{0, 4}}},
		"the future is unseen":  {series([]int{1, 3, 30}, 1), 3, Proof{Tries: 2, Passes: 2, Days: 2, Places: []string{"place 1", "place 0"}, Missing: Missing{3, 8}}},
	} {
		got, err := StandardBar.Judge(c.tries, c.today)
		if err != nil {
			t.Fatal(err)
		}
		c.want.LowerBound = LowerBound(c.want.Passes, c.want.Tries, .975)
		if fmt.Sprintf("%+v", got) != fmt.Sprintf("%+v", c.want) {
			t.Errorf("%s:\n got %+v\nwant %+v", what, got, c.want)
		}
	}
	if p, _ := StandardBar.Judge([]ColdTry{{Day: 1, Passed: true}}, 1); len(p.Places) != 0 {
		t.Errorf("an unknown place was counted: %v", p.Places)
	}
}

func drawTries(r *rapid.T) []ColdTry {
	day, out := rapid.IntRange(-5, 5).Draw(r, "first"), []ColdTry{}
	for range rapid.IntRange(1, 60).Draw(r, "n") {
		day += rapid.SampledFrom([]int{0, 0, 1, 1, 2, 9}).Draw(r, "gap")
		out = append(out, ColdTry{Day: day, Passed: rapid.IntRange(0, 9).Draw(r, "passed") > 0})
	}
	return out
}

// What is missing is enough and no less would do; the first day declared is the
// first on which a daily look declares.
func TestProofProperties(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b := Bar{WindowDays: rapid.IntRange(3, 30).Draw(r, "window"), MinDays: rapid.IntRange(1, 3).Draw(r, "days"),
			Confidence: rapid.Float64Range(.6, .99).Draw(r, "confidence"), Floor: rapid.Float64Range(.3, .9).Draw(r, "floor")}
		tries := drawTries(r)
		today := tries[len(tries)-1].Day
		p, err := b.Judge(tries, today)
		if err != nil {
			r.Fatal(err)
		}
		k := p.Missing.Passes
		if !b.meets(p.Passes+k, p.Tries+k) || k > 0 && b.meets(p.Passes+k-1, p.Tries+k-1) {
			r.Fatalf("%d further passes after %+v", k, p)
		}
		if p.Declared != (p.LowerBound >= b.Floor && p.Days >= b.MinDays) {
			r.Fatalf("%+v", p)
		}
		first, ok := 0, false
		for day := tries[0].Day; day <= today+40 && !ok; day++ {
			p, _ := b.Judge(tries, day)
			first, ok = day, p.Declared
		}
		got, declared, err := b.Declared(tries, today+40)
		if err != nil || declared != ok || ok && got != first {
			r.Fatalf("declared on day %d (%v, %v), want %d (%v)", got, declared, err, first, ok)
		}
	})
}

func TestFaultsOfAProof(t *testing.T) {
	good := StandardBar
	for what, b := range map[string]Bar{
		"window":     {0, 1, good.Confidence, good.Floor},
		"days":       {21, 22, good.Confidence, good.Floor},
		"no days":    {21, 0, good.Confidence, good.Floor},
		"confidence": {21, 5, 1, good.Floor},
		"floor":      {21, 5, good.Confidence, 1},
	} {
		_, err := b.Judge(nil, 0)
		_, _, err2 := b.Declared(nil, 0)
		_, err3 := OperatingCurve(b, []float64{.5}, 2, 12, 1, 10)
		for _, err := range []error{err, err2, err3} {
			if !errors.Is(err, ErrBar) {
				t.Errorf("%s: %v", what, err)
			}
		}
	}
	if _, err := good.Judge([]ColdTry{{Day: 2}, {Day: 1}}, 2); !errors.Is(err, ErrOrder) {
		t.Errorf("days backwards: %v", err)
	}
	if _, ok, err := good.Declared(nil, 9); ok || err != nil {
		t.Errorf("no tries: %v, %v", ok, err)
	}
	hard := Bar{WindowDays: 21, MinDays: 5, Confidence: .9999, Floor: .9999}
	if p, err := hard.Judge(nil, 0); err != nil || p.Missing.Passes != 92098 {
		t.Errorf("a very high bar: %+v, %v", p, err)
	}
}

// What the standard bar lets through in twelve weeks of daily looks, two tries a
// day. Expected: reference design, a simulation: q .5 under 1%, .6 1.6%, .65 7%,
// .7 24%, .8 92%. The margins are five Monte-Carlo standard errors of 20,000
// students, and half a unit of the last digit printed there.
func TestOperatingCurveOfTheStandardBar(t *testing.T) {
	curve, err := OperatingCurve(StandardBar, []float64{.5, .6, .65, .7, .8, .9}, 2, 12, 1, 20000)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range curve {
		t.Logf("q %.2f: declared %.4f (standard error %.4f), after %.0f days on average", o.Q, o.Declared, o.StdErr, o.Days)
	}
	if curve[0].Declared > .01 {
		t.Errorf("q .5 is declared in %.4f", curve[0].Declared)
	}
	for i, want := range map[int]struct{ share, digit float64 }{1: {.016, .0005}, 2: {.07, .005}, 3: {.24, .005}, 4: {.92, .005}} {
		numtest.Close(t, fmt.Sprintf("q %.2f", curve[i].Q), curve[i].Declared, want.share, want.digit+5*curve[i].StdErr)
	}
}

func TestOperatingCurveAtItsEnds(t *testing.T) {
	curve, _ := OperatingCurve(StandardBar, []float64{0, 1}, 2, 3, 1, 20)
	if curve[0].Declared != 0 || curve[1].Declared != 1 || curve[1].Days != 5 {
		t.Errorf("%+v", curve)
	}
	again, _ := OperatingCurve(StandardBar, []float64{.75}, 2, 4, 9, 500)
	same, _ := OperatingCurve(StandardBar, []float64{.75}, 2, 4, 9, 500)
	if again[0] != same[0] {
		t.Errorf("one seed, two results: %+v, %+v", again, same)
	}
	panics(t, "no tries a day", func() { OperatingCurve(StandardBar, nil, 0, 1, 1, 1) })
	panics(t, "chance", func() { OperatingCurve(StandardBar, []float64{1.1}, 1, 1, 1, 1) })
}

func BenchmarkOperatingCurve(b *testing.B) {
	for b.Loop() {
		if _, err := OperatingCurve(StandardBar, []float64{.5, .6, .7, .8, .9}, 2, 12, 1, 2000); err != nil {
			b.Fatal(err)
		}
	}
}
