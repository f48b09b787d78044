package holds

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"
)

type sprtCase struct {
	P0, P1, Alpha, Beta float64
	LnA                 float64 `json:"ln_A"`
	LnB                 float64 `json:"ln_B"`
	Slope               float64
	InterceptAccept     float64 `json:"intercept_accept"`
	InterceptReject     float64 `json:"intercept_reject"`
	PerSuccess          float64 `json:"llr_per_success"`
	PerFailure          float64 `json:"llr_per_failure"`
	ASN                 struct {
		AtP0    float64 `json:"at_p0"`
		AtP1    float64 `json:"at_p1"`
		AtSlope float64 `json:"at_slope"`
	} `json:"wald_asn"`
	OC    []struct{ H, P, L, ASN float64 } `json:"wald_oc_curve"`
	Exact []struct {
		P, ASN float64
		Accept float64 `json:"accept_H0"`
		Reject float64 `json:"reject_H0"`
	} `json:"exact_recursion"`
	Table struct {
		N      []int
		Accept []*int `json:"accept_at_or_below"`
		Reject []*int `json:"reject_at_or_above"`
	}
}

func (c sprtCase) plan() SPRT { return SPRT{c.P0, c.P1, c.Alpha, c.Beta} }

func sprtCases(t *testing.T) map[string]sprtCase {
	return numtest.JSON[struct{ Cases map[string]sprtCase }](t, "sprt_bernoulli.json").Cases
}

// Source: Wald (1947); NIST/SEMATECH e-Handbook sec. 6.2.6 (x_a = -0.939 + 0.0397 n,
// x_r = 1.205 + 0.0397 n); values by R 4.2.2.
func TestSequentialBoundaries(t *testing.T) {
	for name, c := range sprtCases(t) {
		l := c.plan().Lines()
		numtest.CloseAll(t, name+" lines",
			[]float64{l.Upper, l.Lower, l.Slope, l.AcceptP0, l.AcceptP1, l.PerPass, l.PerMiss},
			[]float64{c.LnA, c.LnB, c.Slope, c.InterceptAccept, c.InterceptReject, c.PerSuccess, c.PerFailure}, 1e-10)
		for i, n := range c.Table.N {
			low, high := c.plan().Bounds(n)
			wantLow, wantHigh := -1, n+1
			if p := c.Table.Accept[i]; p != nil {
				wantLow = *p
			}
			if p := c.Table.Reject[i]; p != nil {
				wantHigh = *p
			}
			if low != wantLow || high != wantHigh {
				t.Errorf("%s after %d: %d and %d, want %d and %d", name, n, low, high, wantLow, wantHigh)
			}
		}
	}
}

// Source: as above; the exact recursion in R 4.2.2.
func TestSequentialOutlook(t *testing.T) {
	for name, c := range sprtCases(t) {
		plan := c.plan()
		for _, p := range c.OC {
			o := plan.Wald(p.P)
			numtest.Close(t, fmt.Sprintf("%s L at %v", name, p.P), o.AcceptP0, p.L, 1e-9)
			numtest.Close(t, fmt.Sprintf("%s ASN at %v", name, p.P), o.Tries, p.ASN, 1e-8)
		}
		numtest.Close(t, name+" ASN at p0", plan.Wald(c.P0).Tries, c.ASN.AtP0, 1e-9)
		numtest.Close(t, name+" ASN at p1", plan.Wald(c.P1).Tries, c.ASN.AtP1, 1e-9)
		numtest.Close(t, name+" ASN at the slope", plan.Wald(c.Slope).Tries, c.ASN.AtSlope, 1e-8)
		for _, e := range c.Exact {
			o := plan.Exact(e.P, 0, 0)
			numtest.CloseAll(t, fmt.Sprintf("%s exact at %v", name, e.P),
				[]float64{o.AcceptP0, o.AcceptP1, o.Tries}, []float64{e.Accept, e.Reject, e.ASN}, 1e-9)
		}
	}
}

