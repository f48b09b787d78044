package holds

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"

	"pgregory.net/rapid"
)

// later moves R's times, which start at 0, behind the first second.
func later(holds []Hold) Tries {
	out := make([]Hold, len(holds))
	for i, h := range holds {
		out[i] = h
		out[i].Seconds++
	}
	return Tries{Attempts: len(out), Caught: len(out), Holds: out}
}

type rReg struct {
	Coef   map[string]float64
	Scale  float64
	LogLik [2]float64
}

type rModels struct {
	Exponential rReg `json:"survreg_exponential"`
	Weibull     rReg `json:"survreg_weibull"`
	AML         rReg `json:"aml_survreg_weibull_intercept_only"`
}

func mustFit(t *testing.T, f Family, tries Tries) Model {
	t.Helper()
	m, err := FitFamily(f, tries)
	if err != nil {
		t.Fatalf("%s: %v", f, err)
	}
	return m
}

// Source: R 4.2.2 survival 3.5-3 survreg; R's intercept is Eta, its scale Sigma.
func TestFamiliesAgreeWithR(t *testing.T) {
	want := numtest.JSON[rModels](t, "freireich_extra_models_r_output.json")
	f, aml := readHolds(t, "freireich_6mp.csv", "treat"), readHolds(t, "aml.csv", "x")
	drug, control := mustFit(t, Exponential, later(f["treat=6-MP"])), mustFit(t, Exponential, later(f["treat=control"]))
	numtest.Close(t, "exponential 6-MP", drug.Eta, want.Exponential.Coef["(Intercept)"], 1e-9)
	numtest.Close(t, "exponential control", control.Eta-drug.Eta, want.Exponential.Coef["treatcontrol"], 1e-9)
	numtest.Close(t, "exponential log-likelihood", drug.LogLik+control.LogLik, want.Exponential.LogLik[1], 1e-9)
	numtest.Close(t, "exponential, pooled", mustFit(t, Exponential, later(f["all"])).LogLik, want.Exponential.LogLik[0], 1e-9)
	numtest.Close(t, "Weibull, pooled", mustFit(t, Weibull, later(f["all"])).LogLik, want.Weibull.LogLik[0], 1e-9)
	m := mustFit(t, Weibull, later(aml["all"]))
	numtest.Close(t, "aml eta", m.Eta, want.AML.Coef["(Intercept)"], 1e-9)
	numtest.Close(t, "aml sigma", m.Sigma, want.AML.Scale, 1e-9)
	numtest.Close(t, "aml log-likelihood", m.LogLik, want.AML.LogLik[1], 1e-9)
}

// R's Weibull of both groups has one scale: there our scores vanish, group by
// group in a, together in b. Source: R 4.2.2 survival 3.5-3 survreg.
func TestScoreVanishesAtRsWeibullOfTwoGroups(t *testing.T) {
	want := numtest.JSON[rModels](t, "freireich_extra_models_r_output.json").Weibull
	holds := readHolds(t, "freireich_6mp.csv", "treat")
	v, db := 0.0, 0.0
	for group, eta := range map[string]float64{
		"treat=6-MP":    want.Coef["(Intercept)"],
		"treat=control": want.Coef["(Intercept)"] + want.Coef["treatcontrol"],
	} {
		s := newSample(later(holds[group]))
		at := s.score(Weibull.shape(), -eta/want.Scale, 1/want.Scale)
		numtest.Close(t, group+" score", at.da, 0, 1e-7)
		v, db = v+at.v, db+at.db
	}
	numtest.Close(t, "score of the scale", db, 0, 1e-7)
	numtest.Close(t, "log-likelihood", v, want.LogLik[1], 1e-9)
}

// extraFit is one case of extra.R: lo = hi exact, no hi right-censored, no lo
// left-censored.
type extraFit struct {
	Dist       Family
	Lo, Hi     []num
	Eta        float64
	Sigma      float64
	LogLik     float64
	SEEta      float64 `json:"se_eta"`
	SELogSigma num     `json:"se_log_sigma"`
}

