package holds

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"testing"

	"aplomb/internal/numtest"

	"pgregory.net/rapid"
)

// num reads a number of a reference file in which null is "not defined".
type num float64

func (n *num) UnmarshalJSON(raw []byte) error {
	if string(raw) == "null" {
		*n = num(math.NaN())
		return nil
	}
	return json.Unmarshal(raw, (*float64)(n))
}

func floats(ns []num) []float64 {
	out := make([]float64, len(ns))
	for i, n := range ns {
		out[i] = float64(n)
	}
	return out
}

func column(c *Curve, value func(Point) float64) []float64 {
	var out []float64
	for _, p := range c.Points {
		out = append(out, value(p))
	}
	return out
}

// rCurve is the output of R's survfit for one group.
type rCurve struct {
	Time     []num
	NRisk    []num `json:"n_risk"`
	NEvent   []num `json:"n_event"`
	NCensor  []num `json:"n_censor"`
	Surv     []num
	StdErr   []num `json:"std_err_surv_greenwood"`
	Lower    []num
	Upper    []num
	tieTimes float64
}

func (r rCurve) compare(t *testing.T, what string, c *Curve) {
	t.Helper()
	const tol = 1e-9
	numtest.CloseAll(t, what+" time", column(c, func(p Point) float64 { return p.Seconds }), floats(r.Time), r.tieTimes)
	numtest.CloseAll(t, what+" at risk", column(c, func(p Point) float64 { return float64(p.AtRisk) }), floats(r.NRisk), 0)
	numtest.CloseAll(t, what+" falls", column(c, func(p Point) float64 { return float64(p.Falls) }), floats(r.NEvent), 0)
	numtest.CloseAll(t, what+" censored", column(c, func(p Point) float64 { return float64(p.Censored) }), floats(r.NCensor), 0)
	numtest.CloseAll(t, what+" survival", column(c, func(p Point) float64 { return p.Survival }), floats(r.Surv), tol)
	numtest.CloseAll(t, what+" std err", column(c, func(p Point) float64 { return p.StdErr }), floats(r.StdErr), tol)
	numtest.CloseAll(t, what+" lo", column(c, func(p Point) float64 { return p.Lo }), floats(r.Lower), tol)
	numtest.CloseAll(t, what+" hi", column(c, func(p Point) float64 { return p.Hi }), floats(r.Upper), tol)
}

// rFit is survfit of a whole file: curves, quantiles by group, and the table.
type rFit struct {
	Strata    map[string]rCurve
	Table     []map[string]any
	Quantiles struct{ Quantile, Lower, Upper json.RawMessage }
}

// quantilesOf reads {"25": …} for one group or {group: {"25": …}} for several.
func quantilesOf(t *testing.T, raw json.RawMessage, group string) map[string]num {
	t.Helper()
	var one map[string]num
	if json.Unmarshal(raw, &one) == nil {
		return one
	}
	var several map[string]map[string]num
	if err := json.Unmarshal(raw, &several); err != nil {
		t.Fatal(err)
	}
	return several[group]
}

type rFile struct {
	Plain  rFit  `json:"survfit_plain"`
	Log    rFit  `json:"survfit_log"`
	LogLog rFit  `json:"survfit_log-log"`
	Rho0   rDiff `json:"survdiff_rho0"`
	Rho1   rDiff `json:"survdiff_rho1"`
	Mean20 rMean `json:"rmean_tau_20"`
	Mean23 rMean `json:"rmean_tau_23"`
	Mean30 rMean `json:"rmean_tau_30"`
	Mean45 rMean `json:"rmean_tau_45"`
}

type rMean struct {
	Rmean []float64
	SE    []float64 `json:"se_rmean"`
}

// readHolds reads a trial as holds by group; R prefixes the group by its column.
func readHolds(t testing.TB, file, group string) map[string][]Hold {
	out := map[string][]Hold{}
	for _, row := range numtest.CSV(t, file) {
		h := Hold{Seconds: numtest.Number(t, row["time"]), Fell: row["status"] == "1"}
		name := group + "=" + row[group]
		out[name] = append(out[name], h)
		out["all"] = append(out["all"], h)
	}
	return out
}

