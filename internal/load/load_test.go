package load

import (
	"errors"
	"math"
	"testing"

	"aplomb/internal/numtest"

	"pgregory.net/rapid"
)

func panics(t *testing.T, what string, f func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Errorf("%s: did not panic", what)
		}
	}()
	f()
}

func TestSession(t *testing.T) {
	numtest.Close(t, "effort 6 for 50 min", Session(6, 50), 300, 0)
	panics(t, "effort 11", func() { Session(11, 10) })
	panics(t, "effort NaN", func() { Session(math.NaN(), 10) })
	panics(t, "minutes -1", func() { Session(5, -1) })
}

type example struct {
	Daily  []float64 `json:"daily_load"`
	Total  float64   `json:"weekly_load"`
	Mean   float64   `json:"mean"`
	SD     float64   `json:"sd_sample_n_minus_1"`
	SDn    float64   `json:"sd_population_n"`
	M      float64   `json:"monotony_sample"`
	Mn     float64   `json:"monotony_population"`
	Strain float64   `json:"strain_sample"`
	Sn     float64   `json:"strain_population"`
}

// Source of the definitions: Foster 1998, 2001 (testdata/SOURCES.md).
func TestMonotonyAgainstReference(t *testing.T) {
	ref := numtest.JSON[struct {
		Monotony struct {
			Examples map[string]example `json:"examples"`
		} `json:"monotony_strain"`
	}](t, "load_examples.json")
	for _, name := range []string{"mixed_week", "hard_even_week"} {
		ex := ref.Monotony.Examples[name]
		for _, c := range []struct {
			divisor             Divisor
			sd, monotony, total float64
		}{{Sample, ex.SD, ex.M, ex.Strain}, {Population, ex.SDn, ex.Mn, ex.Sn}} {
			got, err := Monotony(ex.Daily, c.divisor)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			numtest.Close(t, name+" total", got.Total, ex.Total, 1e-12)
			numtest.Close(t, name+" mean", got.Mean, ex.Mean, 1e-12)
			numtest.Close(t, name+" sd", got.SD, c.sd, 1e-12)
			numtest.Close(t, name+" monotony", got.Raw, c.monotony, 1e-12)
			numtest.Close(t, name+" strain before the cap", got.Raw*got.Total, c.total, 1e-12)
			if got.Capped != (c.monotony > MonotonyCap) {
				t.Errorf("%s: capped is %v with a monotony of %v", name, got.Capped, c.monotony)
			}
		}
	}
	flat, err := Monotony(ref.Monotony.Examples["flat_week"].Daily, Sample)
	if !errors.Is(err, ErrNoSpread) || flat.Total != 1400 || flat.Loaded != 7 {
		t.Errorf("flat week: %+v, %v", flat, err)
	}
}

func TestMonotonyThinOrEven(t *testing.T) {
	for _, daily := range [][]float64{nil, {0}, {5}, {300, 0, 0, 0, 0, 0, 200}} {
		if _, err := Monotony(daily, Sample); !errors.Is(err, ErrFewLoadedDays) {
			t.Errorf("%v: %v", daily, err)
		}
	}
	// The mean of seven times 0.1 is not 0.1 in floating point.
	if _, err := Monotony([]float64{.1, .1, .1, .1, .1, .1, .1}, Sample); !errors.Is(err, ErrNoSpread) {
		t.Errorf("equal days: %v", err)
	}
	got, err := Monotony([]float64{100, 100, 101}, Sample)
	if err != nil || got.Monotony != MonotonyCap || !got.Capped {
		t.Errorf("nearly equal days: %+v, %v", got, err)
	}
	panics(t, "divisor 2", func() { _, _ = Monotony([]float64{1, 2, 3}, 2) })
	panics(t, "infinite load", func() { _, _ = Monotony([]float64{1, math.Inf(1)}, Sample) })
}