func (e extraFit) tries() Tries {
	var holds []Hold
	for i := range e.Lo {
		lo, hi := float64(e.Lo[i]), float64(e.Hi[i])
		switch {
		case math.IsNaN(hi):
			holds = append(holds, Hold{Seconds: 1 + lo})
		case math.IsNaN(lo):
			holds = append(holds, Hold{Seconds: 1, Half: hi, Fell: true})
		default:
			holds = append(holds, Hold{Seconds: 1 + (lo+hi)/2, Half: (hi - lo) / 2, Fell: true})
		}
	}
	return Tries{Attempts: len(holds), Caught: len(holds), Holds: holds}
}

// Source: R 4.2.2 survival 3.5-3 survreg, interval2, testdata/extra.R.
func TestCensoredFitsAndTheirErrorsAgreeWithR(t *testing.T) {
	for i, e := range numtest.JSON[extraFile](t, "extra_r_output.json").Fits {
		e.Dist = map[Family]Family{"exponential": Exponential, "weibull": Weibull, "loglogistic": LogLogistic}[e.Dist]
		m := mustFit(t, e.Dist, e.tries())
		what := fmt.Sprintf("case %d %s", i, e.Dist)
		numtest.Close(t, what+" eta", m.Eta, e.Eta, 1e-7)
		numtest.Close(t, what+" sigma", m.Sigma, e.Sigma, 1e-7)
		numtest.Close(t, what+" log-likelihood", m.LogLik, e.LogLik, 1e-9)
		numtest.Close(t, what+" se of eta", m.EtaSE, e.SEEta, 1e-6)
		if e.Dist != Exponential {
			numtest.Close(t, what+" se of sigma", m.SigmaSE/m.Sigma, float64(e.SELogSigma), 1e-6)
		}
	}
}

// mixed has holds of every kind, tallies of every kind and timing doubt.
func mixed() Tries {
	return Tries{Attempts: 60, Caught: 40,
		Holds: []Hold{{3, 0, true}, {4.2, .2, true}, {1, 0, true}, {1.1, .5, true}, {9, 0, false}, {6, 1, true}, {15, .2, false}},
		Tallies: []Tally{{Caught: 12, Best: 8, Second: 6.5}, {Caught: 1, Best: 2}, {Caught: 5, Best: 5, Half: .5},
			{Caught: 2, Best: 7, Second: 3, Half: .2}, {Caught: 4}}}
}

func TestScoreByFiniteDifferences(t *testing.T) {
	s := newSample(mixed())
	for _, f := range []Family{Weibull, LogLogistic} {
		for _, at := range [][2]float64{{-1.2, .7}, {-2, 1.4}, {.3, .9}} {
			got := s.score(f.shape(), at[0], at[1])
			inA := func(of func(score) float64) func(float64) float64 {
				return func(a float64) float64 { return of(s.score(f.shape(), a, at[1])) }
			}
			inB := func(of func(score) float64) func(float64) float64 {
				return func(b float64) float64 { return of(s.score(f.shape(), at[0], b)) }
			}
			value, da, db := func(s score) float64 { return s.v }, func(s score) float64 { return s.da }, func(s score) float64 { return s.db }
			numtest.Close(t, "da", got.da, numtest.Derivative(inA(value), at[0]), 1e-7)
			numtest.Close(t, "db", got.db, numtest.Derivative(inB(value), at[1]), 1e-7)
			numtest.Close(t, "daa", got.daa, numtest.Derivative(inA(da), at[0]), 1e-7)
			numtest.Close(t, "dab", got.dab, numtest.Derivative(inB(da), at[1]), 1e-7)
			numtest.Close(t, "dbb", got.dbb, numtest.Derivative(inB(db), at[1]), 1e-7)
		}
	}
}

