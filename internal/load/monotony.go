package load

import (
	"errors"
	"math"
	"slices"
)

// Divisor is what the sum of squares is divided by in a standard deviation.
type Divisor int

// Sample divides by n-1 and is the default: the days of a week are a sample of
// how the student trains, and the spreadsheets coaches work in do the same.
// Foster's texts do not say which is meant. Population divides by n; for seven
// days its monotony is 8% higher.
const (
	Sample Divisor = iota
	Population
)

// MonotonyCap is the largest monotony reported. Above it the figure says only
// that the days were nearly alike.
const MonotonyCap = 4.0

// Errors of [Monotony].
var (
	ErrFewLoadedDays = errors.New("load: monotony needs at least three days with load")
	ErrNoSpread      = errors.New("load: all days were alike, so monotony is not defined")
)

// Evenness is how evenly a stretch of days was loaded.
type Evenness struct {
	Days     int     // days in the stretch
	Loaded   int     // of them with load
	Total    float64 // load
	Mean     float64 // load a day
	SD       float64 // load, by Divisor
	Divisor  Divisor
	Raw      float64 // Mean / SD, before the cap
	Monotony float64 // Raw, at most MonotonyCap
	Strain   float64 // Total times Monotony
	Capped   bool
}

// Monotony is mean daily load over its standard deviation, and strain is total
// load times monotony (Foster C 1998, Med Sci Sports Exerc 30(7):1164-1168).
// daily is usually one week; days of rest count as 0.
//
// With fewer than three loaded days the error is [ErrFewLoadedDays], with no
// spread at all [ErrNoSpread]; the counts, Total, Mean and SD are filled in
// either way. A high value is common with few days and says little: it
// describes the week and is no measure of risk.
func Monotony(daily []float64, divisor Divisor) (Evenness, error) {
	mustBeAmounts(daily...)
	if divisor != Sample && divisor != Population {
		panic("load: unknown divisor")
	}
	e := Evenness{Days: len(daily), Divisor: divisor}
	for _, v := range daily {
		e.Total += v
		if v > 0 {
			e.Loaded++
		}
	}
	if e.Days > 0 {
		e.Mean = e.Total / float64(e.Days)
	}
	e.SD = deviation(daily, e.Mean, divisor)
	switch {
	case e.Loaded < 3:
		return e, ErrFewLoadedDays
	case e.SD == 0:
		return e, ErrNoSpread
	}
	e.Raw = e.Mean / e.SD
	e.Monotony = math.Min(e.Raw, MonotonyCap)
	e.Capped = e.Raw > MonotonyCap
	e.Strain = e.Total * e.Monotony
	return e, nil
}

// deviation is exactly 0 for equal values, whatever rounding does to the mean.
func deviation(daily []float64, mean float64, divisor Divisor) float64 {
	if len(daily) < 2 || slices.Min(daily) == slices.Max(daily) {
		return 0
	}
	squares := 0.0
	for _, v := range daily {
		squares += (v - mean) * (v - mean)
	}
	n := float64(len(daily))
	if divisor == Sample {
		n--
	}
	return math.Sqrt(squares / n)
}