// The outlook in the middle of a test is the average over what the next try does.
func TestSequentialOutlookFromTheMiddle(t *testing.T) {
	s := SPRT{.5, .8, .1, .1}
	for _, at := range [][2]int{{0, 0}, {2, 3}, {5, 7}} {
		here := s.Exact(.7, at[0], at[1])
		pass, miss := s.Exact(.7, at[0]+1, at[1]+1), s.Exact(.7, at[0], at[1]+1)
		numtest.Close(t, "tries", here.Tries, 1+.7*pass.Tries+.3*miss.Tries, 1e-10)
		numtest.Close(t, "end", here.AcceptP1, .7*pass.AcceptP1+.3*miss.AcceptP1, 1e-10)
	}
	if o := s.Exact(.7, 5, 5); o.Tries != 0 || o.AcceptP1 != 1 {
		t.Errorf("after a decision: %+v", o)
	}
}

// Evidence ±2.20 at .470 a pass and -.916 a miss: ln(.8/.5), ln(.2/.5) and ln(9) to two and three digits.
func TestSequentialDecisions(t *testing.T) {
	s := SPRT{.5, .8, .1, .1}
	p, m := true, false
	for _, c := range []struct {
		passed []bool
		want   Verdict
		tries  int
	}{
		{[]bool{p, p, p, p, p, m, m}, AcceptP1, 5},
		{[]bool{m, m, m, p, p, p}, AcceptP0, 3},
		{[]bool{p, m, p, p}, Undecided, 4},
		{nil, Undecided, 0},
	} {
		if v, n := s.Decide(c.passed); v != c.want || n != c.tries {
			t.Errorf("%v: %s after %d, want %s after %d", c.passed, v, n, c.want, c.tries)
		}
	}
}

// Simulated tests end as the exact recursion says, within five standard errors.
func TestSequentialSimulationAgreesWithTheRecursion(t *testing.T) {
	s, rng, runs := SPRT{.5, .8, .1, .1}, rand.New(rand.NewPCG(2, 3)), 20000
	for _, q := range []float64{.5, .65, .8} {
		want, accepted, tries := s.Exact(q, 0, 0), 0.0, 0.0
		for range runs {
			var passed []bool
			v, n := Undecided, 0
			for v == Undecided {
				passed = append(passed, rng.Float64() < q)
				v, n = s.Decide(passed)
			}
			accepted += float64(count(v == AcceptP1))
			tries += float64(n)
		}
		se := math.Sqrt(want.AcceptP1 * (1 - want.AcceptP1) / float64(runs))
		numtest.Close(t, fmt.Sprint("accepted at ", q), accepted/float64(runs), want.AcceptP1, 5*se)
		numtest.Close(t, fmt.Sprint("tries at ", q), tries/float64(runs), want.Tries, .04)
	}
}

func TestFaultsOfASequentialPlan(t *testing.T) {
	for _, s := range []SPRT{{.8, .5, .1, .1}, {0, .5, .1, .1}, {.5, 1, .1, .1}, {.5, .8, 0, .1}, {.5, .8, .5, .5}, {.5, math.NaN(), .1, .1}} {
		if err := s.Check(); !errors.Is(err, ErrPlan) {
			t.Errorf("%+v: %v", s, err)
		}
		panics(t, "plan", func() { s.Bounds(1) })
	}
	good := SPRT{.5, .8, .1, .1}
	panics(t, "chance", func() { good.Wald(1) })
	panics(t, "chance", func() { good.Exact(0, 0, 0) })
	panics(t, "passes", func() { good.Exact(.5, 2, 1) })
}

// Why the test may not restart by itself: over 12 weeks of two tries a day,
// started anew after each rejection, it accepts a student with q = .5 in 78%
// (reference design, a simulation). Margin: five Monte-Carlo standard errors and
// half a unit of that figure's last digit.
func TestARestartedSequentialTestPassesAlmostAnyone(t *testing.T) {
	s, rng := SPRT{.5, .8, .1, .1}, rand.New(rand.NewPCG(5, 8))
	const runs = 5000
	passed, accepted := make([]bool, 168), 0.0
	for range runs {
		for i := range passed {
			passed[i] = rng.Float64() < .5
		}
		for rest := passed; len(rest) > 0; {
			v, n := s.Decide(rest)
			accepted += float64(count(v == AcceptP1))
			rest = rest[n:]
			if v == AcceptP1 {
				break
			}
		}
	}
	share := accepted / runs
	t.Logf("accepted %.3f", share)
	numtest.Close(t, "accepted", share, .78, .005+5*math.Sqrt(share*(1-share)/runs))
}
