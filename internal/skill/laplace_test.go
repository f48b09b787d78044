package skill

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
	"pgregory.net/rapid"
)

// grid integrates N(m, v)·exp(l) over 40 sd: normaliser (log), mean, variance.
func grid(m, v float64, l loglik) (evidence, mean, variance float64) {
	const n = 2000
	sd := math.Sqrt(v)
	var sum, first, second float64
	for i := range n {
		u := -20 + 40*(float64(i)+.5)/n
		w := math.Exp(-u*u/2 + l.value(m+sd*u))
		sum += w
		first += w * u
		second += w * u * u
	}
	mean = first / sum
	evidence = math.Log(sum * 40 / n / math.Sqrt(2*math.Pi))
	return evidence, m + sd*mean, v * (second/sum - mean*mean)
}

// Against brute-force quadrature in one dimension. The mode is not the mean:
// the bounds say how far Laplace's approximation strays for one observation.
func TestLaplaceAgainstQuadrature(t *testing.T) {
	for name, gen := range likelihoods() {
		if name == "score" || name == "normal" {
			continue // up to a factor; exact, see the Nile
		}
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				l := gen.Draw(rt, "l")
				m, v := rapid.Float64Range(-2, 3).Draw(rt, "m"), rapid.Float64Range(.01, 1.5).Draw(rt, "v")
				s := laplace(m, v, l)
				evidence, mean, variance := grid(m, v, l)
				if d := math.Abs(s.evidence - evidence); d > .2 {
					rt.Errorf("evidence off by %.3f", d)
				}
				if d := math.Abs(m+v*s.shift-mean) / math.Sqrt(variance); d > .5 {
					rt.Errorf("mean off by %.3f sd", d)
				}
				if r := (v - v*v*s.shrink) / variance; r < .6 || r > 1.5 {
					rt.Errorf("variance off by a factor %.3f", r)
				}
			})
		})
	}
}

func TestModeIsTheMaximum(t *testing.T) {
	for name, gen := range likelihoods() {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				l := gen.Draw(rt, "l")
				m, v := rapid.Float64Range(-30, 30).Draw(rt, "m"), rapid.Float64Range(1e-6, 100).Draw(rt, "v")
				x, _ := mode(m, v, l)
				g, h := l.slope(x)
				if gap := math.Abs(g-(x-m)/v) / (h + 1/v) * math.Sqrt(h+1/v); gap > 1e-7 {
					rt.Errorf("gradient at the mode is %.3g posterior sd off 0", gap)
				}
			})
		})
	}
}

// A prediction so sure and so wrong that plain Newton swings between 2.6 and -9.
func TestModeWhereNewtonSwings(t *testing.T) {
	l := binomial(23, 0)
	x, _ := mode(2.70703125, 2.5, l)
	g, _ := l.slope(x)
	numtest.Close(t, "gradient", g-(x-2.70703125)/2.5, 0, 1e-7)
}

// A predictor without doubt learns nothing; the observation still counts.
func TestLaplaceWithoutDoubt(t *testing.T) {
	for _, v := range []float64{0, -1e-18} {
		s := laplace(.4, v, binomial(3, 2))
		if s.shift != 0 || s.shrink != 0 {
			t.Errorf("%+v", s)
		}
		numtest.Close(t, "evidence", s.evidence, 2*math.Log(sigmoid(.4))+math.Log(sigmoid(-.4)), 1e-14)
	}
}

// A hundred static tries folded one by one against the exact posterior.
func TestSequenceAgainstQuadrature(t *testing.T) {
	const n, k = 100, 31
	m, p := []float64{0}, []float64{1.5}
	var evidence float64
	for i := range n {
		caught := 0.
		if i%10 < 3 || i == 99 {
			caught = 1
		}
		s := laplace(m[0], p[0], binomial(1, caught))
		evidence += s.evidence
		fold(m, p, []float64{p[0]}, s)
	}
	want, mean, variance := grid(0, 1.5, binomial(n, k))
	numtest.Close(t, "mean in sd", (m[0]-mean)/math.Sqrt(variance), 0, .06)
	numtest.Close(t, "variance ratio", p[0]/variance, 1, .06)
	numtest.Close(t, "evidence", evidence-want, 0, .15)
}

// Durbin & Koopman, Time Series Analysis by State Space Methods, ch. 2: the
// local level model of the Nile, as printed by R's KalmanRun
// (testdata/kalman_local_level_nile.*). For normal observations the Laplace
// update is the Kalman filter.
func TestNileFilter(t *testing.T) {
	rows, model := nile(t)
	c := NewComponents([]Component{{Mean: model.A1, SD: math.Sqrt(model.P1), Noise: model.Eta}}, 0, nil)
	var loglik float64
	for i, row := range rows {
		cell := func(name string) float64 { return numtest.Number(t, row[name]) }
		if i > 0 {
			c.Advance(1)
		}
		numtest.Close(t, "a_pred", c.m[0], cell("a_pred"), 1e-9)
		numtest.Close(t, "P_pred", c.p[0], cell("P_pred"), 1e-9)
		s := see(c, 0, none, 0, normal{cell("flow"), model.Eps})
		loglik += s.evidence
		numtest.Close(t, "a_filt", c.m[0], cell("a_filt"), 1e-9)
		numtest.Close(t, "P_filt", c.p[0], cell("P_filt"), 1e-9)
		numtest.Close(t, "innovation", s.shift/math.Sqrt(s.shrink), cell("innovation")/math.Sqrt(cell("F")), 1e-9)
	}
	numtest.Close(t, "log-likelihood", loglik, model.LogLik, 1e-12)
}

// The same update on the vector of all hundred levels, with their random walk as
// prior, gives the smoothed levels (R's KalmanSmooth).
func TestNileSmoother(t *testing.T) {
	rows, model := nile(t)
	n := len(rows)
	m, p := make([]float64, n), make([]float64, n*n)
	for i := range n {
		m[i] = model.A1
		for j := range n {
			p[i*n+j] = model.P1 + model.Eta*float64(min(i, j))
		}
	}
	for i, row := range rows {
		a := append([]float64(nil), p[i*n:(i+1)*n]...)
		fold(m, p, a, laplace(m[i], p[i*n+i], normal{numtest.Number(t, row["flow"]), model.Eps}))
	}
	for i, row := range rows {
		numtest.Close(t, "a_smooth", m[i], numtest.Number(t, row["a_smooth"]), 1e-8)
		numtest.Close(t, "P_smooth", p[i*n+i], numtest.Number(t, row["P_smooth"]), 1e-8)
	}
}

type nileModel struct {
	Eps    float64 `json:"sigma2_eps"`
	Eta    float64 `json:"sigma2_eta"`
	A1     float64 `json:"a1"`
	P1     float64 `json:"P1"`
	LogLik float64 `json:"loglik_all_terms"`
}

func nile(t *testing.T) ([]map[string]string, nileModel) {
	return numtest.CSV(t, "kalman_local_level_nile.csv"), numtest.JSON[nileModel](t, "kalman_local_level_nile.json")
}