// The order statistics of a tally against their formula written out.
func TestTalliesEnterAsOrderStatistics(t *testing.T) {
	eta, sigma := 1.1, .8
	F := func(u float64) float64 { return 1 - 1/(1+math.Pow(u/math.Exp(eta), 1/sigma)) }
	f := func(u float64) float64 { return numtest.Derivative(F, u) }
	for _, c := range []struct {
		tally Tally
		want  float64
	}{
		{Tally{Caught: 9, Best: 8, Second: 5}, 9 * 8 * f(7) * f(4) * math.Pow(F(4), 7)},
		{Tally{Caught: 2, Best: 8, Second: 5}, 2 * f(7) * f(4)},
		{Tally{Caught: 1, Best: 8}, f(7)},
		{Tally{Caught: 6, Best: 8}, 6 * f(7) * math.Pow(F(7), 5)},
		{Tally{Caught: 6, Best: 8, Half: .5}, 6 * (F(7.5) - F(6.5)) * math.Pow(F(7), 5)},
		{Tally{Caught: 3}, 1},
	} {
		s := newSample(Tries{Attempts: 20, Caught: 20, Tallies: []Tally{c.tally}})
		got := s.score(LogLogistic.shape(), -eta/sigma, 1/sigma).v
		numtest.Close(t, fmt.Sprintf("%+v", c.tally), got, math.Log(c.want), 1e-8)
	}
}

func TestExponentialIsFallsByTime(t *testing.T) {
	tries := Tries{Attempts: 9, Caught: 4, Holds: []Hold{{3, 0, true}, {5, 0, false}, {1, 0, true}, {2.5, 0, true}}}
	m, err := Fit(tries)
	if err != nil {
		t.Fatal(err)
	}
	if m.Family != Exponential || m.Why != "under 8 holds" {
		t.Errorf("4 holds: %s, %s", m.Family, m.Why)
	}
	numtest.Close(t, "rate", math.Exp(-m.Eta), 3/(2+4+.1+1.5), 1e-12)
	numtest.Close(t, "se of the log rate", m.EtaSE, 1/math.Sqrt(3), 1e-12)
	numtest.Close(t, "AIC", m.AIC, 2-2*m.LogLik, 1e-12)
	numtest.Close(t, "S", m.Survival(m.Quantile(.3), .95).Survival, .7, 1e-12)
	rate := func(z float64) float64 { return math.Exp(-m.Eta + z*m.EtaSE) }
	numtest.Close(t, "S lo", m.Survival(4, .95).Lo, math.Exp(-3*rate(1.959963984540054)), 1e-12)
	numtest.Close(t, "S hi", m.Survival(4, .95).Hi, math.Exp(-3*rate(-1.959963984540054)), 1e-12)
	numtest.Close(t, "S up to the catch", m.Survival(1, .95).Lo, 1, 0)
}

// logLogisticDraw draws the seconds beyond the first.
func logLogisticDraw(rng *rand.Rand, eta, sigma float64) float64 {
	u := rng.Float64()
	return math.Exp(eta + sigma*math.Log(u/(1-u)))
}

// weibullDraw draws the seconds beyond the first.
func weibullDraw(rng *rand.Rand, eta, sigma float64) float64 {
	return math.Exp(eta + sigma*math.Log(rng.ExpFloat64()))
}