// Closed form: a week of four equal loads L and three rests has mean 4L/7 and
// sum of squares 12L²/7, so monotony is sqrt(8/7) with n-1 and sqrt(4/3) with n.
func TestMonotonyClosedForm(t *testing.T) {
	week := []float64{90, 0, 90, 0, 90, 0, 90}
	sample, _ := Monotony(week, Sample)
	population, _ := Monotony(week, Population)
	numtest.Close(t, "n-1", sample.Monotony, math.Sqrt(8.0/7), 1e-14)
	numtest.Close(t, "n", population.Monotony, math.Sqrt(4.0/3), 1e-14)
	numtest.Close(t, "strain", sample.Strain, 360*math.Sqrt(8.0/7), 1e-14)
}

func TestMonotonyProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		daily := rapid.SliceOfN(rapid.Float64Range(0, 900), 3, 28).Draw(t, "daily")
		scale := rapid.Float64Range(0.5, 4).Draw(t, "scale")
		a, errA := Monotony(daily, Sample)
		bigger := make([]float64, len(daily))
		for i, v := range daily {
			bigger[len(daily)-1-i] = v * scale
		}
		b, errB := Monotony(bigger, Sample)
		if !errors.Is(errA, errB) {
			t.Fatalf("scaled and reversed: %v, %v", errA, errB)
		}
		if errA != nil {
			return
		}
		if math.Abs(a.Raw-b.Raw) > 1e-9*a.Raw {
			t.Errorf("monotony has no unit and no order: %v, %v", a.Raw, b.Raw)
		}
		n := float64(len(daily))
		if p, _ := Monotony(daily, Population); math.Abs(p.Raw/a.Raw-math.Sqrt(n/(n-1))) > 1e-9 {
			t.Errorf("divisors differ by %v", p.Raw/a.Raw)
		}
	})
}

// Source: formula of Williams et al. 2017, computed apart (testdata).
func TestEWMAAgainstReference(t *testing.T) {
	var daily, acute, chronic []float64
	for _, row := range numtest.CSV(t, "ewma_example.csv") {
		daily = append(daily, numtest.Number(t, row["load"]))
		acute = append(acute, numtest.Number(t, row["ewma_acute_N7"]))
		chronic = append(chronic, numtest.Number(t, row["ewma_chronic_N28"]))
	}
	numtest.CloseAll(t, "acute", EWMA(daily, AcuteDays), acute, 1e-8)
	numtest.CloseAll(t, "chronic", EWMA(daily, ChronicDays), chronic, 1e-8)
	ref := numtest.JSON[struct {
		EWMA struct {
			Day28 struct{ Acute, Chronic float64 } `json:"example_day28"`
		} `json:"ewma_acwr"`
	}](t, "load_examples.json")
	got, err := Average(daily)
	if err != nil || got.Days != 28 {
		t.Fatalf("%+v, %v", got, err)
	}
	numtest.Close(t, "acute, day 28", got.Acute, ref.EWMA.Day28.Acute, 1e-12)
	numtest.Close(t, "chronic, day 28", got.Chronic, ref.EWMA.Day28.Chronic, 1e-12)
	numtest.Close(t, "weight of the first day", got.ChronicSeed, math.Pow(27.0/29, 27), 1e-12)
	numtest.Close(t, "weight of the first day", got.AcuteSeed, math.Pow(.75, 27), 1e-12)
}

func TestEWMAEdges(t *testing.T) {
	if _, err := Average(nil); !errors.Is(err, ErrNoDays) {
		t.Errorf("no days: %v", err)
	}
	one, err := Average([]float64{240})
	if err != nil || one.Acute != 240 || one.Chronic != 240 || one.ChronicSeed != 1 {
		t.Errorf("one day: %+v, %v", one, err)
	}
	numtest.CloseAll(t, "over one day", EWMA([]float64{3, 5, 0}, 1), []float64{3, 5, 0}, 0)
	panics(t, "0 days", func() { EWMA([]float64{1}, 0) })
}

func TestEWMAProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		daily := rapid.SliceOfN(rapid.Float64Range(0, 900), 1, 60).Draw(t, "daily")
		lo, hi := daily[0], daily[0]
		for i, v := range EWMA(daily, ChronicDays) {
			lo, hi = math.Min(lo, daily[i]), math.Max(hi, daily[i])
			if v < lo-1e-9 || v > hi+1e-9 {
				t.Fatalf("day %d: %v lies outside %v to %v", i, v, lo, hi)
			}
		}
	})
}
