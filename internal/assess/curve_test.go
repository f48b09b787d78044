package assess

import (
	"fmt"
	"testing"

	"aplomb/internal/library"
	"aplomb/internal/numtest"
	"aplomb/internal/practice"
)

// Ten tries, four not caught, falls at 2, 4 and 8 s, one lowered at 6 s: the
// product-limit estimate by hand, of Kaplan & Meier (1958), times the catch.
func TestCurveByHand(t *testing.T) {
	log := &practice.Log{}
	add := func(seconds float64, end practice.End) {
		n := len(log.Attempts)
		log.Attempts = append(log.Attempts, practice.Attempt{ID: fmt.Sprint("a", n), Student: "s", Drill: practice.OpenTry,
			At:      practice.Instant{UnixNano: practice.DateOf(2026, 6, 1).Time().UnixNano() + int64(n)*60e9},
			Seconds: practice.Known(seconds), Passed: practice.Known(seconds >= 1), End: end})
	}
	for range 6 {
		add(0.4, practice.Under)
	}
	for _, s := range []float64{2, 4, 8} {
		add(s, practice.Over)
	}
	add(6, practice.Lowered)
	s := Subject{Student: practice.Student{ID: "s"}, Log: log, Library: library.Builtin(), AsOf: practice.DateOf(2026, 6, 7)}
	got := Curve(s)
	want := []struct{ seconds, p float64 }{{1, .4}, {2, .4}, {4, .4 * 3 / 4}, {8, .4 * 2 / 4}}
	if len(got) != len(want) {
		t.Fatalf("%d steps: %+v", len(got), got)
	}
	for i, w := range want {
		numtest.Close(t, fmt.Sprint(w.seconds, " s"), got[i].P, w.p, 1e-9)
		if got[i].Seconds != w.seconds || !(got[i].Lo <= got[i].P && got[i].P <= got[i].Hi) {
			t.Errorf("step %d: %+v", i, got[i])
		}
	}
	s.AsOf += WindowDays
	if got := Curve(s); got != nil {
		t.Errorf("tries out of the window: %+v", got)
	}
}
