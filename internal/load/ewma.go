package load

import (
	"errors"
	"math"
)

// ErrNoDays is returned where a series has no day in it.
var ErrNoDays = errors.New("load: no days")

// Days of the two averages.
const (
	AcuteDays   = 7
	ChronicDays = 28
)

// Averages are the recent and the usual daily load, side by side. They are
// never divided by each other.
type Averages struct {
	Days    int     // days in the series
	Acute   float64 // load a day, over about the last 7 days
	Chronic float64 // load a day, over about the last 28 days
	// AcuteSeed and ChronicSeed are the weight the first day still has, 0 to 1:
	// near 1 the average says little yet.
	AcuteSeed   float64
	ChronicSeed float64
}

// Average is the two averages after the last day of the series.
func Average(daily []float64) (Averages, error) {
	if len(daily) == 0 {
		return Averages{}, ErrNoDays
	}
	last := len(daily) - 1
	return Averages{
		Days:        len(daily),
		Acute:       EWMA(daily, AcuteDays)[last],
		Chronic:     EWMA(daily, ChronicDays)[last],
		AcuteSeed:   math.Pow(1-smoothing(AcuteDays), float64(last)),
		ChronicSeed: math.Pow(1-smoothing(ChronicDays), float64(last)),
	}, nil
}

// EWMA is the exponentially weighted moving average of a daily series over
// about n days, one value a day: E = lambda L + (1 - lambda) E before, with
// lambda = 2/(n+1), seeded by the first day. Williams S et al. (2017) Br J
// Sports Med 51(3):209-210; the seed is ours, the letter names none.
func EWMA(daily []float64, n int) []float64 {
	mustBeAmounts(daily...)
	if n < 1 {
		panic("load: an average runs over at least one day")
	}
	lambda := smoothing(n)
	out := make([]float64, len(daily))
	for i, v := range daily {
		if i == 0 {
			out[i] = v
			continue
		}
		out[i] = lambda*v + (1-lambda)*out[i-1]
	}
	return out
}

func smoothing(n int) float64 { return 2 / float64(n+1) }
