package skill

import (
	"math/rand/v2"
	"testing"
)

// row is a try with what the component filter sees of it.
type row struct {
	try  Try
	item int
}

// yearOf is 3,000 tries over 365 days, and the items of a library.
func yearOf() (days [][]row, items []Item) {
	s := newTruth(rand.New(rand.NewPCG(9, 9)))
	for j := range 80 {
		items = append(items, Item{j % 9, float64(j%7) - 3, DrillDoubt})
	}
	n := 0
	for day := range 365 {
		s.night()
		var tries []row
		for i := 0; n*365 < 3000*(day+1); i++ {
			tries = append(tries, row{s.try(i + 1), (n * 7) % 36})
			n++
		}
		days = append(days, tries)
	}
	return days, items
}

func BenchmarkHeadlineTry(b *testing.B) {
	days, _ := yearOf()
	h := NewHeadline()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		for _, r := range days[i%365] {
			h.Try(r.try)
		}
		h.Advance(1)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(h.tries), "ns/try")
}

func BenchmarkBothFiltersTry(b *testing.B) {
	days, items := yearOf()
	h, c := NewHeadline(), NewComponents(intake(9), SharedAbility, items)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		foldDay(&h, c, days[i%365])
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(h.tries), "ns/try")
}

func foldDay(h *Headline, c *Components, day []row) {
	for _, r := range day {
		passed := 0
		if r.try.Caught {
			passed = 1
		}
		h.Try(r.try)
		c.Count(r.item, 1, passed, h.Tired(r.try.Index))
	}
	h.Advance(1)
	c.Advance(1)
}

// A year of one student: 3,000 tries, 365 nights, both filters.
func BenchmarkYear(b *testing.B) {
	days, items := yearOf()
	for b.Loop() {
		h, c := NewHeadline(), NewComponents(intake(9), SharedAbility, items)
		for _, day := range days {
			foldDay(&h, c, day)
		}
	}
}

func BenchmarkTally(b *testing.B) {
	h := NewHeadline()
	b.ReportAllocs()
	for b.Loop() {
		h.Tally(Tally{Tries: 10, Caught: 6, Best: 8, Second: 7, Half: .5, First: 4})
		h.Advance(1)
	}
}

func BenchmarkAtLeast(b *testing.B) {
	h := practised(1, 12)
	b.ReportAllocs()
	for b.Loop() {
		h.AtLeast(15, true, .8)
	}
}

func BenchmarkForecast(b *testing.B) {
	h := practised(1, 12)
	for b.Loop() {
		_, _ = h.Forecast(15, .8)
	}
}

func BenchmarkLimiter(b *testing.B) {
	c, asks := NewComponents(intake(9), SharedAbility, nil), make([]float64, 9)
	for b.Loop() {
		_, _ = c.Limiter(asks)
	}
}

func BenchmarkTelling(b *testing.B) {
	c, asks := NewComponents(intake(9), SharedAbility, nil), make([]float64, 9)
	sd := []float64{.4, .4, .4, .4, .4, .4, .4, .4, .4}
	for b.Loop() {
		_, _ = c.Telling(asks, sd)
	}
}
