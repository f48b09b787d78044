package learner

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"

	"aplomb/internal/numtest"
)

// flawed are the flaws that strike or not, at a rate.
var flawed = map[string]func(rate float64, seed uint64, number int) bool{
	"missed":    func(r float64, s uint64, n int) bool { return Flaws{Missed: r}.Misses(s, n) },
	"forgotten": func(r float64, s uint64, n int) bool { return Flaws{Forgotten: r}.Forgets(s, n) },
	"best only": func(r float64, s uint64, n int) bool { return len(Flaws{BestOnly: r}.Keeps(s, n, make([]Rep, 2))) == 1 },
	"warm":      func(r float64, s uint64, n int) bool { return Flaws{WarmAsCold: r}.HidesWarmUp(s, n) },
	"ill":       func(r float64, s uint64, n int) bool { return Flaws{Ill: r}.IsIll(s, n) },
	"rounded":   func(r float64, s uint64, n int) bool { return Flaws{WholeS: r}.Written(s, n, 3.4) == 3 },
}

func TestTheZeroValueIsAPerfectLog(t *testing.T) {
	var f Flaws
	for name, strikes := range flawed {
		for n := range 1000 {
			if strikes(0, 1, n) {
				t.Fatalf("%s: number %d", name, n)
			}
		}
	}
	if f.HasQuit(1, 5000) {
		t.Error("quit")
	}
}

func TestFlawsStrikeAtTheirRate(t *testing.T) {
	const n = 20000
	for name, strikes := range flawed {
		for _, rate := range []float64{.03, .3, 1} {
			bySession, byStudent := 0, 0
			for i := range n {
				if strikes(rate, 11, i) {
					bySession++
				}
				if strikes(rate, uint64(i), 3) {
					byStudent++
				}
			}
			nearShare(t, name+" over numbers", bySession, n, rate)
			nearShare(t, name+" over seeds", byStudent, n, rate)
		}
	}
}

// Neighbours of any kind say nothing of each other.
func TestFlawsAreIndependent(t *testing.T) {
	const n = 20000
	var here, next, other, student []float64
	for i := range n {
		here = append(here, uniform(5, missedStream, i))
		next = append(next, uniform(5, missedStream, i+1))
		other = append(other, uniform(5, forgottenStream, i))
		student = append(student, uniform(6, missedStream, i))
	}
	for name, x := range map[string][]float64{"the next number": next, "another flaw": other, "the next student": student} {
		numtest.Close(t, name, stat.Correlation(here, x, nil), 0, 4.5/math.Sqrt(n))
	}
}

func TestHowSecondsAreWritten(t *testing.T) {
	for _, c := range []struct{ whole, five, seconds, want float64 }{
		{0, 0, 7.34, 7.34}, {1, 0, 7.34, 7}, {1, 0, 1.2, 1}, {0, 1, 7.34, 5}, {0, 1, 7.6, 10}, {0, 1, 2.4, 2}, {0, 1, 1.1, 1}, {0, 1, 13, 15},
	} {
		f := Flaws{WholeS: c.whole, FiveS: c.five}
		numtest.Close(t, "written", f.Written(2, 9, c.seconds), c.want, 0)
	}
	count := map[float64]int{}
	for i := range 10000 {
		count[Flaws{WholeS: .5, FiveS: .2}.Written(3, i, 7.3)]++
	}
	nearShare(t, "fives", count[5], 10000, .2)
	nearShare(t, "whole", count[7], 10000, .5)
	nearShare(t, "as it was", count[7.3], 10000, .3)
}

func TestOnlyTheBestOfASet(t *testing.T) {
	set := []Rep{{Seconds: 2, Index: 4}, {Seconds: 9, Index: 5}, {Index: 6}}
	if kept := (Flaws{BestOnly: 1}).Keeps(1, 1, set); len(kept) != 1 || kept[0].Index != 5 {
		t.Errorf("kept %+v", kept)
	}
	if kept := (Flaws{BestOnly: 1}).Keeps(1, 1, nil); len(kept) != 0 {
		t.Errorf("kept %+v of nothing", kept)
	}
}

func TestQuittingIsForGood(t *testing.T) {
	const n = 10000
	f, gone, atOnce := Flaws{Quit: .02}, 0, 0
	for seed := range uint64(n) {
		if (Flaws{Quit: .3}).HasQuit(seed, 0) {
			atOnce++
		}
		quit := false
		for week := range 30 {
			now := f.HasQuit(seed, week)
			if quit && !now {
				t.Fatalf("student %d came back in week %d", seed, week)
			}
			quit = now
		}
		if quit {
			gone++
		}
	}
	nearShare(t, "gone at once", atOnce, n, .3)
	nearShare(t, "gone by week 30", gone, n, 1-math.Pow(.98, 30))
}

func TestRatesThatCannotBe(t *testing.T) {
	panics(t, "over 1", func() { Flaws{Missed: 1.2}.Misses(1, 1) })
	panics(t, "undefined", func() { Flaws{Ill: math.NaN()}.IsIll(1, 1) })
	panics(t, "rounded twice", func() { Flaws{WholeS: .7, FiveS: .7}.Written(1, 1, 3) })
	panics(t, "negative", func() { Flaws{Quit: -1}.HasQuit(1, 1) })
}