// Fits find the parameters that made the data, within four standard errors, with
// censoring and with times rounded to a second that the likelihood is told of;
// and agree with Kaplan-Meier, which assumes no family.
func TestFitsRecoverSimulatedParameters(t *testing.T) {
	for f, draw := range map[Family]func(*rand.Rand, float64, float64) float64{LogLogistic: logLogisticDraw, Weibull: weibullDraw} {
		rng := rand.New(rand.NewPCG(7, 11))
		var exact, rounded []Hold
		for range 4000 {
			hold, lowered := 1+draw(rng, 1.6, .6), 1+20*rng.Float64()
			h := Hold{Seconds: min(hold, lowered), Fell: hold <= lowered}
			exact = append(exact, h)
			if h.Fell {
				h.Seconds, h.Half = math.Max(1, math.Round(h.Seconds)), .5
			}
			rounded = append(rounded, h)
		}
		for what, holds := range map[string][]Hold{"exact": exact, "rounded": rounded} {
			tries := Tries{Attempts: len(holds), Caught: len(holds), Holds: holds}
			m, err := Fit(tries)
			if err != nil {
				t.Fatal(err)
			}
			if m.Family != f || m.Why != "lowest AIC" {
				t.Errorf("%s from a %s law: chose %s, %s", what, f, m.Family, m.Why)
			}
			numtest.Close(t, what+" eta in standard errors", (m.Eta-1.6)/m.EtaSE, 0, 4)
			numtest.Close(t, what+" sigma in standard errors", (m.Sigma-.6)/m.SigmaSE, 0, 4)
			if !(m.EtaSE < .03 && m.SigmaSE < .02) {
				t.Errorf("%s: standard errors %v and %v", what, m.EtaSE, m.SigmaSE)
			}
		}
		m, _ := FitFamily(f, Tries{Attempts: 4000, Caught: 4000, Holds: exact})
		c, _ := KaplanMeier(exact, Log, .95)
		for _, p := range c.Points {
			if d := math.Abs(m.Survival(p.Seconds, .95).Survival - p.Survival); p.AtRisk > 200 && d > .025 {
				t.Errorf("%s at %.2f s: %.3f from Kaplan-Meier", f, p.Seconds, d)
			}
		}
	}
}

// Sets of twelve of which only the best two are known still tell the law.
func TestTalliesRecoverSimulatedParameters(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	tries := Tries{}
	for range 400 {
		best, second := 0.0, 0.0
		for range 12 {
			switch h := 1 + logLogisticDraw(rng, 1.2, .7); {
			case h > best:
				best, second = h, best
			case h > second:
				second = h
			}
		}
		tries.Tallies = append(tries.Tallies, Tally{Caught: 12, Best: best, Second: second})
		tries.Attempts, tries.Caught = tries.Attempts+12, tries.Caught+12
	}
	m := mustFit(t, LogLogistic, tries)
	numtest.Close(t, "eta in standard errors", (m.Eta-1.2)/m.EtaSE, 0, 4)
	numtest.Close(t, "sigma in standard errors", (m.Sigma-.7)/m.SigmaSE, 0, 4)
	if m.N != 800 || m.EtaSE > .1 || m.SigmaSE > .05 {
		t.Errorf("%+v", m)
	}
}

func TestFitChoosesByTheNumberOfHolds(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for n, want := range map[int]Family{7: Exponential, 8: LogLogistic, 199: LogLogistic, 400: Exponential} {
		tries := Tries{Attempts: n, Caught: n}
		for range n {
			tries.Holds = append(tries.Holds, Hold{Seconds: 1 + 5*rng.ExpFloat64(), Fell: true})
		}
		m, err := Fit(tries)
		if err != nil {
			t.Fatal(err)
		}
		if m.Family != want && !(n == 400 && m.Family == Weibull) {
			t.Errorf("%d exponential holds: chose %s", n, m.Family)
		}
	}
}

func TestFitOfThinData(t *testing.T) {
	eight := func(h Hold) []Hold {
		out := make([]Hold, 8)
		for i := range out {
			out[i] = h
		}
		return out
	}
	for what, c := range map[string]struct {
		holds []Hold
		err   error
	}{
		"nothing":                       {nil, ErrNoHolds},
		"nothing but lowered":           {eight(Hold{Seconds: 5}), ErrNoFalls},
		"all alike":                     {eight(Hold{Seconds: 5, Fell: true}), ErrShape},
		"all within the first second":   {eight(Hold{Seconds: 1, Half: .5, Fell: true})[:5], ErrShape},
		"one second for all":            {eight(Hold{Seconds: 5, Half: 1, Fell: true}), ErrShape},
		"falls at once, others lowered": {append(eight(Hold{Seconds: 1, Half: .5, Fell: true}), Hold{Seconds: 9}), ErrShape},
	} {
		if m, err := Fit(Tries{Attempts: 20, Caught: 20, Holds: c.holds}); !errors.Is(err, c.err) {
			t.Errorf("%s: %+v, %v, want %v", what, m, err, c.err)
		}
	}
}

