package web

import (
	"slices"
	"strconv"
	"testing"
	"time"
)

// BenchmarkSolveAgain is what a coach waits for between a key pressed and the
// week shown anew: the change is kept, the week is planned again, six drills
// left out are priced, the page is made.
func BenchmarkSolveAgain(b *testing.B) {
	s := example(b)
	var took []time.Duration
	for rev := 0; b.Loop(); rev++ {
		v, w := s.as(b, ines, "orla", nil)
		v.r.SetPathValue("week", "2026-W14")
		share := strconv.Itoa(95 - 5*(rev%2))
		start := time.Now()
		if status, page := s.sentWeek(b, "orla", "2026-W14", fields("rev", strconv.Itoa(rev), "do", "minutes", "share", share)); status != 303 {
			b.Fatal(status, page)
		}
		if err := review(v); err != nil || w.Code != 200 {
			b.Fatal(w.Code, err)
		}
		took = append(took, time.Since(start))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-p50")
	b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "ms-p95")
}