// Source: R 4.2.2 survival 3.5-3; Miller (1997) and Freireich et al. (1963).
func TestCurvesQuantilesAndMeansAgreeWithR(t *testing.T) {
	for _, trial := range []struct{ data, column, out string }{
		{"aml.csv", "x", "aml_r_output.json"},
		{"aml.csv", "x", "aml_pooled_r_output.json"},
		{"freireich_6mp.csv", "treat", "freireich_6mp_r_output.json"},
	} {
		holds := readHolds(t, trial.data, trial.column)
		file := numtest.JSON[rFile](t, trial.out)
		for band, fit := range map[Band]rFit{Plain: file.Plain, Log: file.Log, LogLog: file.LogLog} {
			if len(fit.Strata) == 0 {
				t.Fatalf("%s: no curves for %s", trial.out, band)
			}
			for group, want := range fit.Strata {
				c, err := KaplanMeier(holds[group], band, .95)
				if err != nil {
					t.Fatal(err)
				}
				what := fmt.Sprintf("%s %s %s", trial.out, band, group)
				want.compare(t, what, &c)
				for percent, q := range quantilesOf(t, fit.Quantiles.Quantile, group) {
					got := c.Quantile(numtest.Number(t, percent) / 100)
					numtest.Close(t, what+" q"+percent, got.Seconds, float64(q), 1e-12)
					numtest.Close(t, what+" q lo", got.Lo, float64(quantilesOf(t, fit.Quantiles.Lower, group)[percent]), 1e-12)
					numtest.Close(t, what+" q hi", got.Hi, float64(quantilesOf(t, fit.Quantiles.Upper, group)[percent]), 1e-12)
				}
				for _, row := range fit.Table {
					if row["strata"] == group {
						checkTable(t, what, &c, row)
					}
				}
			}
		}
	}
}

// checkTable compares with print(survfit), whose mean runs to the longest time of
// all groups; beyond its own longest time a group's mean is R's alone.
func checkTable(t *testing.T, what string, c *Curve, row map[string]any) {
	t.Helper()
	m, err := c.RestrictedMean(c.Points[len(c.Points)-1].Seconds)
	if err != nil {
		t.Fatal(err)
	}
	numtest.Close(t, what+" mean", m.Seconds, row["rmean"].(float64), 1e-9)
	numtest.Close(t, what+" se mean", m.StdErr, row["se(rmean)"].(float64), 1e-9)
	numtest.Close(t, what+" median", c.Quantile(.5).Seconds, row["median"].(float64), 1e-12)
	numtest.Close(t, what+" falls", float64(c.Falls), row["events"].(float64), 0)
}

// Source: R 4.2.2 survival 3.5-3, summary(survfit, rmean = tau).
func TestRestrictedMeanAgreesWithR(t *testing.T) {
	aml := numtest.JSON[rFile](t, "aml_r_output.json")
	freireich := numtest.JSON[rFile](t, "freireich_6mp_r_output.json")
	for _, c := range []struct {
		data, column string
		groups       []string
		upto         float64
		want         rMean
	}{
		{"aml.csv", "x", []string{"x=Maintained", "x=Nonmaintained"}, 30, aml.Mean30},
		{"aml.csv", "x", []string{"x=Maintained", "x=Nonmaintained"}, 45, aml.Mean45},
		{"freireich_6mp.csv", "treat", []string{"treat=6-MP", "treat=control"}, 20, freireich.Mean20},
		{"freireich_6mp.csv", "treat", []string{"treat=6-MP", "treat=control"}, 23, freireich.Mean23},
	} {
		holds := readHolds(t, c.data, c.column)
		for i, g := range c.groups {
			curve, _ := KaplanMeier(holds[g], Plain, .95)
			m, err := curve.RestrictedMean(c.upto)
			if err != nil {
				t.Fatal(err)
			}
			numtest.Close(t, g+" mean", m.Seconds, c.want.Rmean[i], 1e-9)
			numtest.Close(t, g+" se", m.StdErr, c.want.SE[i], 1e-9)
		}
	}
}

