package rehearse

import (
	"slices"
	"sync"
	"testing"

	"aplomb/internal/learner"
	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// plain are the policies that estimate nothing.
var plain = []string{"timetable", "once", "daily-short", "random", "balance-only", "maximal-only"}

// planners are the policies that do.
var planners = []string{"planner", "battery", "untested", "randomised"}

func policies(t testing.TB, names ...string) (out []Policy) {
	t.Helper()
	for _, name := range names {
		p, err := ParsePolicy(name)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
	return out
}

func small(t testing.TB, students, weeks int, seed uint64, names ...string) Study {
	return Study{Library: library.Builtin(), Params: learner.Defaults(), Policies: policies(t, names...), Students: students, Weeks: weeks, Seed: seed}
}

// student is a course ready to begin.
func student(t testing.TB, name string, number int, params learner.Params, seed uint64) *course {
	t.Helper()
	lib, err := known(library.Builtin())
	if err != nil {
		t.Fatal(err)
	}
	return enroll(newWorld(lib, params, seed+uint64(number)), policies(t, name)[0], number, seed)
}

func with(t testing.TB, name string, v float64) learner.Params {
	t.Helper()
	p, err := learner.Defaults().With(name, v)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// workers runs do on so many goroutines, the last first where backwards.
func workers(k int, backwards bool) func(int, func(int)) {
	return func(n int, do func(int)) {
		next := make(chan int, n)
		for i := range n {
			if backwards {
				i = n - 1 - i
			}
			next <- i
		}
		close(next)
		var wg sync.WaitGroup
		for range k {
			wg.Go(func() {
				for i := range next {
					do(i)
				}
			})
		}
		wg.Wait()
	}
}

func nothing() {}

// row is an attempt or a tally.
type row struct {
	at            practice.Instant
	drill         string
	tries, passes int
	one           bool // an attempt
}

// rows is what was practised, in order of time.
func rows(l *practice.Log) (out []row) {
	for _, a := range l.Attempts {
		passes := 0
		if a.Passed.Value {
			passes = 1
		}
		out = append(out, row{a.At, a.Drill, 1, passes, true})
	}
	for _, t := range l.Tallies {
		out = append(out, row{t.At, t.Drill, t.Tries, t.Caught.Value, false})
	}
	slices.SortStableFunc(out, func(a, b row) int { return int(a.at.UnixNano/1e6 - b.at.UnixNano/1e6) })
	return out
}