func TestFitOfMixedDataIsAMaximum(t *testing.T) {
	for _, f := range []Family{Exponential, Weibull, LogLogistic} {
		m := mustFit(t, f, mixed())
		s := newSample(mixed())
		at := s.score(f.shape(), -m.Eta/m.Sigma, 1/m.Sigma)
		numtest.Close(t, string(f)+" score", at.da, 0, 1e-9)
		if f != Exponential {
			numtest.Close(t, string(f)+" score of the shape", at.db, 0, 1e-9)
		}
		if m.N != 13 || m.Falls != 11 || m.Censored != 2 {
			t.Errorf("%s counts %d, %d, %d", f, m.N, m.Falls, m.Censored)
		}
	}
}

// The interval of a two-parameter survival against its gradient by finite
// differences.
func TestModelIntervalByFiniteDifferences(t *testing.T) {
	for _, f := range []Family{Weibull, LogLogistic} {
		m := mustFit(t, f, mixed())
		at := func(eta, sigma float64) float64 { return (math.Log(9) - eta) / sigma }
		de := numtest.Derivative(func(x float64) float64 { return at(x, m.Sigma) }, m.Eta)
		ds := numtest.Derivative(func(x float64) float64 { return at(m.Eta, x) }, m.Sigma)
		half := normal(.9) * math.Sqrt(de*de*m.EtaSE*m.EtaSE+2*de*ds*m.Cov+ds*ds*m.SigmaSE*m.SigmaSE)
		r := m.Survival(10, .9)
		w := at(m.Eta, m.Sigma)
		numtest.Close(t, string(f)+" lo", r.Lo, math.Exp(f.shape().survival(w+half).v), 1e-9)
		numtest.Close(t, string(f)+" hi", r.Hi, math.Exp(f.shape().survival(w-half).v), 1e-9)
		numtest.Close(t, string(f)+" quantile", m.Survival(m.Quantile(.25), .9).Survival, .75, 1e-12)
	}
}

// Whatever the data, a fit is a maximum with finite figures or says why not.
func TestFitIsAMaximumOrAnError(t *testing.T) {
	fitted, thin := 0, 0
	rapid.Check(t, func(r *rapid.T) {
		tries := Tries{Attempts: 1000, Caught: 1000, Holds: drawHolds(r, 0)}
		for i := range tries.Holds {
			tries.Holds[i].Half = rapid.SampledFrom([]float64{0, 0, .2, 1}).Draw(r, "half")
		}
		for range rapid.IntRange(0, 3).Draw(r, "tallies") {
			second := 1 + float64(rapid.IntRange(0, 50).Draw(r, "second"))/10
			tries.Tallies = append(tries.Tallies, Tally{Caught: rapid.IntRange(2, 20).Draw(r, "caught"), Best: second + 1, Second: second})
		}
		for _, f := range []Family{Exponential, Weibull, LogLogistic} {
			m, err := FitFamily(f, tries)
			if err != nil {
				thin++
				if !errors.Is(err, ErrNoHolds) && !errors.Is(err, ErrNoFalls) && !errors.Is(err, ErrShape) {
					r.Fatal(err)
				}
				continue
			}
			fitted++
			s := newSample(tries)
			at := s.score(f.shape(), -m.Eta/m.Sigma, 1/m.Sigma)
			slope := math.Abs(at.da)
			if f != Exponential {
				slope = math.Max(slope, math.Abs(at.db))
			}
			if !(slope < 1e-5*(1+math.Abs(at.v))) || !(m.EtaSE > 0 && m.EtaSE < 1e5) || m.SigmaSE < 0 || math.IsInf(m.AIC, 0) {
				r.Fatalf("%+v, score %v", m, slope)
			}
		}
	})
	t.Logf("%d fits, %d errors of thin data", fitted, thin)
}