// extraCurve is one case of extra.R: floating ties, flat steps, curves without
// falls, curves that reach 0, two levels.
type extraCurve struct {
	Time, Status []float64
	Band         Band
	Level        float64
	At           []num
	NRisk        []num `json:"n_risk"`
	NEvent       []num `json:"n_event"`
	NCensor      []num `json:"n_censor"`
	Surv         []num
	StdErr       []num `json:"std_err"`
	Lower, Upper []num
	Probs        []float64
	Quantile     []num
	QLower       []num `json:"q_lower"`
	QUpper       []num `json:"q_upper"`
}

type extraFile struct {
	Curves []extraCurve
	Ranks  []extraRank
	Fits   []extraFit
}

// Source: R 4.2.2 survival 3.5-3, testdata/extra.R.
func TestEdgesOfCurvesAgreeWithR(t *testing.T) {
	for i, e := range numtest.JSON[extraFile](t, "extra_r_output.json").Curves {
		var holds []Hold
		for j, s := range e.Time {
			holds = append(holds, Hold{Seconds: s, Fell: e.Status[j] == 1})
		}
		c, err := KaplanMeier(holds, e.Band, e.Level)
		if err != nil {
			t.Fatal(err)
		}
		what := fmt.Sprintf("case %d %s", i, e.Band)
		rCurve{Time: e.At, NRisk: e.NRisk, NEvent: e.NEvent, NCensor: e.NCensor, Surv: e.Surv,
			StdErr: e.StdErr, Lower: e.Lower, Upper: e.Upper, tieTimes: 1e-12}.compare(t, what, &c)
		for k, q := range e.Probs {
			got := c.Quantile(q)
			numtest.Close(t, fmt.Sprintf("%s q%v", what, q), got.Seconds, float64(e.Quantile[k]), 1e-9)
			numtest.Close(t, fmt.Sprintf("%s q%v lo", what, q), got.Lo, float64(e.QLower[k]), 1e-9)
			numtest.Close(t, fmt.Sprintf("%s q%v hi", what, q), got.Hi, float64(e.QUpper[k]), 1e-9)
		}
	}
}

func TestCurveIsReadAtAndBeforeATime(t *testing.T) {
	c, _ := KaplanMeier([]Hold{{Seconds: 1, Fell: true}, {Seconds: 2}, {Seconds: 3, Fell: true}, {Seconds: 4}}, Plain, .95)
	for _, r := range []struct {
		at     float64
		beyond float64 // P(T > t)
		reach  float64 // P(T >= t)
		risk   int
	}{{.5, 1, 1, 4}, {1, .75, 1, 4}, {2, .75, .75, 3}, {2.5, .75, .75, 2}, {3, .375, .75, 2}, {3 + 1e-12, .375, .75, 2}, {4, .375, .375, 1}} {
		p, err := c.At(r.at)
		if err != nil {
			t.Fatal(err)
		}
		b, err := c.Before(r.at)
		if err != nil {
			t.Fatal(err)
		}
		numtest.Close(t, fmt.Sprint("S at ", r.at), p.Survival, r.beyond, 1e-15)
		numtest.Close(t, fmt.Sprint("S before ", r.at), b.Survival, r.reach, 1e-15)
		if p.AtRisk != r.risk || b.AtRisk != r.risk {
			t.Errorf("at %v: %d and %d at risk, want %d", r.at, p.AtRisk, b.AtRisk, r.risk)
		}
	}
	if _, err := c.At(4.1); !errors.Is(err, ErrNotFollowed) {
		t.Errorf("beyond the last censored hold: %v", err)
	}
	if _, err := c.RestrictedMean(4.1); !errors.Is(err, ErrNotFollowed) {
		t.Errorf("mean beyond the last censored hold: %v", err)
	}
	ended, _ := KaplanMeier([]Hold{{Seconds: 1, Fell: true}}, Plain, .95)
	if p, err := ended.Before(9); err != nil || p.Survival != 0 || p.AtRisk != 0 {
		t.Errorf("after every hold fell: %+v, %v", p, err)
	}
}

func drawHolds(t *rapid.T, least int) []Hold {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Hold {
		return Hold{Seconds: float64(rapid.IntRange(0, 60).Draw(t, "tenths"))/10 + 1, Fell: rapid.Bool().Draw(t, "fell")}
	}), least, 40).Draw(t, "holds")
}

// Without censoring the curve is one minus the empirical distribution, and its
// variance the binomial one.
func TestUncensoredCurveIsTheEmpiricalOne(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		holds := drawHolds(r, 1)
		for i := range holds {
			holds[i].Fell = true
		}
		c, _ := KaplanMeier(holds, Log, .9)
		n := float64(len(holds))
		for _, p := range c.Points {
			s := float64(p.AtRisk-p.Falls) / n
			numtest.Close(t, "S", p.Survival, s, 1e-12)
			if s > 0 {
				numtest.Close(t, "se", p.StdErr, math.Sqrt(s*(1-s)/n), 1e-12)
			}
		}
	})
}

func TestCurveProperties(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		holds := drawHolds(r, 1)
		band := rapid.SampledFrom([]Band{Plain, Log, LogLog}).Draw(r, "band")
		c, _ := KaplanMeier(holds, band, .8)
		last, falls, censored := 1.0, 0, 0
		for _, p := range c.Points {
			if p.Survival > last || p.Survival < 0 || p.Lo > p.Survival || p.Hi < p.Survival {
				r.Fatalf("point %+v after survival %v", p, last)
			}
			last, falls, censored = p.Survival, falls+p.Falls, censored+p.Censored
		}
		if falls != c.Falls || censored != c.Censored || falls+censored != len(holds) {
			r.Fatalf("%d falls and %d censored of %d", falls, censored, len(holds))
		}
		if q := c.Quantile(.5); q.Lo > q.Seconds || q.Hi < q.Seconds {
			r.Fatalf("median %+v", q)
		}
	})
}

func TestCurvesIsKaplanMeierGroupByGroup(t *testing.T) {
	holds := readHolds(t, "aml.csv", "x")
	groups := [][]Hold{holds["x=Maintained"], nil, holds["x=Nonmaintained"]}
	for i, c := range Curves(groups, LogLog, .9) {
		if c.N == 0 {
			if len(c.Points) != 0 {
				t.Errorf("a curve without holds has points: %+v", c)
			}
			continue
		}
		want, _ := KaplanMeier(groups[i], LogLog, .9)
		for j := range want.Points {
			if c.Points[j] != want.Points[j] && !math.IsNaN(want.Points[j].Lo) {
				t.Errorf("group %d: %+v, want %+v", i, c.Points[j], want.Points[j])
			}
		}
	}
}

func panics(t *testing.T, what string, f func()) {
	t.Helper()
	defer func() {
		t.Helper()
		if s, ok := recover().(string); !ok || len(s) < 7 || s[:7] != "holds: " {
			t.Errorf("%s: no panic of ours, got %v", what, s)
		}
	}()
	f()
}

func TestMisuseOfCurvesPanics(t *testing.T) {
	one := []Hold{{Seconds: 2, Fell: true}}
	for _, s := range []float64{-1, math.NaN(), math.Inf(1)} {
		panics(t, "seconds", func() { KaplanMeier([]Hold{{Seconds: s}}, Plain, .95) })
		panics(t, "half", func() { KaplanMeier([]Hold{{Seconds: 2, Half: s}}, Plain, .95) })
	}
	for _, l := range []float64{0, 1, -1, math.NaN()} {
		panics(t, "level", func() { KaplanMeier(one, Plain, l) })
	}
	panics(t, "band", func() { KaplanMeier(one, "wide", .95) })
	if _, err := KaplanMeier(nil, Plain, .95); !errors.Is(err, ErrNoHolds) {
		t.Errorf("no holds: %v", err)
	}
}
